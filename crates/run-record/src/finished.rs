//! Keeps others from recording into a run that is over.

use std::{fs::File, path::Path};

use plain_file::Links;

use crate::{parts::continuations, trace::TRACE_NAME};

/// A finished run that nobody records into as long as this lives: to delete it, for
/// instance.
#[derive(Debug)]
pub struct FinishedHold {
    _files: Vec<File>,
}

impl FinishedHold {
    /// Takes hold of the run in this folder; `None` when it is being recorded, and when
    /// nobody can tell because it cannot be read or locked.
    #[must_use]
    pub fn take(folder: &Path) -> Option<Self> {
        let first = folder.join(TRACE_NAME);
        let mut files = Vec::new();
        for path in continuations(&first).ok()?.values().chain([&first]) {
            let file = plain_file::open(path, Links::Refuse).ok()?;
            file.try_lock().ok()?;
            files.push(file);
        }
        Some(Self { _files: files })
    }
}
