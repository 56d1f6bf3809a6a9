//! Small files that nobody but their owner may read.

use std::{
    fs::File,
    io::{self, ErrorKind},
    path::Path,
};

use plain_file::Links;

/// Why a file that a page keeps from run to run will not do.
#[derive(Debug, thiserror::Error)]
#[error("{}: {why}", .path.display())]
pub struct KeptFileError {
    /// The file.
    pub path: std::path::PathBuf,
    /// Why, and what to do.
    pub why: String,
}

/// What this file says; `None` where there is no file. `danger` says what others could do
/// with it, `remedy` what to do about a file that will not do.
///
/// # Errors
/// In words, where it cannot be read, or others may read or change it.
pub(crate) fn read(
    path: &Path,
    most_bytes: u64,
    danger: &str,
    remedy: &str,
) -> Result<Option<String>, String> {
    let words = |e: io::Error| plain_file::io_words(&e);
    let file = match plain_file::open(path, Links::Follow) {
        Ok(file) => file,
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(words(e)),
    };
    if let Some(mode) = open_to_others(&file).map_err(words)? {
        return Err(format!(
            "other users of this computer may read or change it (mode {mode:03o}), and could \
             then {danger}; {remedy}, or run `chmod 600` on it if you know that nobody did"
        ));
    }
    let text = plain_file::read_at_most(file, most_bytes).map_err(words)?;
    Ok(Some(String::from_utf8_lossy(&text).into_owned()))
}

/// Its mode, where others than its owner may do anything with it.
#[cfg(unix)]
fn open_to_others(file: &File) -> io::Result<Option<u32>> {
    use std::os::unix::fs::PermissionsExt;
    let mode = file.metadata()?.permissions().mode() & 0o777;
    Ok((mode & 0o077 != 0).then_some(mode))
}

/// Elsewhere a file in the owner's own folder is the owner's by the rules of that folder.
#[cfg(not(unix))]
fn open_to_others(_: &File) -> io::Result<Option<u32>> {
    Ok(None)
}
