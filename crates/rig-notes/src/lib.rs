//! What was done to pumps, hose sets and gauges: `rig-notes.csv` in the folder of the runs.
//!
//! Rows are only added, each tied to the one before as in a record ([`run_record::Link`]),
//! and signed by the key that seals records where there is one. `FORMAT.md` beside this
//! crate says it byte for byte.
//!
//! ```
//! use rig_history::{Note, NoteKind};
//! use rig_notes::{add, read};
//!
//! let folder = tempfile::tempdir()?;
//! let note = Note::of(1_773_500_000.0, "pump 1", NoteKind::OilChange, "fresh oil");
//! add(folder.path(), &note, None)?;
//! let found = read(folder.path())?;
//! assert_eq!(found.notes[0].note, note);
//! assert!(found.problems.is_empty());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What this crate does not do
//! It knows no clock, opens no key, and says nothing of what the notes mean.

mod error;
mod found;
mod row;

use std::{
    fs::{File, OpenOptions},
    io::{ErrorKind, Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};

use plain_file::Links;
use rig_history::Note;
use run_record::Link;
use seal_keys::SealKey;

pub use error::{NotesError, Problem};
pub use found::{Found, FoundNote};

/// The name of the file.
pub const FILE: &str = "rig-notes.csv";
/// Most bytes that are read: some hundred thousand notes.
const MOST_BYTES: u64 = 64 << 20;

/// Where the notes of a folder lie.
#[must_use]
pub fn file_of(folder: &Path) -> PathBuf {
    folder.join(FILE)
}

/// Reads the notes of a folder; none where there is no file.
///
/// # Errors
/// When the file cannot be read, is no plain file, or does not begin like one of these.
pub fn read(folder: &Path) -> Result<Found, NotesError> {
    let path = file_of(folder);
    match plain_file::read(&path, MOST_BYTES, Links::Follow) {
        Ok(bytes) => Ok(row::read_all(&path, &bytes)?.found),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(Found::default()),
        Err(why) => Err(NotesError::Io { path, why }),
    }
}

/// Adds a note at the end, signed where there is a key, and has it on disk when it returns.
///
/// # Errors
/// When the note is none (no name, control characters, too long), when the file cannot be
/// read or written, or when another program is writing to it.
pub fn add(folder: &Path, note: &Note, key: Option<&SealKey>) -> Result<(), NotesError> {
    row::check(note)?;
    let path = file_of(folder);
    let failed = |why| NotesError::Io {
        path: path.clone(),
        why,
    };
    // never through a link or into a pipe
    if let Ok(there) = path.symlink_metadata()
        && !there.is_file()
    {
        return Err(NotesError::NotPlain { path });
    }
    let mut file = OpenOptions::new()
        .read(true)
        .append(true)
        .create(true)
        .open(&path)
        .map_err(failed)?;
    file.try_lock()
        .map_err(|_| NotesError::Busy { path: path.clone() })?;
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(0)).map_err(failed)?;
    Read::by_ref(&mut file)
        .take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(failed)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(NotesError::TooLarge { path });
    }
    let mut text = Vec::new();
    let (last, seq): (Link, u64) = if bytes.is_empty() {
        text.extend_from_slice(row::HEADER);
        text.push(b'\n');
        (row::seed(), 0)
    } else {
        let read = row::read_all(&path, &bytes)?;
        if !bytes.ends_with(b"\n") {
            text.push(b'\n');
        }
        (read.last, read.seq)
    };
    text.extend_from_slice(&row::written(note, seq + 1, &last, key));
    text.push(b'\n');
    file.write_all(&text).map_err(failed)?;
    file.sync_all().map_err(failed)?;
    sync_folder(folder);
    Ok(())
}

/// The name of a new file is on disk once its folder is; where a system cannot do that it
/// does it by itself.
fn sync_folder(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

#[cfg(test)]
mod tests;
