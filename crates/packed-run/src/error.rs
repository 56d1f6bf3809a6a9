use std::{
    io,
    path::{Path, PathBuf},
};

use plain_file::{io_words, one_line};

/// Why an archive is not unpacked. One line: the file, what is wrong, what to do.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PackedError {
    /// The disk does not give it.
    #[error("{}: cannot be read: {why}", one_line(.path))]
    Read {
        /// The archive.
        path: PathBuf,
        /// What the system said.
        why: String,
    },
    /// It is no whole zip archive.
    #[error(
        "{}: the archive is damaged or no zip ({why}): pack the run folder again, or copy it as \
         it is",
        one_line(.path)
    )]
    Damaged {
        /// The archive.
        path: PathBuf,
        /// What is wrong with it.
        why: String,
    },
    /// It holds something that no run folder holds.
    #[error("{}: not unpacked because of \"{}\": {why}", one_line(.path), .name.escape_debug())]
    NotARun {
        /// The archive.
        path: PathBuf,
        /// The entry.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// There is no record in it.
    #[error(
        "{}: the archive holds no run: there is no trace.csv in it. Pack one run folder, or \
         unpack it and name the file to be read",
        one_line(.path)
    )]
    NoTrace {
        /// The archive.
        path: PathBuf,
    },
    /// More files than any run folder has.
    #[error(
        "{}: the archive holds {files} files, a run folder at most {most}: pack one run folder \
         into one archive",
        one_line(.path)
    )]
    TooManyFiles {
        /// The archive.
        path: PathBuf,
        /// Files in it.
        files: usize,
        /// Most that are taken.
        most: usize,
    },
    /// Unpacked it would be larger than a record of its size can be.
    #[error(
        "{}: unpacked it would be larger than {most_mb} MB, more than a record in an archive of \
         this size can be: it is not unpacked. If you trust it, unpack it yourself and name the \
         folder",
        one_line(.path)
    )]
    TooLarge {
        /// The archive.
        path: PathBuf,
        /// Most that is unpacked, MB.
        most_mb: u64,
    },
    /// A file in it cannot be unpacked.
    #[error(
        "{}: \"{}\" in the archive is damaged ({why}): pack the run folder again",
        one_line(.path), .name.escape_debug()
    )]
    Entry {
        /// The archive.
        path: PathBuf,
        /// The file in it.
        name: String,
        /// What is wrong.
        why: String,
    },
    /// There is no room to unpack it.
    #[error(
        "{}: cannot be unpacked into the folder for temporary files: {why}",
        one_line(.path)
    )]
    Write {
        /// The archive.
        path: PathBuf,
        /// What the system said.
        why: String,
    },
}

impl PackedError {
    pub(crate) fn read(path: &Path, error: &io::Error) -> Self {
        Self::Read {
            path: path.to_owned(),
            why: io_words(error),
        }
    }

    pub(crate) fn write(path: &Path, error: &io::Error) -> Self {
        Self::Write {
            path: path.to_owned(),
            why: io_words(error),
        }
    }
}
