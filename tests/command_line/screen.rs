//! `dryhold` on a terminal of its own: what stands on its screen, keys typed at it.

use std::{
    fs::File,
    io::{Read, Write},
    os::fd::OwnedFd,
    process::{Child, Command, Stdio},
    sync::{Arc, Mutex},
    time::{Duration, Instant},
};

use rustix::{
    process::{Pid, Signal, kill_process},
    pty::{OpenptFlags, ioctl_tiocgptpeer, openpt, unlockpt},
    termios::{Termios, Winsize, tcgetattr, tcsetwinsize},
};

use crate::{
    logger::wait_until,
    run::{Ran, command},
};

/// A program on a terminal.
pub(crate) struct Screen {
    child: Option<Child>,
    /// The person's side; `None` once the terminal was taken away.
    far: Option<File>,
    /// Kept open to see what the program leaves the terminal like.
    near: Option<OwnedFd>,
    before: Termios,
    parser: Arc<Mutex<vt100::Parser>>,
    raw: Arc<Mutex<Vec<u8>>>,
}

impl Screen {
    /// Starts a command on a terminal of this size; `env` replaces what is set.
    pub(crate) fn start(size: (u16, u16), arguments: &[&str], env: &[(&str, &str)]) -> Self {
        Self::start_command(command(), size, arguments, env)
    }

    /// The same of a program of the caller's own.
    pub(crate) fn start_command(
        mut program: Command,
        (columns, rows): (u16, u16),
        arguments: &[&str],
        env: &[(&str, &str)],
    ) -> Self {
        let flags = OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC;
        let far = openpt(flags).expect("a terminal");
        unlockpt(&far).expect("unlocked");
        let near = ioctl_tiocgptpeer(&far, flags).expect("its near end");
        tcsetwinsize(&near, size(columns, rows)).expect("a size");
        let before = tcgetattr(&near).expect("its settings");
        let end = || Stdio::from(near.try_clone().expect("another end"));
        let child = program
            .args(arguments)
            .env("TERM", "xterm-256color")
            .env("LC_ALL", "C.UTF-8")
            .env_remove("NO_COLOR")
            .envs(env.iter().copied())
            .stdin(end())
            .stdout(end())
            .stderr(end())
            .spawn()
            .expect("it starts");
        let far = File::from(far);
        let parser = Arc::new(Mutex::new(vt100::Parser::new(rows, columns, 0)));
        let raw = Arc::new(Mutex::new(Vec::new()));
        let (mut eyes, sees, keeps) = (
            far.try_clone().expect("eyes"),
            Arc::clone(&parser),
            Arc::clone(&raw),
        );
        std::thread::spawn(move || {
            let mut bytes = [0; 4_096];
            while let Ok(count @ 1..) = eyes.read(&mut bytes) {
                sees.lock()
                    .expect("nobody panicked")
                    .process(&bytes[..count]);
                keeps
                    .lock()
                    .expect("nobody panicked")
                    .extend(&bytes[..count]);
            }
        });
        Self {
            child: Some(child),
            far: Some(far),
            near: Some(near),
            before,
            parser,
            raw,
        }
    }

    /// What stands on the screen.
    pub(crate) fn text(&self) -> String {
        let parser = self.parser.lock().expect("nobody panicked");
        parser.screen().contents()
    }

    /// Every byte it was sent.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        self.raw.lock().expect("nobody panicked").clone()
    }

    /// True while the program has the whole screen.
    pub(crate) fn is_full(&self) -> bool {
        let parser = self.parser.lock().expect("nobody panicked");
        parser.screen().alternate_screen()
    }

    /// Waits until this stands on it.
    #[track_caller]
    pub(crate) fn wait_for(&self, words: &str) {
        let give_up = Instant::now() + Duration::from_secs(20);
        while !self.text().contains(words) {
            assert!(
                Instant::now() < give_up,
                "{words} never came:\n{}",
                self.text()
            );
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// Types.
    pub(crate) fn keys(&mut self, keys: &str) {
        let far = self.far.as_mut().expect("a terminal");
        far.write_all(keys.as_bytes()).expect("typed");
    }

    /// Changes the window's size.
    pub(crate) fn resize(&mut self, columns: u16, rows: u16) {
        let far = self.far.as_ref().expect("a terminal");
        tcsetwinsize(far, size(columns, rows)).expect("a size");
        let mut parser = self.parser.lock().expect("nobody panicked");
        // what stood there is drawn anew; the reader's own resizing loses its way
        *parser = vt100::Parser::new(rows, columns, 0);
        parser.process(b"\x1b[?1049h");
    }

    /// Sends a signal.
    pub(crate) fn signal(&self, signal: Signal) {
        let child = self.child.as_ref().expect("running");
        kill_process(Pid::from_child(child), signal).expect("a signal");
    }

    /// True when the terminal is as it was before.
    pub(crate) fn is_given_back(&self) -> bool {
        let now = tcgetattr(self.near.as_ref().expect("a terminal")).expect("its settings");
        now.local_modes == self.before.local_modes && now.input_modes == self.before.input_modes
    }

    /// Takes the terminal away, as a line that drops does.
    pub(crate) fn hang_up(&mut self) {
        self.near = None;
        // the thread that looks keeps the far end open until the program reads no more
        self.far = None;
        self.signal(Signal::HUP);
    }

    /// State of the process as the system has it: `R`, `S`, `T` …
    #[cfg(target_os = "linux")]
    pub(crate) fn state(&self) -> char {
        let child = self.child.as_ref().expect("running");
        let stat =
            std::fs::read_to_string(format!("/proc/{}/stat", child.id())).expect("its state");
        let (_, rest) = stat.rsplit_once(") ").expect("a name in brackets");
        rest.chars().next().expect("a letter")
    }

    /// Process number.
    pub(crate) fn id(&self) -> u32 {
        self.child.as_ref().expect("running").id()
    }

    /// True while it runs.
    pub(crate) fn is_running(&mut self) -> bool {
        let child = self.child.as_mut().expect("started");
        child.try_wait().expect("a state").is_none()
    }

    /// Waits for its end; gives its exit status.
    #[track_caller]
    pub(crate) fn ended(&mut self) -> Ran {
        wait_until("its end", || !self.is_running());
        // what it said last is on its way
        std::thread::sleep(Duration::from_millis(50));
        let child = self.child.take().expect("started");
        let mut output = child.wait_with_output().expect("its end");
        output.stdout = self.text().into_bytes();
        Ran::of(&output)
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        if let Some(mut child) = self.child.take() {
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}

fn size(columns: u16, rows: u16) -> Winsize {
    Winsize {
        ws_row: rows,
        ws_col: columns,
        ws_xpixel: 0,
        ws_ypixel: 0,
    }
}
