//! Somebody who looks on from another terminal.

use std::{
    collections::BTreeMap,
    io::{self, BufReader, Read, Write},
    os::unix::net::UnixStream,
    sync::{
        Arc,
        atomic::{AtomicU32, Ordering},
    },
};

use crate::message::{self, Sent};

/// A visitor with a terminal of his own.
pub struct Looker {
    /// What he types.
    pub keys: FarKeys,
    /// Where to draw for him.
    pub screen: FarScreen,
    /// What is known of his terminal: `TERM`, `LANG` and the like.
    pub vars: BTreeMap<String, String>,
}

/// What somebody types on another terminal; the end of it is the end of the visit.
pub struct FarKeys {
    from: BufReader<UnixStream>,
    size: Arc<AtomicU32>,
    left: Vec<u8>,
}

/// The screen of another terminal; the visit is over when the last copy of it goes.
#[derive(Debug, Clone)]
pub struct FarScreen {
    to: Arc<Connection>,
    size: Arc<AtomicU32>,
}

#[derive(Debug)]
struct Connection(UnixStream);

impl Drop for Connection {
    fn drop(&mut self) {
        // the reading side waits for a key that never comes
        let _ = self.0.shutdown(std::net::Shutdown::Both);
    }
}

impl Looker {
    pub(crate) fn new(
        to: UnixStream,
        from: BufReader<UnixStream>,
        values: &[(String, String)],
    ) -> io::Result<Self> {
        let vars: BTreeMap<String, String> = values.iter().cloned().collect();
        let number = |name: &str| vars.get(name).and_then(|v| v.parse::<u16>().ok());
        let columns = number("COLUMNS").unwrap_or(80);
        let rows = number("ROWS").unwrap_or(24);
        let size = Arc::new(AtomicU32::new(packed(columns, rows)));
        Ok(Self {
            keys: FarKeys {
                from,
                size: Arc::clone(&size),
                left: Vec::new(),
            },
            screen: FarScreen {
                to: Arc::new(Connection(to)),
                size,
            },
            vars,
        })
    }
}

const fn packed(columns: u16, rows: u16) -> u32 {
    (columns as u32) << 16 | rows as u32
}

impl Read for FarKeys {
    fn read(&mut self, bytes: &mut [u8]) -> io::Result<usize> {
        while self.left.is_empty() {
            match message::take(&mut self.from) {
                Ok(Sent::Keys(keys)) => self.left = keys,
                Ok(Sent::Size(columns, rows)) => {
                    self.size.store(packed(columns, rows), Ordering::SeqCst);
                }
                Err(_) => return Ok(0),
            }
        }
        let count = bytes.len().min(self.left.len());
        bytes[..count].copy_from_slice(&self.left[..count]);
        self.left.drain(..count);
        Ok(count)
    }
}

impl FarScreen {
    /// Columns and rows, as they are now.
    #[must_use]
    pub fn size(&self) -> (u16, u16) {
        let size = self.size.load(Ordering::SeqCst);
        ((size >> 16) as u16, (size & 0xffff) as u16)
    }
}

impl Write for FarScreen {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        (&self.to.0).write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        (&self.to.0).flush()
    }
}
