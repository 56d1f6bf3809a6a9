//! Whole files named by their path, and who may read them.

use std::{
    fs,
    io::{self, Write},
    path::Path,
};

use crate::beside::{Readers, begin, sync_folder};

/// How a file is put in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Put {
    /// Readable for its owner only; replaces one that is there.
    Private,
    /// Readable for its owner only; fails when there is one.
    NewPrivate,
    /// Readable for whoever the user's mask lets in; fails when there is one.
    New,
    /// Readable for whoever the user's mask lets in; replaces one that is there.
    Instead,
}

impl Put {
    const fn readers(self) -> Readers {
        match self {
            Self::Private | Self::NewPrivate => Readers::Owner,
            Self::New | Self::Instead => Readers::AsMaskSays,
        }
    }
}

/// The folder a file stands in, also where it is named without one.
pub fn folder_of(path: &Path) -> &Path {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}

/// Checks that a file could be made there; leaves nothing behind.
///
/// # Errors
/// Why it could not.
pub fn try_folder(path: &Path) -> io::Result<()> {
    begin(folder_of(path), Readers::AsMaskSays, |_| Ok(())).map(drop)
}

/// Writes a file whole: a reader, or a power cut, finds all of it or what was before.
///
/// # Errors
/// When it cannot be written; what was before is still there.
pub fn write(path: &Path, bytes: &[u8], put: Put) -> io::Result<()> {
    let folder = folder_of(path);
    let written = begin(folder, put.readers(), |file| file.write_all(bytes))?;
    match put {
        Put::New | Put::NewPrivate => written.place_new(path)?,
        Put::Private | Put::Instead => written.place(path)?,
    }
    sync_folder(folder)
}

/// Makes a folder that only its owner may enter; one that exists stays as it is, and so do
/// the folders above it.
///
/// # Errors
/// When it cannot be made.
pub fn make_private_folder(folder: &Path) -> io::Result<()> {
    if let Some(above) = folder.parent() {
        fs::create_dir_all(above)?;
    }
    match private_folder().create(folder) {
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => Ok(()),
        other => other,
    }
}

/// What makes a folder that only its owner may enter.
#[cfg(unix)]
fn private_folder() -> fs::DirBuilder {
    use std::os::unix::fs::DirBuilderExt;
    let mut builder = fs::DirBuilder::new();
    builder.mode(0o700);
    builder
}

/// On Windows a folder takes the rights of the one it lies in, which of a person's own
/// folders are that person's.
#[cfg(not(unix))]
fn private_folder() -> fs::DirBuilder {
    fs::DirBuilder::new()
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use super::*;

    #[test]
    fn who_may_read_and_what_is_replaced_is_as_asked() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("own").join("file");
        make_private_folder(folder_of(&path)).expect("made");
        make_private_folder(folder_of(&path)).expect("there already");
        let mode = |path: &Path| fs::metadata(path).expect("there").permissions().mode() & 0o777;
        assert_eq!(mode(folder_of(&path)), 0o700);
        for (put, is_private) in [
            (Put::NewPrivate, true),
            (Put::Instead, false),
            (Put::Private, true),
        ] {
            write(&path, b"bytes", put).expect("written");
            assert_eq!(mode(&path) & 0o077 == 0, is_private, "{put:?}");
        }
        for put in [Put::New, Put::NewPrivate] {
            let refused = write(&path, b"other", put).expect_err("one is there");
            assert_eq!(refused.kind(), io::ErrorKind::AlreadyExists);
        }
        assert_eq!(fs::read(&path).expect("read"), b"bytes");
        try_folder(&path).expect("it could be made");
        let left = fs::read_dir(folder_of(&path)).expect("a folder").count();
        assert_eq!(left, 1, "nothing is left behind");
    }
}
