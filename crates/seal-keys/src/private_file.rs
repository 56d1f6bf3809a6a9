//! Files that are for their owner alone.

use std::{fs::File, io};

/// The mode of a file, where others than its owner may do anything with it.
#[cfg(unix)]
pub(crate) fn open_to_others(file: &File) -> io::Result<Option<u32>> {
    use std::os::unix::fs::PermissionsExt;
    let mode = file.metadata()?.permissions().mode() & 0o777;
    Ok((mode & 0o077 != 0).then_some(mode))
}

/// Elsewhere a file in the owner's own folder is the owner's by the rules of that folder.
#[cfg(not(unix))]
pub(crate) fn open_to_others(_: &File) -> io::Result<Option<u32>> {
    Ok(None)
}
