//! Notes as they were found.

use rig_history::Note;
use seal_keys::PublicKey;

use crate::error::Problem;

/// Notes as they were found.
#[derive(Debug, Default)]
pub struct Found {
    /// In the order of the file.
    pub notes: Vec<FoundNote>,
    /// What is not as it was written.
    pub problems: Vec<Problem>,
}

/// A note with who signed it.
#[derive(Debug, Clone)]
pub struct FoundNote {
    /// The note.
    pub note: Note,
    /// The key that signed it, if its signature is good.
    pub signed_by: Option<PublicKey>,
}

impl Found {
    /// The notes alone.
    #[must_use]
    pub fn plain(&self) -> Vec<Note> {
        self.notes.iter().map(|n| n.note.clone()).collect()
    }
}
