//! Files of a run folder that are there entirely or not at all, whatever happens.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::{Path, PathBuf},
};

use crate::error::{AtPath, RecordError};

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

    /// Gives it its name; one of that name is left alone.
    pub(crate) fn place_new(self, path: &Path) -> io::Result<()> {
        self.0.persist_noclobber(path).map_err(|e| e.error)
    }
}

/// Writes a file into the folder where it will stand, under a name nobody else has,
/// and syncs it.
pub(crate) fn write_beside(folder: &Path, bytes: &[u8]) -> io::Result<Unplaced> {
    write_beside_with(folder, |file| file.write_all(bytes))
}

/// The same with what `write` writes.
pub(crate) fn write_beside_with(
    folder: &Path,
    write: impl FnOnce(&mut File) -> io::Result<()>,
) -> io::Result<Unplaced> {
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
    write(file.as_file_mut())?;
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
