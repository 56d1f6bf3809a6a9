//! The door of a recording: where visitors come to it.

use std::{
    io::{BufReader, Write},
    os::unix::net::{UnixListener, UnixStream},
    path::PathBuf,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicUsize, Ordering},
    },
    time::Duration,
};

use crate::{
    error::LiveError,
    folder,
    looker::Looker,
    message::{self, Wants},
};

/// So many visitors at once.
const MOST: usize = 8;
/// A visitor says what he wants within so long, and takes what he is sent.
const PATIENCE: Duration = Duration::from_secs(5);

/// What is done for those who come.
struct House {
    name: String,
    folder: PathBuf,
    looks: Box<dyn Fn(Looker) + Send + Sync>,
    stops: Box<dyn Fn() + Send + Sync>,
    visitors: AtomicUsize,
    /// Those who wait for the end of the program.
    waiting: Mutex<Vec<UnixStream>>,
}

/// The door of a recording, as long as this lives.
pub struct Door {
    socket: PathBuf,
}

impl Door {
    /// Opens it for the run of this name in this folder. `looks` draws for a visitor until
    /// he or the run goes, `stops` asks for the end of the recording; both are called on threads
    /// of the visitors.
    ///
    /// # Errors
    /// When there is no place for the socket: the recording goes on without.
    pub fn open(
        name: &str,
        folder: PathBuf,
        looks: impl Fn(Looker) + Send + Sync + 'static,
        stops: impl Fn() + Send + Sync + 'static,
    ) -> Result<Self, LiveError> {
        let socket = folder::made()?.join(format!("{}.sock", std::process::id()));
        // of a process that had this number before
        let _ = std::fs::remove_file(&socket);
        let listener = UnixListener::bind(&socket).map_err(|why| LiveError::Unusable {
            what: socket.display().to_string(),
            why,
        })?;
        let house = Arc::new(House {
            name: name.to_owned(),
            folder,
            looks: Box::new(looks),
            stops: Box::new(stops),
            visitors: AtomicUsize::new(0),
            waiting: Mutex::default(),
        });
        let thread = std::thread::Builder::new().name("door".into());
        let started = thread.spawn(move || {
            for visitor in listener.incoming().flatten() {
                let house = Arc::clone(&house);
                if house.visitors.fetch_add(1, Ordering::SeqCst) >= MOST {
                    house.visitors.fetch_sub(1, Ordering::SeqCst);
                    continue;
                }
                let thread = std::thread::Builder::new().name("visitor".into());
                let served = thread.spawn(move || {
                    // whoever says nothing sensible is let go
                    let _ = house.receive(visitor);
                    house.visitors.fetch_sub(1, Ordering::SeqCst);
                });
                drop(served);
            }
        });
        started.map_err(|why| LiveError::Unusable {
            what: "thread".into(),
            why,
        })?;
        Ok(Self { socket })
    }
}

impl Drop for Door {
    fn drop(&mut self) {
        // nobody finds it any more; who waits for the end hears it when the program ends
        let _ = std::fs::remove_file(&self.socket);
    }
}

impl House {
    fn receive(&self, mut visitor: UnixStream) -> std::io::Result<()> {
        visitor.set_read_timeout(Some(PATIENCE))?;
        visitor.set_write_timeout(Some(PATIENCE))?;
        let mut from = BufReader::new(visitor.try_clone()?);
        let (wants, values) = message::greeting(&mut from)?;
        match wants {
            Wants::Name => self.answer(&mut visitor),
            Wants::Stop => {
                self.answer(&mut visitor)?;
                let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
                waiting.push(visitor);
                drop(waiting);
                (self.stops)();
                Ok(())
            }
            Wants::Look => {
                visitor.set_read_timeout(None)?;
                (self.looks)(Looker::new(visitor, from, &values)?);
                Ok(())
            }
        }
    }

    fn answer(&self, visitor: &mut UnixStream) -> std::io::Result<()> {
        writeln!(visitor, "{}\t{}", self.name, self.folder.display())
    }
}
