//! A gauge on the far side of a pseudo-terminal.

use std::{
    io::{ErrorKind, Read, Write},
    path::Path,
    time::Duration,
};

use sensor_reader::{Address, Dialect, Event, GaugeStream, Options};
use serialport::{SerialPort, TTYPort};
use tokio::sync::{Mutex, MutexGuard};

/// Making pairs and counting descriptors do not bear company.
pub(crate) async fn one_at_a_time() -> MutexGuard<'static, ()> {
    static LOCK: Mutex<()> = Mutex::const_new(());
    LOCK.lock().await
}

pub(crate) struct Gauge {
    master: TTYPort,
    /// Keeps the device alive while nobody has it open.
    slave: TTYPort,
    path: String,
}

impl Gauge {
    pub(crate) fn new() -> Self {
        let (master, slave) = TTYPort::pair().unwrap();
        let path = slave.name().unwrap();
        Self {
            master,
            slave,
            path,
        }
    }

    pub(crate) fn path(&self) -> &str {
        &self.path
    }

    pub(crate) fn say(&mut self, text: &str) {
        self.say_bytes(text.as_bytes());
    }

    /// Writes all of it, however full the device's buffer is.
    pub(crate) fn say_bytes(&mut self, mut bytes: &[u8]) {
        while !bytes.is_empty() {
            match self.master.write(bytes) {
                Ok(n) => bytes = &bytes[n..],
                Err(e) if matches!(e.kind(), ErrorKind::TimedOut | ErrorKind::WouldBlock) => {}
                Err(e) => panic!("{e}"),
            }
        }
    }

    /// Reads what it is asked, exactly so many bytes.
    pub(crate) fn hear(&mut self, count: usize) -> Vec<u8> {
        let mut heard = vec![0; count];
        let mut at = 0;
        while at < count {
            match self.master.read(&mut heard[at..]) {
                Ok(n) => at += n,
                Err(e) if matches!(e.kind(), ErrorKind::TimedOut | ErrorKind::WouldBlock) => {}
                Err(e) => panic!("{e}"),
            }
        }
        heard
    }

    /// Waits until everything said was read: a closing master takes unread
    /// bytes with it.
    pub(crate) fn drain(&self) {
        while self.slave.bytes_to_read().unwrap() > 0 {
            std::thread::sleep(Duration::from_millis(1));
        }
    }
}

/// Opens `path` with the plainest dialect.
pub(crate) async fn open(path: impl AsRef<Path>, options: Options) -> GaugeStream {
    let address = Address::Serial(path.as_ref().into());
    let dialect = Dialect::builtin("number-unit-line").unwrap();
    GaugeStream::open(&address, &dialect, options)
        .await
        .unwrap()
}

/// The next event; fails if none comes in time.
pub(crate) async fn next_within(stream: &mut GaugeStream, seconds: f64) -> Event {
    tokio::time::timeout(Duration::from_secs_f64(seconds), stream.next())
        .await
        .expect("an event in time")
        .expect("the stream goes on")
}
