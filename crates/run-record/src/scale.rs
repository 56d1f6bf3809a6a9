//! What a scale said, read back.

use std::path::Path;

use vacuum::Weighing;

use crate::{
    error::RecordError, run::RunReader, scale_row::row_weighing, summary::Summary,
    trace::SCALE_NAME,
};

/// Reads what a scale said back, row by row in flat memory, also after a kill or a power cut.
#[derive(Debug)]
pub struct ScaleReader(RunReader);

impl ScaleReader {
    /// Opens the rows of the scale in this run folder; `None` when there are none.
    ///
    /// # Errors
    /// When they cannot be read or their header row is not this program's.
    pub fn open(folder: &Path) -> Result<Option<Self>, RecordError> {
        let path = folder.join(SCALE_NAME);
        if path.symlink_metadata().is_err() {
            return Ok(None);
        }
        RunReader::open(&path, true).map(|reader| Some(Self(reader)))
    }

    /// The next row, or `None` at the end.
    ///
    /// # Errors
    /// When the file cannot be read on, a number is not one, or time goes backwards.
    pub fn next_weighing(&mut self) -> Result<Option<Weighing>, RecordError> {
        self.0.next_as(row_weighing)
    }

    /// What was read, once the end is reached.
    #[must_use]
    pub fn summary(&self) -> Summary {
        self.0.summary()
    }
}
