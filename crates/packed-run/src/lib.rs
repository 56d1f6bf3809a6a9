//! A run folder that came as a zip archive, unpacked into a private temporary folder.
//!
//! An archive comes from anybody. So only what a run folder can hold is taken out of it:
//! plain files, side by side, alone or in one folder. Whatever else it holds, the archive
//! is refused as a whole, with what is wrong and what to do:
//!
//! - names that lead out of the folder, folders in folders, links, names twice;
//! - more files, more bytes, or bytes packed more tightly than a record ever is;
//! - files under a password, or packed in another way than stored or deflated;
//! - a file whose bytes do not fit its check value.
//!
//! What the systems add by themselves (`__MACOSX`, `.DS_Store`, `Thumbs.db`) is left out.
//! The folder is readable for its owner only, and gone when [`Unpacked`] is dropped.
//!
//! ```no_run
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let path = std::path::Path::new("20260314T091500Z-INVENTED-0042.zip");
//! if packed_run::is_archive(path) {
//!     let unpacked = packed_run::unpack(path)?;
//!     assert!(unpacked.folder().join("trace.csv").exists());
//! }
//! # Ok(()) }
//! ```
//!
//! # What this crate does not do
//! It knows nothing of what is in the files, and packs nothing.

mod error;
mod names;

use std::{
    fs::File,
    io::{self, Read},
    path::{Path, PathBuf},
};

use plain_file::Links;
use tempfile::TempDir;
use zip::{CompressionMethod, ZipArchive, result::ZipError};

pub use error::PackedError;
use names::{Name, Names};

/// Files that a run folder holds at most: a trace in parts, gauges beside it, pictures.
const MOST_FILES: usize = 1_000;
/// Bytes that are unpacked at most: a week at ten readings a second is half of it.
const MOST_BYTES: u64 = 1 << 30;
/// So many times as large as the archive files may get; rows of text pack to a tenth.
const MOST_RATIO: u64 = 200;
/// Small archives may get so large whatever the ratio.
const ALWAYS_ALLOWED: u64 = 1 << 20;
/// The file without which there is no record.
const TRACE: &str = "trace.csv";
/// What an archive begins with (APPNOTE.TXT 6.3.10 section 4.3.7).
const MAGIC: [u8; 4] = *b"PK\x03\x04";
/// A workbook is such an archive too, and holds this.
const WORKBOOK: &str = "[Content_Types].xml";

/// A run folder that was unpacked; gone when this is dropped.
#[derive(Debug)]
pub struct Unpacked {
    folder: PathBuf,
    _place: TempDir,
}

impl Unpacked {
    /// The run folder. Its name is that in the archive, or of the archive.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }
}

/// True for a plain file that is a zip archive, and no workbook of a spreadsheet.
#[must_use]
pub fn is_archive(path: &Path) -> bool {
    let Ok(mut file) = plain_file::open(path, Links::Follow) else {
        return false;
    };
    let mut head = [0; MAGIC.len()];
    if file.read_exact(&mut head).is_err() || head != MAGIC {
        return false;
    }
    match ZipArchive::new(file) {
        Ok(archive) => archive.index_for_name(WORKBOOK).is_none(),
        // said by whoever unpacks it
        Err(_) => path
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("zip")),
    }
}

/// Unpacks the run folder in this archive.
///
/// # Errors
/// [`PackedError`]: when the archive cannot be read, or holds anything but one run folder
/// of a size that a record can have. Nothing is left behind then.
pub fn unpack(path: &Path) -> Result<Unpacked, PackedError> {
    Bounds::USUAL.unpack(path)
}

/// How much is unpacked at most.
struct Bounds {
    files: usize,
    bytes: u64,
    ratio: u64,
    always: u64,
}

impl Bounds {
    const USUAL: Self = Self {
        files: MOST_FILES,
        bytes: MOST_BYTES,
        ratio: MOST_RATIO,
        always: ALWAYS_ALLOWED,
    };

    fn unpack(&self, path: &Path) -> Result<Unpacked, PackedError> {
        let file =
            plain_file::open(path, Links::Follow).map_err(|e| PackedError::read(path, &e))?;
        let packed_bytes = file
            .metadata()
            .map_err(|e| PackedError::read(path, &e))?
            .len();
        let mut archive = ZipArchive::new(file).map_err(|e| damaged(path, e))?;
        if archive.len() > self.files {
            return Err(PackedError::TooManyFiles {
                path: path.to_owned(),
                files: archive.len(),
                most: self.files,
            });
        }
        let names = self.names(path, &mut archive)?;
        let mut private = tempfile::Builder::new();
        private.prefix("dryhold-");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            private.permissions(std::fs::Permissions::from_mode(0o700));
        }
        let place = private
            .tempdir()
            .map_err(|e| PackedError::write(path, &e))?;
        let folder = place.path().join(names.folder(path));
        std::fs::create_dir(&folder).map_err(|e| PackedError::write(path, &e))?;
        let most = self
            .bytes
            .min(self.always.max(packed_bytes.saturating_mul(self.ratio)));
        let mut left = most;
        for (index, name) in names.files() {
            let entry = archive.by_index(*index).map_err(|e| damaged(path, e))?;
            let too_large = || PackedError::TooLarge {
                path: path.to_owned(),
                most_mb: most >> 20,
            };
            // the size that the archive states is not trusted
            let mut limited = entry.take(left.saturating_add(1));
            let mut out =
                File::create_new(folder.join(name)).map_err(|e| PackedError::write(path, &e))?;
            let bytes = io::copy(&mut limited, &mut out).map_err(|e| PackedError::Entry {
                path: path.to_owned(),
                name: name.clone(),
                why: plain_file::io_words(&e),
            })?;
            left = left.checked_sub(bytes).ok_or_else(too_large)?;
        }
        Ok(Unpacked {
            folder,
            _place: place,
        })
    }

    /// The files to be taken out; refuses the archive for any other entry.
    fn names(&self, path: &Path, archive: &mut ZipArchive<File>) -> Result<Names, PackedError> {
        let mut names = Names::default();
        for index in 0..archive.len() {
            let entry = archive.by_index_raw(index).map_err(|e| damaged(path, e))?;
            let shown = String::from_utf8_lossy(entry.name_raw()).into_owned();
            let refuse = |why: &'static str| PackedError::NotARun {
                path: path.to_owned(),
                name: shown.clone(),
                why,
            };
            if entry.encrypted() {
                return Err(refuse("it is locked with a password: unpack it yourself"));
            }
            let is_link = entry.is_symlink();
            match Name::of(entry.name_raw(), entry.is_dir()).map_err(refuse)? {
                Name::LeftOut | Name::Folder(_) if !is_link => continue,
                Name::LeftOut | Name::Folder(_) => return Err(refuse("it is a link")),
                Name::File { folder, name } => {
                    if is_link {
                        return Err(refuse("it is a link, which may lead anywhere"));
                    }
                    let known = [CompressionMethod::Stored, CompressionMethod::Deflated];
                    if !known.contains(&entry.compression()) {
                        return Err(refuse(
                            "it is packed in a way that is not read here: pack the folder as an \
                             ordinary zip, or unpack it yourself",
                        ));
                    }
                    names.add(index, folder, name).map_err(refuse)?;
                }
            }
        }
        if !names.files().iter().any(|(_, name)| name == TRACE) {
            return Err(PackedError::NoTrace {
                path: path.to_owned(),
            });
        }
        Ok(names)
    }
}

fn damaged(path: &Path, error: ZipError) -> PackedError {
    let why = match &error {
        ZipError::Io(e) => plain_file::io_words(e),
        other => other.to_string(),
    };
    PackedError::Damaged {
        path: path.to_owned(),
        why,
    }
}

#[cfg(test)]
#[path = "unpack_tests.rs"]
mod tests;
