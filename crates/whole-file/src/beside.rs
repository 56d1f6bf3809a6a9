//! A file written beside the place where it will stand, and then given its name.

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
    begin(folder, Readers::AsMaskSays, write)
}

/// Who may read a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Readers {
    /// Its owner only, from the first moment.
    Owner,
    /// Whoever the user's mask lets in.
    AsMaskSays,
}

/// Writes a file that has not its name yet, and syncs it.
pub(crate) fn begin(
    folder: &Path,
    readers: Readers,
    write: impl FnOnce(&mut File) -> io::Result<()>,
) -> io::Result<Unplaced> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".writing-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = match readers {
            Readers::Owner => 0o600,
            Readers::AsMaskSays => 0o666,
        };
        builder.permissions(std::fs::Permissions::from_mode(mode));
    }
    #[cfg(not(unix))]
    let _ = readers;
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
