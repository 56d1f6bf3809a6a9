//! Opens files that may come from anybody.
//!
//! A name in a folder from outside may be a named pipe, a device or a link. To
//! open a pipe waits for a writer, to read `/dev/zero` never ends, to open some
//! devices makes them act, and a link leads out of the folder. So:
//!
//! - only a plain file is opened ([`open`]); nothing else is even touched;
//! - opening never waits;
//! - a link is followed or refused, as the caller says ([`Links`]);
//! - a small file is read up to a bound ([`read`], [`read_text`]);
//! - what the operating system complains of is put in plain words ([`io_words`]).
//!
//! ```
//! use plain_file::{Links, Refused};
//!
//! # let folder = tempfile::tempdir()?;
//! let path = folder.path().join("job.toml");
//! std::fs::write(&path, "id = 1\n")?;
//! assert_eq!(plain_file::read_text(&path, 100, Links::Follow)?, "id = 1\n");
//! let error = plain_file::read(&path, 3, Links::Follow).unwrap_err();
//! assert_eq!(Refused::of(&error), Some(&Refused::TooLarge { most_bytes: 3 }));
//! # Ok::<(), std::io::Error>(())
//! ```
//!
//! # What this crate does not do
//! It writes nothing and knows no format.

mod words;

pub use words::{io_words, one_line};

use std::{
    fs::{self, File, FileType, Metadata},
    io::{self, Read},
    path::{Path, PathBuf},
};

/// Whether a link may stand for the file it leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Links {
    /// For a path that a person named: links are followed.
    Follow,
    /// For a name found in a folder that may come from anybody: the last part of the
    /// path must be the file itself. Folders above it may be links.
    Refuse,
}

/// Why something is not read. Every function of this crate gives it inside an
/// [`io::Error`], whose text is the text below; [`Refused::of`] takes it out.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Refused {
    /// A link, where links are refused.
    #[error(
        "it is a link to {}: what it leads to is read only where it lies itself",
        .target.display()
    )]
    Link {
        /// Where it leads, as it stands in the link.
        target: PathBuf,
    },
    /// A pipe, a device, a socket.
    #[error("it is a {what}, not a plain file: copy what it holds into a file")]
    NotAFile {
        /// What it is, in words.
        what: &'static str,
    },
    /// More bytes than the caller takes.
    #[error("it is larger than {}: this is not the right file", size(*.most_bytes))]
    TooLarge {
        /// The most that is taken, bytes.
        most_bytes: u64,
    },
    /// Bytes that are no text.
    #[error("it is not UTF-8 text: save it as UTF-8")]
    NotText,
}

impl Refused {
    /// The refusal inside an error of this crate; `None` for any other error.
    #[must_use]
    pub fn of(error: &io::Error) -> Option<&Self> {
        error.get_ref()?.downcast_ref()
    }
}

impl From<Refused> for io::Error {
    fn from(refused: Refused) -> Self {
        let kind = match refused {
            Refused::TooLarge { .. } => io::ErrorKind::FileTooLarge,
            Refused::Link { .. } | Refused::NotAFile { .. } => io::ErrorKind::InvalidInput,
            Refused::NotText => io::ErrorKind::InvalidData,
        };
        Self::new(kind, refused)
    }
}

/// A bound as it is said: "64 KB", "1 MB".
fn size(bytes: u64) -> String {
    match bytes {
        b if b >= 1 << 20 => format!("{} MB", b >> 20),
        b if b >= 1 << 10 => format!("{} KB", b >> 10),
        b => format!("{b} bytes"),
    }
}

/// Opens a plain file for reading. Never waits, whatever the path leads to.
///
/// # Errors
/// [`Refused::Link`], [`Refused::NotAFile`]; [`io::ErrorKind::IsADirectory`] for a
/// folder; else whatever the disk says.
pub fn open(path: &Path, links: Links) -> io::Result<File> {
    // looked at before it is opened, for opening makes some devices act
    let before = match links {
        Links::Follow => fs::metadata(path)?,
        Links::Refuse => fs::symlink_metadata(path)?,
    };
    check(path, &before)?;
    let file = open_at_once(path, links).map_err(|e| as_link(path, links, e))?;
    // and once more: another program may have put something else there meanwhile
    check(path, &file.metadata()?)?;
    Ok(file)
}

/// Reads a small file whole.
///
/// # Errors
/// As [`open`]; [`Refused::TooLarge`] for a file of more than `most_bytes`.
pub fn read(path: &Path, most_bytes: u64, links: Links) -> io::Result<Vec<u8>> {
    read_at_most(open(path, links)?, most_bytes)
}

/// Reads what is left of an open file. For a caller that asks something of the file
/// between [`open`] and this.
///
/// # Errors
/// [`Refused::TooLarge`] when more than `most_bytes` are left; else whatever the
/// disk says.
pub fn read_at_most(file: File, most_bytes: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    // the length that the disk states is not trusted: some files state none
    file.take(most_bytes.saturating_add(1))
        .read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most_bytes {
        return Err(Refused::TooLarge { most_bytes }.into());
    }
    Ok(bytes)
}

/// Reads a small text file whole. A byte-order mark is kept.
///
/// # Errors
/// As [`read`]; [`Refused::NotText`].
pub fn read_text(path: &Path, most_bytes: u64, links: Links) -> io::Result<String> {
    String::from_utf8(read(path, most_bytes, links)?).map_err(|_| Refused::NotText.into())
}

/// What stands at a path, with its article: "a link to /x/y", "a named pipe",
/// "a folder", "a file". Nothing is opened, no link is followed.
///
/// # Errors
/// Whatever the disk says.
pub fn what_is(path: &Path) -> io::Result<String> {
    let kind = fs::symlink_metadata(path)?.file_type();
    Ok(if kind.is_symlink() {
        let target = fs::read_link(path).unwrap_or_default();
        format!("a link to {}", target.display())
    } else if kind.is_dir() {
        "a folder".into()
    } else if kind.is_file() {
        "a file".into()
    } else {
        format!("a {}", kind_words(kind))
    })
}

fn check(path: &Path, found: &Metadata) -> io::Result<()> {
    let kind = found.file_type();
    if kind.is_file() {
        return Ok(());
    }
    if kind.is_dir() {
        return Err(io::ErrorKind::IsADirectory.into());
    }
    if kind.is_symlink() {
        return Err(link(path).into());
    }
    Err(Refused::NotAFile {
        what: kind_words(kind),
    }
    .into())
}

fn link(path: &Path) -> Refused {
    let target = fs::read_link(path).unwrap_or_default();
    Refused::Link { target }
}

#[cfg(unix)]
fn kind_words(kind: FileType) -> &'static str {
    use std::os::unix::fs::FileTypeExt;
    if kind.is_fifo() {
        "named pipe"
    } else if kind.is_socket() {
        "socket"
    } else {
        "device"
    }
}

#[cfg(not(unix))]
fn kind_words(_: FileType) -> &'static str {
    "device"
}

#[cfg(unix)]
fn open_at_once(path: &Path, links: Links) -> io::Result<File> {
    use rustix::fs::{Mode, OFlags};
    let mut flags = OFlags::RDONLY | OFlags::CLOEXEC | OFlags::NONBLOCK | OFlags::NOCTTY;
    if links == Links::Refuse {
        flags |= OFlags::NOFOLLOW;
    }
    Ok(File::from(rustix::fs::open(path, flags, Mode::empty())?))
}

#[cfg(not(unix))]
fn open_at_once(path: &Path, _: Links) -> io::Result<File> {
    File::open(path)
}

/// What the system says of a link that came into the place after the first look.
fn as_link(path: &Path, links: Links, error: io::Error) -> io::Error {
    let is_link = || fs::symlink_metadata(path).is_ok_and(|m| m.file_type().is_symlink());
    if links == Links::Refuse && is_link() {
        return link(path).into();
    }
    error
}

#[cfg(test)]
mod tests;
