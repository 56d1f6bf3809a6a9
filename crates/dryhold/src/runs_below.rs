//! Run folders below a folder.

use std::path::{Path, PathBuf};

use crate::outcome::complain;

/// Folders in folders are looked into so deep.
const DEEPEST: usize = 4;

/// Run folders below a folder, it among them, in the order of their paths.
pub(crate) fn runs_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    find(folder, DEEPEST, &mut found);
    found.sort();
    found
}

/// True for a folder that holds a record, or the seal of one.
pub(crate) fn is_run(folder: &Path) -> bool {
    let is_there = |name| folder.join(name).symlink_metadata().is_ok();
    is_there("trace.csv") || is_there("seal.json")
}

fn find(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) {
    if is_run(folder) {
        found.push(folder.to_owned());
        return;
    }
    if depth == 0 {
        return;
    }
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(e) => {
            return complain(format!(
                "{}: {}",
                folder.display(),
                plain_file::io_words(&e)
            ));
        }
    };
    for entry in entries.filter_map(Result::ok) {
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        // not through links: they may lead round in circles
        if !hidden && entry.file_type().is_ok_and(|t| t.is_dir()) {
            find(&entry.path(), depth - 1, found);
        }
    }
}
