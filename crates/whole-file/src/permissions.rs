//! Writing files whole.

use std::{
    fs, io,
    io::Write,
    path::{Path, PathBuf},
};

use tempfile::{Builder, NamedTempFile};

/// How a file is put in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Put {
    /// Readable for its owner only; replaces one that is there.
    Private,
    /// Readable for whoever the user's mask lets in; fails when there is one.
    New,
    /// Readable for whoever the user's mask lets in; replaces one that is there.
    Instead,
}

/// The folder a file stands in.
pub fn folder_of(path: &Path) -> PathBuf {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    folder.unwrap_or(Path::new(".")).to_owned()
}

fn unfinished(folder: &Path, put: Put) -> io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    builder.prefix(".unfinished-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = if put == Put::Private { 0o600 } else { 0o666 };
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    builder.tempfile_in(folder)
}

/// Checks that a file could be made there; leaves nothing behind.
///
/// # Errors
/// Why it could not.
pub fn try_folder(path: &Path) -> io::Result<()> {
    unfinished(&folder_of(path), Put::New).map(drop)
}

/// Writes a file: a reader, or a power cut, finds all of it or what was before.
///
/// # Errors
/// When it cannot be written; what was before is still there.
pub fn write(path: &Path, bytes: &[u8], put: Put) -> io::Result<()> {
    let mut file = unfinished(&folder_of(path), put)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    let done = match put {
        Put::New => file.persist_noclobber(path),
        Put::Private | Put::Instead => file.persist(path),
    };
    done.map(drop).map_err(|e| e.error)
}

/// Makes a folder that only its owner may enter, if it is not there.
///
/// # Errors
/// When it cannot be made.
pub fn make_private_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt;
        builder.mode(0o700);
    }
    builder.create(folder)
}
