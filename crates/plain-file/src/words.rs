//! What went wrong with a file, in words.

use std::{ffi::OsStr, io};

/// The operating system's reason in plain words, for a person who has a file in mind.
///
/// ```
/// let missing = std::io::Error::from(std::io::ErrorKind::NotFound);
/// assert_eq!(plain_file::io_words(&missing), "there is no such file or folder");
/// ```
#[must_use]
pub fn io_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder".into(),
        io::ErrorKind::PermissionDenied => {
            "permission is denied; check who owns it and its rights".into()
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "the disk is full; free some space".into()
        }
        io::ErrorKind::ReadOnlyFilesystem => {
            "the disk is read-only; choose another folder or unlock the card".into()
        }
        io::ErrorKind::NotADirectory => "a part of this path is a file, not a folder".into(),
        io::ErrorKind::IsADirectory => "it is a folder, not a file".into(),
        io::ErrorKind::AlreadyExists => "it exists already".into(),
        _ => one_line(&error.to_string()),
    }
}

/// A path or text on one line: control characters become blanks.
///
/// ```
/// assert_eq!(plain_file::one_line("job\n1.csv"), "job 1.csv");
/// ```
pub fn one_line<T: AsRef<OsStr> + ?Sized>(text: &T) -> String {
    text.as_ref()
        .to_string_lossy()
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}
