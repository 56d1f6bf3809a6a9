//! Run folders below a folder.

use std::path::{Path, PathBuf};

/// Folders in folders are looked into so deep.
const DEEPEST: usize = 4;

/// What was found below a folder.
#[derive(Debug, Default)]
pub struct RunsBelow {
    /// Run folders in the order of their paths.
    pub runs: Vec<PathBuf>,
    /// Folders that could not be looked into, and why.
    pub unreadable: Vec<(PathBuf, std::io::Error)>,
}

/// Run folders below a folder, it among them.
pub fn runs_below(folder: &Path) -> RunsBelow {
    let mut found = RunsBelow::default();
    find(folder, DEEPEST, &mut found);
    found.runs.sort();
    found
}

/// True for a folder that holds a record, or the seal of one.
pub fn is_run(folder: &Path) -> bool {
    let is_there = |name| folder.join(name).symlink_metadata().is_ok();
    is_there("trace.csv") || is_there("seal.json")
}

fn find(folder: &Path, depth: usize, found: &mut RunsBelow) {
    if is_run(folder) {
        found.runs.push(folder.to_owned());
        return;
    }
    if depth == 0 {
        return;
    }
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(e) => return found.unreadable.push((folder.to_owned(), e)),
    };
    for entry in entries.filter_map(Result::ok) {
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        // not through links: a link may lead back to a folder above it
        if !hidden && entry.file_type().is_ok_and(|t| t.is_dir()) {
            find(&entry.path(), depth - 1, found);
        }
    }
}
