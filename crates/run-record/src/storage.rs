//! Where a run is kept: the few things a writer needs from a disk.

use std::{
    fs::{self, File, OpenOptions, TryLockError},
    io::{self, Write},
    path::{Path, PathBuf},
};

use plain_file::Links;

use crate::error::{AtPath, RecordError};

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
}

/// A run folder on a real disk. Its files are locked for one writer as long as
/// this lives, also those that are no longer written to.
#[derive(Debug)]
pub struct FolderStorage {
    folder: PathBuf,
    files: Vec<(String, File)>,
}

impl FolderStorage {
    /// A storage in an existing folder. Nothing is touched yet.
    #[must_use]
    pub fn new(folder: &Path) -> Self {
        Self {
            folder: folder.to_owned(),
            files: Vec::new(),
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
        self.files.push((name.to_owned(), file));
        Ok(())
    }

    fn file(&mut self, name: &str) -> io::Result<&mut File> {
        self.files
            .iter_mut()
            .find_map(|(n, file)| (n == name).then_some(file))
            .ok_or_else(|| io::ErrorKind::NotFound.into())
    }
}

impl Storage for FolderStorage {
    fn put(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        put_whole(&self.folder, name, bytes)
    }

    fn create(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let path = self.folder.join(name);
        if path.symlink_metadata().is_ok() {
            return Err(match is_locked(&path)? {
                true => io::ErrorKind::WouldBlock.into(),
                false => io::ErrorKind::AlreadyExists.into(),
            });
        }
        put_whole(&self.folder, name, bytes)?;
        let file = OpenOptions::new().append(true).open(&path)?;
        self.keep(name, file)
    }

    fn hold(&mut self, name: &str) -> io::Result<()> {
        let path = self.folder.join(name);
        // to open a pipe for writing would wait for a reader
        plain_file::open(&path, Links::Refuse)?;
        // Windows syncs only what it may write; elsewhere reading is enough
        let opened = OpenOptions::new().append(true).open(&path);
        let file = opened.or_else(|_| File::open(&path))?;
        let synced = file.sync_all();
        self.keep(name, file)?;
        synced
    }

    fn append(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        self.file(name)?.write_all(bytes)
    }

    fn sync(&mut self, name: &str) -> io::Result<()> {
        self.file(name)?.sync_data()
    }
}

/// True when a program holds the lock of this trace.
pub(crate) fn is_locked(trace: &Path) -> io::Result<bool> {
    // a shared lock is enough to tell, and two readers asking do not meet
    match plain_file::open(trace, Links::Refuse)?.try_lock_shared() {
        Err(TryLockError::WouldBlock) => Ok(true),
        Ok(()) | Err(TryLockError::Error(_)) => Ok(false),
    }
}

/// Writes a file of a run folder whole (a sheet, findings, a seal): after a
/// crash it is there entirely or not at all. An older file of that name is
/// replaced.
///
/// # Errors
/// When it cannot be written.
pub fn put_file(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), RecordError> {
    put_whole(folder, name, bytes).creating(&folder.join(name))
}

/// Temporary file, sync, rename, sync of the folder.
pub(crate) fn put_whole(folder: &Path, name: &str, bytes: &[u8]) -> io::Result<()> {
    write_beside(folder, bytes)?.place(&folder.join(name))?;
    sync_folder(folder)
}

/// A file that is on the disk and has not its name yet; dropped, it is gone.
#[derive(Debug)]
pub(crate) struct Unplaced(tempfile::TempPath);

impl Unplaced {
    /// Gives it its name. One of that name is replaced.
    pub(crate) fn place(self, path: &Path) -> io::Result<()> {
        self.0.persist(path).map_err(|e| e.error)
    }
}

/// Writes a file into the folder where it will stand, under a name nobody else has,
/// and syncs it.
pub(crate) fn write_beside(folder: &Path, bytes: &[u8]) -> io::Result<Unplaced> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".writing-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // temporary files are private by default; a record is for everyone the
        // user's mask lets in
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    Ok(Unplaced(file.into_temp_path()))
}

/// Makes the names in a folder survive a power cut.
pub(crate) fn sync_folder(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    File::open(folder)?.sync_all()?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

/// Makes the folder of a new run below `parent`, adding -2, -3 … when the name
/// is taken.
pub(crate) fn make_run_folder(parent: &Path, name: &str) -> io::Result<PathBuf> {
    const MOST: u32 = 10_000;
    if let Err(e) = fs::create_dir_all(parent) {
        // "it exists already" would help nobody
        let blocked = e.kind() == io::ErrorKind::AlreadyExists && !parent.is_dir();
        return Err(if blocked {
            io::ErrorKind::NotADirectory.into()
        } else {
            e
        });
    }
    for n in 1..MOST {
        let folder = if n == 1 {
            parent.join(name)
        } else {
            parent.join(format!("{name}-{n}"))
        };
        match fs::create_dir(&folder) {
            Ok(()) => return Ok(folder),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(e),
        }
    }
    Err(io::ErrorKind::AlreadyExists.into())
}
