//! A person's own command, once for each event.

use std::{
    io::Write,
    process::{Child, Command, Stdio},
    sync::mpsc::{Receiver, SyncSender, TrySendError, sync_channel},
    thread::JoinHandle,
    time::{Duration, Instant},
};

use serde::Serialize;
use tokio::sync::mpsc::UnboundedSender;

use crate::{
    outcome::Failure,
    watch::{Act, EventKind, Snapshot, events::Event},
};

/// Events that wait for the command before them.
const WAITING: usize = 32;
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

/// Passes events on to the command.
pub(super) struct Hook {
    queue: SyncSender<String>,
    acts: UnboundedSender<Act>,
}

impl Hook {
    /// The hook, and the thread that ends when the hook is gone and all was run.
    pub(super) fn start(
        command: &str,
        acts: UnboundedSender<Act>,
    ) -> Result<(Self, JoinHandle<()>), Failure> {
        let (queue, waiting) = sync_channel(WAITING);
        let (command, tells) = (command.to_owned(), acts.clone());
        let thread = std::thread::Builder::new()
            .name("on-event".into())
            .spawn(move || run_all(&command, &waiting, &tells))
            .map_err(Failure::other)?;
        Ok((Self { queue, acts }, thread))
    }

    /// Never waits: what finds the queue full is left out, and said.
    pub(super) fn call(&self, now: &Snapshot, event: &Event) {
        let Some(line) = told(now, event) else { return };
        if let Err(TrySendError::Full(_)) = self.queue.try_send(line) {
            let late = "the command of --on-event is too slow; an event was left out";
            let _ = self.acts.send(Act::Tell(late.into()));
        }
    }
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

fn run_all(command: &str, waiting: &Receiver<String>, acts: &UnboundedSender<Act>) {
    let mut said = false;
    while let Ok(line) = waiting.recv() {
        let Err(why) = run_one(command, &line, LONGEST) else {
            continue;
        };
        // once is enough: the recording goes on either way
        if !std::mem::replace(&mut said, true) {
            let text = format!("the command of --on-event {why}; the recording does not need it");
            let _ = acts.send(Act::Tell(text));
        }
    }
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

    #[test]
    fn failures_are_said_once() {
        let (acts, mut told) = tokio::sync::mpsc::unbounded_channel();
        let (queue, waiting) = sync_channel(4);
        for _ in 0..3 {
            queue.send("{}".into()).expect("room");
        }
        drop(queue);
        run_all("exit 3", &waiting, &acts);
        drop(acts);
        let Some(Act::Tell(text)) = told.blocking_recv() else {
            panic!("told")
        };
        assert!(text.contains("failed"), "{text}");
        assert!(told.blocking_recv().is_none(), "once");
    }
}
