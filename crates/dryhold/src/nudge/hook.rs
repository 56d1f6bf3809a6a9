//! A person's own command, once for each event.

use std::{
    io::Write,
    process::{Child, Command, Stdio},
    thread::JoinHandle,
    time::{Duration, Instant},
};

use serde::Serialize;
use tokio::sync::mpsc::UnboundedSender;

use super::caller::Caller;
use crate::{
    outcome::Failure,
    watch::{Act, EventKind, Snapshot, events::Event},
};

/// A command that takes longer is ended.
const LONGEST: Duration = Duration::from_secs(15);

/// What the command reads: one line of JSON.
#[derive(Debug, Serialize)]
struct Told<'a> {
    event: EventKind,
    number: u64,
    at_s: f64,
    text: &'a str,
    grave: bool,
    run: &'a str,
    folder: &'a str,
    job: &'a str,
    invented: bool,
    pressure_state: &'a str,
    pressure_micron: Option<f64>,
}

/// Starts what runs the command, once for each event.
pub(super) fn start(
    command: &str,
    acts: UnboundedSender<Act>,
) -> Result<(Caller, JoinHandle<()>), Failure> {
    let command = command.to_owned();
    Caller::start("the command of --on-event", acts, move |call| {
        run_one(&command, &call.json, LONGEST)
    })
}

/// An event with what belongs to it, as one line of JSON.
pub(super) fn told(now: &Snapshot, event: &Event) -> Option<String> {
    let told = Told {
        event: event.kind,
        number: event.number,
        at_s: event.at_s,
        text: &event.text,
        grave: event.kind.is_grave(),
        run: &now.run.name,
        folder: &now.run.folder,
        job: &now.run.job,
        invented: now.run.invented,
        pressure_state: now.pressure.state,
        pressure_micron: now.pressure.micron,
    };
    serde_json::to_string(&told).ok()
}

/// Runs it, and ends it when its time is up. Its output goes nowhere: the screen is
/// the recording's.
fn run_one(command: &str, line: &str, longest: Duration) -> Result<(), String> {
    let mut child = shell(command)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|e| format!("cannot be started: {e}"))?;
    if let Some(mut stdin) = child.stdin.take() {
        // shorter than a pipe holds: writing does not wait; not every command reads it
        let _ = writeln!(stdin, "{line}");
    }
    let end = Instant::now() + longest;
    let mut pause = Duration::from_millis(5);
    loop {
        match child.try_wait() {
            Ok(Some(status)) if status.success() => return Ok(()),
            Ok(Some(status)) => return Err(format!("failed ({status})")),
            Ok(None) if Instant::now() < end => {
                std::thread::sleep(pause);
                pause = (pause * 2).min(Duration::from_millis(200));
            }
            Ok(None) => {
                finish_off(&mut child);
                let seconds = longest.as_secs_f64();
                return Err(format!("took longer than {seconds:.0} s and was ended"));
            }
            Err(e) => return Err(format!("cannot be waited for: {e}")),
        }
    }
}

#[cfg(unix)]
fn shell(command: &str) -> Command {
    use std::os::unix::process::CommandExt;
    let mut shell = Command::new("/bin/sh");
    // a group of its own: Ctrl-C is the recording's, and its children can be ended too
    shell.arg("-c").arg(command).process_group(0);
    shell
}

#[cfg(not(unix))]
fn shell(command: &str) -> Command {
    let mut shell = Command::new("cmd");
    shell.arg("/C").arg(command);
    shell
}

fn finish_off(child: &mut Child) {
    #[cfg(unix)]
    {
        let group = rustix::process::Pid::from_child(child);
        let _ = rustix::process::kill_process_group(group, rustix::process::Signal::KILL);
    }
    let _ = child.kill();
    let _ = child.wait();
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use super::*;

    #[test]
    fn the_command_reads_one_line_and_its_words_go_nowhere() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("heard");
        let command = format!("cat > '{}'; echo noise; echo noise >&2", file.display());
        let line = "{\"event\":\"target_reached\",\"text\":\"$(touch x) ; `id`\"}";
        run_one(&command, line, LONGEST).expect("it runs");
        let heard = std::fs::read_to_string(file).expect("heard");
        assert_eq!(
            heard,
            format!("{line}\n"),
            "data, never part of the command"
        );
    }

    #[test]
    fn one_that_hangs_is_ended_with_its_children() {
        let begun = Instant::now();
        let why = run_one("sleep 60 & sleep 60", "{}", Duration::from_millis(200));
        assert!(why.expect_err("ended").contains("longer"));
        assert!(begun.elapsed() < Duration::from_secs(5));
    }
}
