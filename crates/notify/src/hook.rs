//! A person's own command, once for each event.

use std::{
    io::Write,
    process::{Child, Command, ExitStatus, Stdio},
    thread::JoinHandle,
    time::{Duration, Instant},
};

use tokio::sync::mpsc::UnboundedSender;
use watch::Act;

use crate::caller::{Caller, EndBy};

/// A command that takes longer is ended.
const LONGEST: Duration = Duration::from_secs(15);

/// Starts what runs the command, once for each event.
pub(crate) fn start(
    command: &str,
    acts: UnboundedSender<Act>,
    end: EndBy,
) -> std::io::Result<(Caller, JoinHandle<()>)> {
    let command = command.to_owned();
    let mut running = Running::new(LONGEST, end.clone());
    let what = "the command of --on-event";
    Caller::start(what, acts, end, move |call| match call {
        Some(call) => running.run_one(&command, &call.json),
        None => {
            running.tidy();
            Ok(())
        }
    })
}

/// Commands that run, each a group of processes of its own: what it starts in the
/// background belongs to it. None outlives its time, nor the recording.
struct Running {
    longest: Duration,
    end: EndBy,
    /// Ended themselves, and are not cleared away yet: as long as that is so the number
    /// of their group is nobody else's.
    left: Vec<(Child, Instant)>,
}

impl Running {
    fn new(longest: Duration, end: EndBy) -> Self {
        Self {
            longest,
            end,
            left: Vec::new(),
        }
    }

    /// Runs one. Its output goes nowhere: the screen is the recording's.
    fn run_one(&mut self, command: &str, line: &str) -> Result<(), String> {
        self.tidy();
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
        let begun = Instant::now();
        let mut pause = Duration::from_millis(5);
        loop {
            match has_ended(&mut child) {
                Ok(Some(true)) => {
                    self.left.push((child, begun));
                    return Ok(());
                }
                Ok(Some(false)) => {
                    let status = finish_off(&mut child);
                    let status = status.map(|status| format!(" ({status})"));
                    return Err(format!("failed{}", status.unwrap_or_default()));
                }
                Ok(None) if !self.is_over(begun) => {
                    std::thread::sleep(pause);
                    pause = (pause * 2).min(Duration::from_millis(200));
                }
                Ok(None) => {
                    finish_off(&mut child);
                    let seconds = begun.elapsed().as_secs_f64();
                    return Err(format!("took longer than {seconds:.0} s and was ended"));
                }
                Err(e) => {
                    finish_off(&mut child);
                    return Err(format!("cannot be waited for: {e}"));
                }
            }
        }
    }

    fn is_over(&self, begun: Instant) -> bool {
        begun.elapsed() >= self.longest || self.end.is_over()
    }

    /// Ends what commands left in the background, where its time is up.
    fn tidy(&mut self) {
        let (longest, over) = (self.longest, self.end.is_over());
        self.left.retain_mut(|(child, begun)| {
            let over = over || begun.elapsed() >= longest;
            if over {
                finish_off(child);
            }
            !over
        });
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        for (child, _) in &mut self.left {
            finish_off(child);
        }
    }
}

/// Whether a command has ended, and if so, well. It is not cleared away yet.
#[cfg(unix)]
fn has_ended(child: &mut Child) -> std::io::Result<Option<bool>> {
    use rustix::process::{Pid, WaitId, WaitIdOptions, waitid};
    let looks = WaitIdOptions::EXITED | WaitIdOptions::NOHANG | WaitIdOptions::NOWAIT;
    let found = waitid(WaitId::Pid(Pid::from_child(child)), looks)?;
    Ok(found.map(|status| status.exit_status() == Some(0)))
}

#[cfg(not(unix))]
fn has_ended(child: &mut Child) -> std::io::Result<Option<bool>> {
    Ok(child.try_wait()?.map(|status| status.success()))
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

/// Ends a command with all that belongs to it, and clears it away; gives how it ended.
fn finish_off(child: &mut Child) -> Option<ExitStatus> {
    #[cfg(unix)]
    {
        let group = rustix::process::Pid::from_child(child);
        let _ = rustix::process::kill_process_group(group, rustix::process::Signal::KILL);
    }
    let _ = child.kill();
    child.wait().ok()
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
        running(LONGEST).run_one(&command, line).expect("it runs");
        let heard = std::fs::read_to_string(file).expect("heard");
        assert_eq!(
            heard,
            format!("{line}\n"),
            "data, never part of the command"
        );
    }

    fn running(longest: Duration) -> Running {
        Running::new(longest, EndBy::default())
    }

    /// A command that writes the number of what it leaves running into a file.
    fn leaving(folder: &std::path::Path) -> (String, std::path::PathBuf) {
        let file = folder.join("left");
        (format!("sleep 300 & echo $! > '{}'", file.display()), file)
    }

    /// True while the process with the number in this file runs.
    fn runs(file: &std::path::Path) -> bool {
        let number = std::fs::read_to_string(file).expect("its number");
        let number = number.trim().parse().expect("a number");
        let pid = rustix::process::Pid::from_raw(number).expect("a process");
        rustix::process::test_kill_process(pid).is_ok()
    }

    fn wait_until_gone(file: &std::path::Path) {
        let begun = Instant::now();
        while runs(file) {
            assert!(begun.elapsed() < Duration::from_secs(10), "it still runs");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    #[test]
    fn one_that_hangs_is_ended_with_its_children() {
        let folder = tempfile::tempdir().expect("a folder");
        let (command, file) = leaving(folder.path());
        let begun = Instant::now();
        let mut running = running(Duration::from_millis(500));
        let why = running.run_one(&format!("{command}; sleep 300"), "{}");
        assert!(why.expect_err("ended").contains("longer"));
        assert!(begun.elapsed() < Duration::from_secs(5));
        wait_until_gone(&file);
    }

    #[test]
    fn what_it_leaves_in_the_background_has_its_time_and_no_more() {
        let folder = tempfile::tempdir().expect("a folder");
        let (command, file) = leaving(folder.path());
        let mut running = running(Duration::from_millis(400));
        running.run_one(&command, "{}").expect("it ends at once");
        running.tidy();
        assert!(runs(&file), "its time is not up");
        std::thread::sleep(Duration::from_millis(450));
        running.tidy();
        wait_until_gone(&file);
    }

    #[test]
    fn nothing_outlives_the_recording() {
        let folder = tempfile::tempdir().expect("a folder");
        let (command, file) = leaving(folder.path());
        let end = EndBy::default();
        let mut running = Running::new(LONGEST, end.clone());
        running.run_one(&command, "{}").expect("it ends at once");
        end.set(Instant::now());
        let begun = Instant::now();
        let why = running.run_one("sleep 300", "{}");
        assert!(why.expect_err("ended").contains("was ended"));
        assert!(begun.elapsed() < Duration::from_secs(5));
        drop(running);
        wait_until_gone(&file);
    }
}
