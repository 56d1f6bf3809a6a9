//! A gauge on a pseudo-terminal behind a stable link, with a plug to pull.
//!
//! The terminals are closed on exec: a logger started by another test must not
//! inherit one, or a pulled plug would go unnoticed.

use std::{
    ffi::OsStr,
    fs::File,
    io::Write,
    os::{fd::OwnedFd, unix::ffi::OsStrExt, unix::fs::symlink},
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicU64, Ordering},
    },
    thread::JoinHandle,
    time::{Duration, Instant},
};

use rustix::{
    io::ioctl_fionread,
    pty::{OpenptFlags, ioctl_tiocgptpeer, openpt, ptsname, unlockpt},
    termios::{OptionalActions, tcgetattr, tcsetattr},
};

/// Longest wait for a reader.
const PATIENCE: Duration = Duration::from_secs(20);

/// Both ends of the pair.
struct Plug {
    far: File,
    /// Keeps the device alive while nobody has it open, and shows what is unread.
    near: OwnedFd,
    device: PathBuf,
}

/// A gauge whose device path stays the same when it is replugged.
pub(crate) struct Gauge {
    plug: Option<Plug>,
    link: PathBuf,
}

impl Plug {
    fn new() -> Self {
        let flags = OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC;
        let far = openpt(flags).expect("a pseudo-terminal");
        unlockpt(&far).expect("an unlocked pseudo-terminal");
        let name = ptsname(&far, Vec::new()).expect("its name");
        let near = ioctl_tiocgptpeer(&far, flags).expect("its near end");
        let mut raw = tcgetattr(&near).expect("its settings");
        raw.make_raw();
        tcsetattr(&near, OptionalActions::Now, &raw).expect("raw, or it echoes");
        Self {
            far: far.into(),
            near,
            device: OsStr::from_bytes(name.to_bytes()).into(),
        }
    }
}

impl Gauge {
    /// Plugged in, reachable at `folder/gauge`.
    pub(crate) fn plugged_in(folder: &Path) -> Self {
        let mut gauge = Self::absent(folder);
        gauge.plug_in();
        gauge
    }

    /// Not there yet.
    pub(crate) fn absent(folder: &Path) -> Self {
        Self {
            plug: None,
            link: folder.join("gauge"),
        }
    }

    /// The path to open.
    pub(crate) fn path(&self) -> &Path {
        &self.link
    }

    pub(crate) fn plug_in(&mut self) {
        let plug = Plug::new();
        symlink(&plug.device, &self.link).expect("a link");
        self.plug = Some(plug);
    }

    /// Pulls the plug once everything said was read.
    pub(crate) fn unplug(&mut self) {
        self.drain();
        std::fs::remove_file(&self.link).expect("the link goes");
        self.plug = None;
    }

    /// Waits until somebody reads: some systems flush a port on opening, and a
    /// blank line may be lost.
    pub(crate) fn await_reader(&mut self) {
        self.say("\r\n");
        self.drain();
    }

    pub(crate) fn say(&mut self, text: &str) {
        self.say_bytes(text.as_bytes());
    }

    /// Writes all of it; waits while the device's buffer is full.
    pub(crate) fn say_bytes(&mut self, bytes: &[u8]) {
        let plug = self.plug.as_mut().expect("plugged in");
        plug.far.write_all(bytes).expect("the gauge speaks");
    }

    /// One line of the dialect `number-unit-line`.
    pub(crate) fn say_micron(&mut self, micron: f64) {
        self.say(&format!("{micron:.1} micron\r\n"));
    }

    /// Waits until everything said was read. The kernel hands bytes over on a
    /// worker of its own, so the queue must stay empty for a while.
    pub(crate) fn drain(&self) {
        let plug = self.plug.as_ref().expect("plugged in");
        let give_up = Instant::now() + PATIENCE;
        let mut empty = 0;
        while empty < 15 {
            assert!(Instant::now() < give_up, "nobody reads the gauge");
            std::thread::sleep(Duration::from_millis(2));
            let unread = ioctl_fionread(&plug.near).expect("a count");
            empty = if unread == 0 { empty + 1 } else { 0 };
        }
    }
}

/// A gauge that says the same again and again, as a real one does, until it is dropped.
pub(crate) struct Repeating {
    over: Arc<AtomicBool>,
    /// What it says, micron, as bits.
    says: Arc<AtomicU64>,
    thread: Option<JoinHandle<()>>,
}

impl Gauge {
    /// Says this ten times a second.
    pub(crate) fn repeats(mut self, micron: f64) -> Repeating {
        let over = Arc::new(AtomicBool::new(false));
        let says = Arc::new(AtomicU64::new(micron.to_bits()));
        let (seen, said) = (Arc::clone(&over), Arc::clone(&says));
        let thread = std::thread::spawn(move || {
            while !seen.load(Ordering::SeqCst) {
                self.say_micron(f64::from_bits(said.load(Ordering::SeqCst)));
                std::thread::sleep(Duration::from_millis(100));
            }
        });
        Repeating {
            over,
            says,
            thread: Some(thread),
        }
    }
}

impl Repeating {
    /// Says this from now on.
    pub(crate) fn says(&self, micron: f64) {
        self.says.store(micron.to_bits(), Ordering::SeqCst);
    }
}

impl Drop for Repeating {
    fn drop(&mut self) {
        self.over.store(true, Ordering::SeqCst);
        let _ = self.thread.take().map(JoinHandle::join);
    }
}
