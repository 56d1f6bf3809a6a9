//! The simulated gauge as a serial device: a pseudo-terminal pair whose near end
//! is opened like any serial port, or a connection on this computer.
//!
//! Traps met here: the kernel throws unread input away when the far end closes,
//! so the bench waits until everything was read and keeps both ends open until it
//! is dropped; a pseudo-terminal does not pace by its baud rate, so the bench
//! does; some systems flush the port on opening, so the gauge keeps quiet until
//! somebody has opened it and taken a first blank line.

use std::{
    io,
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicU64, Ordering},
        mpsc::{self, Receiver, Sender},
    },
    thread::{self, JoinHandle},
    time::{Duration, Instant},
};

use vacuum::MarkKind;

use crate::{
    SimEvent, SimKind, Simulation,
    bench_error::BenchError,
    far_end::{FarEnd, Line, is_for_now},
    faults::{Faults, Pending},
    wire::{self, Speaks},
};

/// How fast simulated time passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pace {
    /// So many simulated seconds per second; above 0.
    Times(f64),
    /// As fast as the line is read.
    Unlimited,
}

/// A mark to stamp.
#[derive(Debug, Clone, PartialEq)]
pub struct TimedMark {
    /// Simulated time, s: stamp it when the gauge's clock passes this.
    pub t_s: f64,
    /// What was done.
    pub kind: MarkKind,
    /// Remark, possibly empty.
    pub note: String,
}

/// A simulated gauge on a pseudo-terminal.
///
/// It starts to speak when the port at [`path`](Self::path) is opened and read,
/// and stays plugged in, silent, after the run until it is dropped.
#[derive(Debug)]
pub struct GaugeBench {
    path: PathBuf,
    marks: Receiver<TimedMark>,
    shared: Arc<Shared>,
    thread: Option<JoinHandle<Result<FarEnd, BenchError>>>,
    // both ends stay open until the bench goes
    plug: Option<FarEnd>,
}

#[derive(Debug, Default)]
struct Shared {
    stop: AtomicBool,
    finished: AtomicBool,
    lines: AtomicU64,
}

impl GaugeBench {
    /// Opens the line and makes the gauge ready.
    ///
    /// # Errors
    /// [`BenchError`] when there is no line or the speed is not above 0.
    pub fn open(simulation: Simulation, line: Line, pace: Pace) -> Result<Self, BenchError> {
        Self::speaking((Speaks::Micron, simulation), line, pace)
    }

    /// A pressure transmitter that says what was played.
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub fn open_under_pressure(
        events: Vec<SimEvent>,
        line: Line,
        pace: Pace,
    ) -> Result<Self, BenchError> {
        Self::speaking((Speaks::Bar, events.into_iter()), line, pace)
    }

    /// A vacuum gauge, or a scale, that says what was played.
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub fn open_playing(events: Vec<SimEvent>, line: Line, pace: Pace) -> Result<Self, BenchError> {
        Self::speaking((Speaks::Micron, events.into_iter()), line, pace)
    }

    /// The same with trouble on the wire, and a pseudo-terminal behind a symbolic link at
    /// `link` (replaced on every replug, removed when unplugged).
    ///
    /// # Errors
    /// As [`open`](Self::open); also when the link cannot be made, or is missing
    /// although the plug of a pseudo-terminal shall be pulled.
    pub fn open_with(
        simulation: Simulation,
        line: Line,
        pace: Pace,
        (faults, link): (Faults, Option<PathBuf>),
    ) -> Result<Self, BenchError> {
        let needs_link = match line {
            #[cfg(unix)]
            Line::PseudoTerminal => true,
            Line::Loopback => false,
        };
        if needs_link && link.is_none() && !faults.unplug.is_empty() {
            return Err(BenchError::NoLink);
        }
        let spoken = (Speaks::Micron, simulation);
        Self::troubled(spoken, line, pace, (faults, link))
    }

    fn speaking(
        spoken: (Speaks, impl Iterator<Item = SimEvent> + Send + 'static),
        line: Line,
        pace: Pace,
    ) -> Result<Self, BenchError> {
        Self::troubled(spoken, line, pace, (Faults::default(), None))
    }

    fn troubled(
        (speaks, events): (Speaks, impl Iterator<Item = SimEvent> + Send + 'static),
        line: Line,
        pace: Pace,
        (faults, link): (Faults, Option<PathBuf>),
    ) -> Result<Self, BenchError> {
        if let Pace::Times(speed) = pace
            && !(speed.is_finite() && speed > 0.0)
        {
            return Err(BenchError::Speed { speed });
        }
        let (plug, device) =
            FarEnd::new(line).map_err(|cause| BenchError::NoLine { line, cause })?;
        if let Some(link) = &link {
            place(link, &device)?;
        }
        let path = link.clone().unwrap_or(device);
        let (send, marks) = mpsc::channel();
        let shared = Arc::new(Shared::default());
        let speaker = Speaker {
            plug,
            speaks,
            link,
            pace,
            faults: Pending::new(faults),
            marks: send,
            shared: Arc::clone(&shared),
            origin: None,
        };
        let thread = thread::Builder::new()
            .name("rehearsal-gauge".into())
            .spawn(move || speaker.run(events))
            .map_err(BenchError::Write)?;
        Ok(Self {
            path,
            marks,
            shared,
            thread: Some(thread),
            plug: None,
        })
    }

    /// The device path to open as a serial port.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The dialect file (TOML) that describes its lines.
    #[must_use]
    pub const fn dialect_toml() -> &'static str {
        wire::DIALECT
    }

    /// The same for the lines of the pressure transmitter.
    #[must_use]
    pub const fn pressure_dialect_toml() -> &'static str {
        wire::PRESSURE_DIALECT
    }

    /// The same for the lines of the scale.
    #[must_use]
    pub const fn scale_dialect_toml() -> &'static str {
        wire::SCALE_DIALECT
    }

    /// Marks in order of time. A mark is handed over before any line with a
    /// later or equal time is sent; the channel closes when the run is over.
    #[must_use]
    pub fn marks(&self) -> &Receiver<TimedMark> {
        &self.marks
    }

    /// True once every line was sent and, as far as the kernel tells, read. The
    /// port stays open, so a reader that wants to be certain reads on until
    /// [`lines_sent`](Self::lines_sent) lines have come.
    #[must_use]
    pub fn finished(&self) -> bool {
        self.shared.finished.load(Ordering::Acquire)
    }

    /// Gauge lines sent so far.
    #[must_use]
    pub fn lines_sent(&self) -> u64 {
        self.shared.lines.load(Ordering::Acquire)
    }

    /// Waits until the run is over and read. The port stays open until the bench
    /// is dropped.
    ///
    /// # Errors
    /// What went wrong on the gauge's side.
    pub fn join(&mut self) -> Result<(), BenchError> {
        if let Some(thread) = self.thread.take() {
            self.plug = Some(thread.join().map_err(|_| BenchError::Broken)??);
        }
        Ok(())
    }
}

impl Drop for GaugeBench {
    fn drop(&mut self) {
        self.shared.stop.store(true, Ordering::Release);
        // nothing can be told from here; `join` is the way to hear of errors
        let _ = self.join();
    }
}

/// Puts the link in place.
fn place(link: &Path, device: &Path) -> Result<(), BenchError> {
    #[cfg(unix)]
    let placed = crate::link::place_link(link, device);
    #[cfg(not(unix))]
    let placed = {
        let _ = device;
        Err(io::ErrorKind::Unsupported.into())
    };
    placed.map_err(|cause| BenchError::Link {
        path: link.to_owned(),
        cause,
    })
}

struct Speaker {
    plug: FarEnd,
    speaks: Speaks,
    link: Option<PathBuf>,
    pace: Pace,
    faults: Pending,
    marks: Sender<TimedMark>,
    shared: Arc<Shared>,
    /// When simulated time 0 was, once somebody listened.
    origin: Option<Instant>,
}

/// Between looks at a port nobody reads.
const LOOK: Duration = Duration::from_millis(2);

/// An input queue found empty so many times in a row will stay so. On two cores
/// with ten busy processes 60 looks were too few in one run of eight; 600 never were.
const LOOKS_EMPTY: u32 = 500;

/// Looks after which a blank line that was never seen in the queue must have been
/// taken at once.
const LOOKS_TAKEN: u32 = 60;

impl Speaker {
    fn run(mut self, events: impl Iterator<Item = SimEvent>) -> Result<FarEnd, BenchError> {
        self.await_listener()?;
        for event in events {
            if self.stopped() {
                break;
            }
            self.play(event)?;
        }
        self.drain()?;
        self.shared.finished.store(true, Ordering::Release);
        Ok(self.plug)
    }

    fn stopped(&self) -> bool {
        self.shared.stop.load(Ordering::Acquire)
    }

    fn play(&mut self, event: SimEvent) -> Result<(), BenchError> {
        let due = self.faults.unplug.pop_if(|(at, _)| *at <= event.t_s);
        if let Some((_, away)) = due {
            self.unplug(away)?;
        }
        let (sensed, temperature_c) = match event.kind {
            SimKind::Line(line) => {
                self.wait_until(event.t_s);
                self.write(line.as_bytes())?;
                self.shared.lines.fetch_add(1, Ordering::AcqRel);
                return Ok(());
            }
            SimKind::Mark(kind, note) => {
                self.wait_until(event.t_s);
                // nobody has to listen to marks
                let _ = self.marks.send(TimedMark {
                    t_s: event.t_s,
                    kind,
                    note,
                });
                return Ok(());
            }
            SimKind::Reading {
                sensed,
                temperature_c,
            } => (sensed, temperature_c),
        };
        while let Some((_, bytes)) = self.faults.garbage.pop_if(|(at, _)| *at <= event.t_s) {
            self.write(&bytes)?;
        }
        if self.is_late(event.t_s) {
            // spoken while the plug was out
            return Ok(());
        }
        self.wait_until(event.t_s);
        let Some(line) = wire::line(self.speaks, event.t_s, sensed, temperature_c) else {
            return Ok(());
        };
        if self.faults.split_lines {
            let (head, tail) = line.as_bytes().split_at(line.len() / 2);
            self.write(head)?;
            thread::sleep(Duration::from_micros(300));
            self.write(tail)?;
        } else {
            self.write(line.as_bytes())?;
        }
        self.shared.lines.fetch_add(1, Ordering::AcqRel);
        Ok(())
    }

    /// Blank line, then silence until it was taken: now somebody has the port open.
    fn await_listener(&mut self) -> Result<(), BenchError> {
        self.write(b"\r\n")?;
        let mut seen = false;
        let mut empty = 0;
        while !self.stopped() {
            thread::sleep(LOOK);
            match self.unread()? {
                // a connection was let in before the blank line was written
                None => break,
                Some(0) => {
                    empty += 1;
                    if seen || empty > LOOKS_TAKEN {
                        break;
                    }
                }
                Some(_) => seen = true,
            }
        }
        if self.origin.is_none() {
            self.origin = Some(Instant::now());
        }
        Ok(())
    }

    /// Waits until everything sent was read.
    ///
    /// The kernel carries bytes to the near end's queue on a worker of its own
    /// and offers no way to ask for those on the way, so an empty queue counts
    /// only once it has stayed empty for a while. Of a connection nothing is told: little
    /// may be on its way, and it gets as long.
    fn drain(&mut self) -> Result<(), BenchError> {
        let mut empty = 0;
        while empty < LOOKS_EMPTY && !self.stopped() {
            thread::sleep(LOOK);
            empty = match self.unread()? {
                None | Some(0) => empty + 1,
                Some(_) => 0,
            };
        }
        Ok(())
    }

    fn unread(&self) -> Result<Option<u32>, BenchError> {
        self.plug.unread().map_err(BenchError::Write)
    }

    fn unplug(&mut self, away: Duration) -> Result<(), BenchError> {
        self.drain()?;
        if let Some(link) = &self.link {
            std::fs::remove_file(link).map_err(|cause| BenchError::Link {
                path: link.clone(),
                cause,
            })?;
        }
        // the reader sees the line drop
        let device = self.plug.pull().map_err(BenchError::Write)?;
        thread::sleep(away);
        if let (Some(link), Some(device)) = (&self.link, &device) {
            place(link, device)?;
        }
        self.plug.put_back().map_err(BenchError::Write)?;
        self.await_listener()?;
        self.faults.replugged = Some(Instant::now());
        Ok(())
    }

    fn due(&self, t_s: f64) -> Option<Instant> {
        let Pace::Times(speed) = self.pace else {
            return None;
        };
        let origin = self.origin?;
        Some(origin + Duration::try_from_secs_f64(t_s / speed).ok()?)
    }

    /// True when the moment passed so long ago that the plug must have been out.
    fn is_late(&self, t_s: f64) -> bool {
        let replugged = self.faults.replugged;
        match (self.due(t_s), replugged) {
            (Some(due), Some(back)) => due < back,
            _ => false,
        }
    }

    fn wait_until(&self, t_s: f64) {
        let Some(due) = self.due(t_s) else { return };
        while !self.stopped() {
            let left = due.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return;
            }
            thread::sleep(left.min(Duration::from_millis(50)));
        }
    }

    /// Writes all of it, waiting as long as nobody reads.
    fn write(&mut self, mut bytes: &[u8]) -> Result<(), BenchError> {
        while !bytes.is_empty() && !self.stopped() {
            match self.plug.write(bytes) {
                Ok(n) => bytes = bytes.get(n..).unwrap_or_default(),
                // a connection that nobody has made is looked for again soon
                Err(e) if e.kind() == io::ErrorKind::WouldBlock => thread::sleep(LOOK),
                Err(e) if is_for_now(&e) => {}
                Err(e) => return Err(BenchError::Write(e)),
            }
        }
        Ok(())
    }
}
