//! `dryhold log` as a process of its own: typed at, interrupted, killed.

use std::{
    io::{BufRead, BufReader, Write},
    path::{Path, PathBuf},
    process::{Child, Stdio},
    sync::{Arc, Mutex},
    thread::JoinHandle,
    time::{Duration, Instant},
};

use rustix::process::{Pid, Signal, kill_process};

use crate::run::{Ran, Row, command, only_run, trace};

/// Longest wait for something the logger should do soon.
const PATIENCE: Duration = Duration::from_secs(20);

/// A running logger.
pub(crate) struct Logger {
    child: Option<Child>,
    said: Arc<Mutex<String>>,
    ears: Option<JoinHandle<()>>,
    out: PathBuf,
}

impl Logger {
    /// `dryhold log --port PORT --dialect number-unit-line --out OUT options…`
    pub(crate) fn start(port: &Path, out: &Path, options: &[&str]) -> Self {
        Self::start_on(&port.to_string_lossy(), "number-unit-line", out, options)
    }

    /// The same with any address and dialect.
    pub(crate) fn start_on(port: &str, dialect: &str, out: &Path, options: &[&str]) -> Self {
        let log = ["log", "--port", port, "--dialect", dialect];
        Self::start_command(out, &[&log, options].concat())
    }

    /// Any command that records below `out` until it is stopped.
    pub(crate) fn start_command(out: &Path, arguments: &[&str]) -> Self {
        let below = out.to_string_lossy();
        Self::start_plain(out, &[arguments, &["--out", &below]].concat())
    }

    /// Any command that records below `out` without being told so.
    pub(crate) fn start_plain(out: &Path, arguments: &[&str]) -> Self {
        Self::start_where(out, arguments, &[])
    }

    /// The same, with the home folder and the like elsewhere.
    pub(crate) fn start_where(out: &Path, arguments: &[&str], places: &[(&str, &Path)]) -> Self {
        let mut child = command()
            .args(arguments)
            .envs(places.iter().copied())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the logger starts");
        let said = Arc::new(Mutex::new(String::new()));
        let stdout = BufReader::new(child.stdout.take().expect("its output"));
        let hears = Arc::clone(&said);
        let ears = std::thread::spawn(move || {
            for line in stdout.lines().map_while(Result::ok) {
                let mut said = hears.lock().expect("nobody panicked");
                said.push_str(&line);
                said.push('\n');
            }
        });
        Self {
            child: Some(child),
            said,
            ears: Some(ears),
            out: out.to_owned(),
        }
    }

    fn child(&mut self) -> &mut Child {
        self.child.as_mut().expect("running")
    }

    /// Its process.
    pub(crate) fn pid(&mut self) -> u32 {
        self.child().id()
    }

    /// What it has printed so far.
    pub(crate) fn said(&self) -> String {
        self.said.lock().expect("nobody panicked").clone()
    }

    /// Waits until it has printed `words`.
    #[track_caller]
    pub(crate) fn wait_for(&self, words: &str) {
        wait_until(words, || self.said().contains(words));
    }

    /// Waits until this many rows are in the record.
    #[track_caller]
    pub(crate) fn wait_for_rows(&self, count: usize) {
        wait_until("rows in the record", || {
            self.said().contains("Recording to") && whole_rows(&only_run(&self.out)) >= count
        });
    }

    /// Waits until this many readings with a pressure are in the record.
    #[track_caller]
    pub(crate) fn wait_for_readings(&self, count: usize) {
        wait_until("readings in the record", || {
            let bytes = std::fs::read(only_run(&self.out).join("trace.csv")).unwrap_or_default();
            let text = String::from_utf8_lossy(&bytes);
            let measured = |line: &&str| line.ends_with('\n') && line.contains(",ok,");
            text.split_inclusive('\n').filter(measured).count() >= count
        });
    }

    /// Types a line.
    pub(crate) fn type_line(&mut self, line: &[u8]) {
        let keyboard = self.child().stdin.as_mut().expect("a keyboard");
        keyboard.write_all(line).expect("typing");
        keyboard.write_all(b"\n").expect("Enter");
        keyboard.flush().expect("typed");
    }

    /// Closes the keyboard, as a terminal that goes away does.
    pub(crate) fn close_keyboard(&mut self) {
        self.child().stdin = None;
    }

    /// Memory it has in use, KiB: its own and the pages of its files, the program's
    /// and the libraries' among them.
    #[cfg(target_os = "linux")]
    pub(crate) fn resident_kib(&mut self) -> u64 {
        self.status_kib("VmRSS:")
    }

    /// The most that ever was, KiB, as the system kept it.
    #[cfg(target_os = "linux")]
    pub(crate) fn most_resident_kib(&mut self) -> u64 {
        self.status_kib("VmHWM:")
    }

    #[cfg(target_os = "linux")]
    fn status_kib(&mut self, name: &str) -> u64 {
        let path = format!("/proc/{}/status", self.child().id());
        let status = std::fs::read_to_string(path).expect("its status");
        let line = status.lines().find_map(|l| l.strip_prefix(name));
        let number = line.and_then(|l| l.trim().strip_suffix(" kB"));
        number.and_then(|n| n.trim().parse().ok()).expect("a size")
    }

    /// Ctrl-C, without waiting.
    pub(crate) fn interrupt(&mut self) {
        self.signal(Signal::INT);
    }

    /// Sends a signal.
    pub(crate) fn signal(&mut self, signal: Signal) {
        let pid = Pid::from_child(self.child());
        kill_process(pid, signal).expect("a signal");
    }

    /// Ctrl-C; gives what it said and the rows it leaves.
    #[track_caller]
    pub(crate) fn stop(mut self) -> (Ran, Vec<Row>) {
        self.interrupt();
        let out = self.out.clone();
        let ran = self.ended();
        let rows = trace(&only_run(&out));
        (ran, rows)
    }

    /// Ctrl-C; gives what it said.
    #[track_caller]
    pub(crate) fn interrupted(mut self) -> Ran {
        self.interrupt();
        self.ended()
    }

    /// Waits for its end.
    #[track_caller]
    pub(crate) fn ended(mut self) -> Ran {
        let child = self.child();
        let give_up = Instant::now() + PATIENCE;
        while child.try_wait().expect("a state").is_none() {
            assert!(Instant::now() < give_up, "the logger does not end");
            std::thread::sleep(Duration::from_millis(5));
        }
        let child = self.child.take().expect("running");
        let mut output = child.wait_with_output().expect("its end");
        if let Some(ears) = self.ears.take() {
            ears.join().expect("its output");
        }
        output.stdout = self.said().into_bytes();
        Ran::of(&output)
    }

    /// Whether it has come to its end by itself.
    pub(crate) fn has_ended(&mut self) -> bool {
        self.child().try_wait().expect("a state").is_some()
    }

    /// kill -9: no chance to close anything.
    pub(crate) fn kill(mut self) {
        let mut child = self.child.take().expect("running");
        child.kill().expect("a signal");
        child.wait().expect("its end");
    }
}

impl Drop for Logger {
    fn drop(&mut self) {
        // only after a failed test
        if let Some(mut child) = self.child.take() {
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}

/// Rows with a line end in a record that is being written.
pub(crate) fn whole_rows(folder: &Path) -> usize {
    let bytes = std::fs::read(folder.join("trace.csv")).unwrap_or_default();
    let ends = bytes.iter().filter(|b| **b == b'\n').count();
    ends.saturating_sub(1)
}

/// Waits, failing when it takes too long.
#[track_caller]
pub(crate) fn wait_until(what: &str, mut done: impl FnMut() -> bool) {
    let give_up = Instant::now() + PATIENCE;
    while !done() {
        assert!(Instant::now() < give_up, "{what}: waited in vain");
        std::thread::sleep(Duration::from_millis(10));
    }
}
