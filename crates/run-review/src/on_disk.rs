//! Where a record lies that somebody named: as it is, or in a zip archive, which is then
//! unpacked into a private folder.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use packed_run::{PackedError, Unpacked, is_archive, unpack};
use run_record::RecordError;

/// A record as it was named, and where it is read.
///
/// The folder of an archive is gone with the last copy of this.
#[derive(Debug, Clone)]
pub struct OnDisk {
    shown: PathBuf,
    unpacked: Option<Arc<Unpacked>>,
}

impl OnDisk {
    /// Unpacks the record where it is an archive.
    ///
    /// # Errors
    /// When the archive holds anything but one run folder.
    pub fn of(path: &Path) -> Result<Self, PackedError> {
        let unpacked = match is_archive(path) {
            true => Some(Arc::new(unpack(path)?)),
            false => None,
        };
        Ok(Self {
            shown: path.to_owned(),
            unpacked,
        })
    }

    /// Where it is read.
    pub fn path(&self) -> &Path {
        match &self.unpacked {
            Some(unpacked) => unpacked.folder(),
            None => &self.shown,
        }
    }

    /// The path that was named.
    pub fn shown(&self) -> &Path {
        &self.shown
    }

    /// True where it came as an archive.
    pub fn is_packed(&self) -> bool {
        self.unpacked.is_some()
    }

    /// An error of the record, as of the path that was named.
    #[must_use]
    pub fn named(&self, error: RecordError) -> RecordError {
        error.shown_in(self.path(), &self.shown)
    }
}
