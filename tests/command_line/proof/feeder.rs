//! A gauge behind a network port that says a thousand readings a second and knows
//! when it said which.

use std::{
    io::Write,
    net::{TcpListener, TcpStream},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    thread::JoinHandle,
    time::{Duration, Instant},
};

/// Between two readings.
const EVERY: Duration = Duration::from_millis(1);

/// Says `first`, `first + 1` … micron as soon as somebody connects.
pub(super) struct Feeder {
    port: String,
    stop: Arc<AtomicBool>,
    voice: JoinHandle<Vec<Instant>>,
}

impl Feeder {
    pub(super) fn start(first: usize) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        listener.set_nonblocking(true).expect("no waiting");
        let port = format!("tcp://{}", listener.local_addr().expect("its address"));
        let stop = Arc::new(AtomicBool::new(false));
        let stopped = Arc::clone(&stop);
        let voice = std::thread::spawn(move || {
            let Some(logger) = caller(&listener, &stopped) else {
                return Vec::new();
            };
            speak(logger, first, &stopped)
        });
        Self { port, stop, voice }
    }

    /// What to give to `--port`.
    pub(super) fn port(&self) -> &str {
        &self.port
    }

    /// Falls silent; gives when each reading was said.
    pub(super) fn silent(self) -> Vec<Instant> {
        self.stop.store(true, Ordering::Relaxed);
        self.voice.join().expect("the gauge spoke")
    }
}

fn caller(listener: &TcpListener, stopped: &AtomicBool) -> Option<TcpStream> {
    while !stopped.load(Ordering::Relaxed) {
        if let Ok((logger, _)) = listener.accept() {
            logger.set_nonblocking(false).expect("waiting again");
            logger.set_nodelay(true).expect("lines go at once");
            return Some(logger);
        }
        std::thread::sleep(EVERY);
    }
    None
}

fn speak(mut logger: TcpStream, first: usize, stopped: &AtomicBool) -> Vec<Instant> {
    let mut said = Vec::new();
    // a first line that may have been cut counts for nothing; a blank one ends that
    if logger.write_all(b"\r\n").is_err() {
        return said;
    }
    let began = Instant::now();
    while !stopped.load(Ordering::Relaxed) {
        let due = began + EVERY * said.len() as u32;
        std::thread::sleep(due.saturating_duration_since(Instant::now()));
        let line = format!("{}.0 micron\r\n", first + said.len());
        let now = Instant::now();
        if logger.write_all(line.as_bytes()).is_err() {
            break;
        }
        said.push(now);
    }
    said
}
