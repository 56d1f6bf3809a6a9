//! The folder of a run, and files that are put into it whole.

use std::{
    fs, io,
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
    whole_file::put(folder, name, bytes).creating(&folder.join(name))
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
