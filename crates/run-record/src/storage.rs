//! Where a run is kept: the few things a writer needs from a disk.

use std::{
    cmp::Ordering,
    fs::{self, File, OpenOptions, TryLockError},
    io::{self, Read, Seek, Write},
    path::{Path, PathBuf},
};

use plain_file::Links;

use whole_file::{sync_folder, write_beside_with};

/// What [`RunWriter`](crate::RunWriter) needs from a disk.
///
/// Small on purpose, so that a test can stand in a disk that loses what was
/// not synced, tears the last write, or fills up. Names are file names inside
/// the run folder, never paths.
pub trait Storage: Send {
    /// Writes a small file whole: after a crash it is there entirely or not at
    /// all, and once this returns it is there.
    ///
    /// # Errors
    /// Whatever the disk says.
    fn put(&mut self, name: &str, bytes: &[u8]) -> io::Result<()>;

    /// Makes a new file for rows that holds `bytes` from the first. After a crash
    /// it is there with all of them or not at all, and once this returns it is
    /// there.
    ///
    /// # Errors
    /// [`io::ErrorKind::AlreadyExists`] when there is one of that name,
    /// [`io::ErrorKind::WouldBlock`] when another program records into it, else
    /// whatever the disk says; then the file may be there or not.
    fn create(&mut self, name: &str, bytes: &[u8]) -> io::Result<()>;

    /// Takes hold of a file of rows that is there already, so that no other
    /// program records into it, and makes what it holds survive a power cut. It
    /// is never written to.
    ///
    /// # Errors
    /// [`io::ErrorKind::NotFound`] when there is none,
    /// [`io::ErrorKind::WouldBlock`] when another program records into it, else
    /// whatever the disk says.
    fn hold(&mut self, name: &str) -> io::Result<()>;

    /// Adds bytes at the end of a file made by [`Storage::create`]. May leave a
    /// part of them when it fails.
    ///
    /// # Errors
    /// Whatever the disk says.
    fn append(&mut self, name: &str, bytes: &[u8]) -> io::Result<()>;

    /// Makes everything appended to this file so far survive a power cut.
    ///
    /// # Errors
    /// Whatever the disk says.
    fn sync(&mut self, name: &str) -> io::Result<()>;

    /// Looks whether the files of rows still stand under their names as they were
    /// written; gives those that do not, each once, and once more when it goes. A storage that nobody else can
    /// reach has nothing to tell.
    fn disturbed(&mut self) -> Vec<Disturbed> {
        Vec::new()
    }

    /// Makes the new file `name` as [`Storage::create`] does; it holds what was
    /// written to `lost` up to its last sync, and `bytes` behind it. `lost` is a
    /// file that is gone from its place and still open here.
    ///
    /// # Errors
    /// As [`Storage::create`], and [`io::ErrorKind::UnexpectedEof`] when what was
    /// written to `lost` cannot be read any more.
    fn renew(&mut self, lost: &str, name: &str, bytes: &[u8]) -> io::Result<()> {
        let _ = (lost, name, bytes);
        Err(io::ErrorKind::UnexpectedEof.into())
    }

    /// Gives a file of rows another name, which must be free. It is written to as before.
    ///
    /// # Errors
    /// [`io::ErrorKind::AlreadyExists`] when there is a file of that name, else whatever
    /// the disk says.
    fn rename(&mut self, from: &str, to: &str) -> io::Result<()> {
        let _ = (from, to);
        Err(io::ErrorKind::Unsupported.into())
    }

    /// Completes the head of a file of rows that was cut within it, so that it can be
    /// read; a file that begins otherwise is left alone.
    ///
    /// # Errors
    /// Whatever the disk says.
    fn mend_head(&mut self, name: &str, head: &[u8]) -> io::Result<()> {
        let _ = (name, head);
        Ok(())
    }

    /// A small file of the folder that was not made here and belongs to the record,
    /// should the folder have to be made again.
    fn remember(&mut self, name: &str, bytes: &[u8]) {
        let _ = (name, bytes);
    }
}

/// A file of rows that somebody else touched while it was being written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Disturbed {
    /// Its name.
    pub name: String,
    /// What happened to it.
    pub what: Disturbance,
}

/// What somebody else did to a file of rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Disturbance {
    /// It was deleted, moved away, or another file was put in its place. What was
    /// written is still open here.
    Gone,
    /// It is longer than it was written: something else stands in it too.
    WrittenInto,
    /// It was cut: so many bytes are missing at least.
    Cut {
        /// Bytes missing.
        bytes: u64,
    },
}

/// A run folder on a real disk. Its files are locked for one writer as long as
/// this lives, also those that are no longer written to.
#[derive(Debug)]
pub struct FolderStorage {
    folder: PathBuf,
    files: Vec<Held>,
    /// Small files, as they were put.
    small: Vec<(String, Vec<u8>)>,
}

/// An open file of rows.
#[derive(Debug)]
struct Held {
    name: String,
    file: File,
    /// Bytes in it; `None` when a write failed half-way.
    written: Option<u64>,
    /// Bytes that were synced.
    synced: u64,
    /// The file system tells this file from another of the same name.
    known: bool,
    /// What happened to it, as it was told last.
    told: Option<Disturbance>,
}

impl Held {
    fn look(&self, path: &Path) -> Option<Disturbance> {
        let there = match path.symlink_metadata() {
            Ok(there) => there,
            Err(e) if is_absent(&e) => return Some(Disturbance::Gone),
            // nobody can tell; writing will show
            Err(_) => return None,
        };
        let open = self.file.metadata().ok()?;
        if self.known && !is_same(&open, &there) {
            return Some(Disturbance::Gone);
        }
        let written = self.written?;
        match open.len().cmp(&written) {
            Ordering::Equal => None,
            Ordering::Greater => Some(Disturbance::WrittenInto),
            Ordering::Less => Some(Disturbance::Cut {
                bytes: written - open.len(),
            }),
        }
    }
}

impl FolderStorage {
    /// A storage in an existing folder. Nothing is touched yet.
    #[must_use]
    pub fn new(folder: &Path) -> Self {
        Self {
            folder: folder.to_owned(),
            files: Vec::new(),
            small: Vec::new(),
        }
    }

    /// Locks a file and keeps it open.
    fn keep(&mut self, name: &str, file: File) -> io::Result<()> {
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(io::ErrorKind::WouldBlock.into()),
            // some network and card file systems have no locks; record all the same
            Err(TryLockError::Error(_)) => {}
        }
        let open = file.metadata()?;
        let there = self.folder.join(name).symlink_metadata();
        self.files.push(Held {
            name: name.to_owned(),
            // not every file system gives a file the same number twice
            known: there.is_ok_and(|there| is_same(&open, &there)),
            written: Some(open.len()),
            synced: open.len(),
            file,
            told: None,
        });
        Ok(())
    }

    fn held(&mut self, name: &str) -> io::Result<&mut Held> {
        self.files
            .iter_mut()
            .find(|held| held.name == name)
            .ok_or_else(|| io::ErrorKind::NotFound.into())
    }

    /// Makes the folder again, with its small files, where it is gone.
    fn bring_back_folder(&self) -> io::Result<()> {
        if self.folder.is_dir() {
            return Ok(());
        }
        fs::create_dir_all(&self.folder).map_err(|e| match e.kind() {
            // something else has its name
            io::ErrorKind::AlreadyExists => io::ErrorKind::NotADirectory.into(),
            _ => e,
        })?;
        if let Some(parent) = self.folder.parent() {
            sync_folder(parent)?;
        }
        Ok(())
    }

    fn bring_back_small(&self) -> io::Result<()> {
        for (name, bytes) in &self.small {
            let gone = self.folder.join(name).symlink_metadata();
            if gone.is_err_and(|e| is_absent(&e)) {
                whole_file::put(&self.folder, name, bytes)?;
            }
        }
        Ok(())
    }
}

impl Storage for FolderStorage {
    fn put(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        whole_file::put(&self.folder, name, bytes)?;
        self.remember(name, bytes);
        Ok(())
    }

    fn create(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let path = self.folder.join(name);
        if path.symlink_metadata().is_ok() {
            return Err(match is_locked(&path)? {
                true => io::ErrorKind::WouldBlock.into(),
                false => io::ErrorKind::AlreadyExists.into(),
            });
        }
        whole_file::put(&self.folder, name, bytes)?;
        let file = open_to_append(&path)?;
        self.keep(name, file)
    }

    fn hold(&mut self, name: &str) -> io::Result<()> {
        let path = self.folder.join(name);
        // to open a pipe for writing would wait for a reader
        plain_file::open(&path, Links::Refuse)?;
        // Windows syncs only what it may write; elsewhere reading is enough
        let file = open_to_append(&path).or_else(|_| File::open(&path))?;
        let synced = file.sync_all();
        self.keep(name, file)?;
        synced
    }

    fn append(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let held = self.held(name)?;
        // what a failed write left is not known
        let written = held.written.take();
        held.file.write_all(bytes)?;
        held.written = written.map(|written| written + bytes.len() as u64);
        Ok(())
    }

    fn sync(&mut self, name: &str) -> io::Result<()> {
        let held = self.held(name)?;
        held.file.sync_data()?;
        held.synced = held.written.unwrap_or(held.synced);
        Ok(())
    }

    fn disturbed(&mut self) -> Vec<Disturbed> {
        let mut found = Vec::new();
        for held in &mut self.files {
            let what = held.look(&self.folder.join(&held.name));
            // what was touched may still go; whatever else follows adds nothing
            let gone = Some(Disturbance::Gone);
            let news = |w: &Disturbance| {
                held.told
                    .is_none_or(|t| gone == Some(*w) && gone != Some(t))
            };
            if let Some(what) = what.filter(news) {
                held.told = Some(what);
                let name = held.name.clone();
                found.push(Disturbed { name, what });
            }
        }
        if self.folder.is_dir() {
            // best effort: should it fail, the rows are worth more
            let _ = self.bring_back_small();
        }
        found
    }

    fn renew(&mut self, lost: &str, name: &str, bytes: &[u8]) -> io::Result<()> {
        self.bring_back_folder()?;
        let path = self.folder.join(name);
        if path.symlink_metadata().is_ok() {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        let held = self.held(lost)?;
        let mut old = held.file.try_clone()?;
        let length = held.synced;
        old.rewind()?;
        let written = write_beside_with(&self.folder, |file| {
            let copied = io::copy(&mut old.take(length), file)?;
            if copied < length {
                return Err(io::ErrorKind::UnexpectedEof.into());
            }
            file.write_all(bytes)
        })?;
        written.place_new(&path)?;
        sync_folder(&self.folder)?;
        self.bring_back_small()?;
        let file = open_to_append(&path)?;
        self.files.retain(|held| held.name != lost);
        self.keep(name, file)
    }

    fn rename(&mut self, from: &str, to: &str) -> io::Result<()> {
        let path = self.folder.join(to);
        if path.symlink_metadata().is_ok() {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        let old = self.folder.join(from);
        let held = self.held(from)?;
        if held.look(&old) == Some(Disturbance::Gone) {
            // another file has its name
            return Err(io::ErrorKind::NotFound.into());
        }
        fs::rename(old, path)?;
        to.clone_into(&mut held.name);
        sync_folder(&self.folder)
    }

    fn mend_head(&mut self, name: &str, head: &[u8]) -> io::Result<()> {
        let file = &mut self.held(name)?.file;
        let mut left = Vec::new();
        file.rewind()?;
        Read::take(&*file, head.len() as u64).read_to_end(&mut left)?;
        if let Some(missing) = head.strip_prefix(&left[..]) {
            file.write_all(missing)?;
            file.sync_data()?;
        }
        Ok(())
    }

    fn remember(&mut self, name: &str, bytes: &[u8]) {
        self.small.push((name.to_owned(), bytes.to_owned()));
    }
}

/// Opens a file of rows to write at its end; what it holds can be read, should its name
/// go.
fn open_to_append(path: &Path) -> io::Result<File> {
    OpenOptions::new().append(true).read(true).open(path)
}

/// Nothing of that name is there, nor can be.
fn is_absent(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory
    )
}

/// These are one file.
#[cfg(unix)]
fn is_same(a: &fs::Metadata, b: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (a.dev(), a.ino()) == (b.dev(), b.ino())
}

/// Nobody can tell.
#[cfg(not(unix))]
fn is_same(_: &fs::Metadata, _: &fs::Metadata) -> bool {
    false
}

/// True when a program holds the lock of this trace.
pub(crate) fn is_locked(trace: &Path) -> io::Result<bool> {
    // a shared lock is enough to tell, and two readers asking do not meet
    match plain_file::open(trace, Links::Refuse)?.try_lock_shared() {
        Err(TryLockError::WouldBlock) => Ok(true),
        Ok(()) | Err(TryLockError::Error(_)) => Ok(false),
    }
}
