//! Files that are there entirely or not at all, whatever happens while they are
//! written: a full disk, a kill, a power cut.
//!
//! A file is written under a name nobody else has, in the folder where it will stand,
//! synced, and then given its name. What is assumed of the file system is what POSIX
//! says of `rename` and what `fsync` of file and folder promise.
//!
//! ```
//! # let folder = tempfile::tempdir()?;
//! whole_file::put(folder.path(), "sheet.txt", b"tight and dry")?;
//! whole_file::put(folder.path(), "sheet.txt", b"tight")?;
//! assert_eq!(std::fs::read(folder.path().join("sheet.txt"))?, b"tight");
//!
//! let unplaced = whole_file::write_beside(folder.path(), b"leaks")?;
//! // one of that name is left alone
//! assert!(unplaced.place_new(&folder.path().join("sheet.txt")).is_err());
//! assert_eq!(std::fs::read_dir(folder.path())?.count(), 1);
//! # Ok::<(), std::io::Error>(())
//! ```
//!
//! # What this crate never does
//! It appends to no file, reads none, and knows no format.

mod permissions;

pub use permissions::{Put, folder_of, make_private_folder, try_folder, write};

use std::{
    fs::File,
    io::{self, Write},
    path::Path,
};

/// Writes a file whole: after a crash it is there entirely or not at all. An older file
/// of that name is replaced.
///
/// # Errors
/// Whatever the disk says; then an older file is as it was.
pub fn put(folder: &Path, name: &str, bytes: &[u8]) -> io::Result<()> {
    write_beside(folder, bytes)?.place(&folder.join(name))?;
    sync_folder(folder)
}

/// A file that is on the disk and has not its name yet; dropped, it is gone.
#[derive(Debug)]
pub struct Unplaced(tempfile::TempPath);

impl Unplaced {
    /// Gives it its name. One of that name is replaced. The name is on the disk after
    /// [`sync_folder`].
    ///
    /// # Errors
    /// Whatever the disk says.
    pub fn place(self, path: &Path) -> io::Result<()> {
        self.0.persist(path).map_err(|e| e.error)
    }

    /// Gives it its name; one of that name is left alone.
    ///
    /// # Errors
    /// [`io::ErrorKind::AlreadyExists`] where there is one; else whatever the disk says.
    pub fn place_new(self, path: &Path) -> io::Result<()> {
        self.0.persist_noclobber(path).map_err(|e| e.error)
    }
}

/// Writes a file into the folder where it will stand, under a name nobody else has,
/// and syncs it.
///
/// # Errors
/// Whatever the disk says.
pub fn write_beside(folder: &Path, bytes: &[u8]) -> io::Result<Unplaced> {
    write_beside_with(folder, |file| file.write_all(bytes))
}

/// As [`write_beside`], with what `write` writes.
///
/// # Errors
/// What `write` returns, and whatever the disk says.
pub fn write_beside_with(
    folder: &Path,
    write: impl FnOnce(&mut File) -> io::Result<()>,
) -> io::Result<Unplaced> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".writing-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // temporary files are private by default; these are for everyone the user's
        // mask lets in
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    write(file.as_file_mut())?;
    file.as_file().sync_all()?;
    Ok(Unplaced(file.into_temp_path()))
}

/// Makes the names in a folder survive a power cut.
///
/// # Errors
/// Whatever the disk says.
pub fn sync_folder(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    File::open(folder)?.sync_all()?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}
