//! Run folders below a folder.

use std::path::{Path, PathBuf};

/// Folders in folders are looked into so deep.
const DEEPEST: usize = 4;

/// What was found below a folder.
#[derive(Debug, Default)]
pub struct RunsBelow {
    /// Run folders in the order of their paths.
    pub runs: Vec<PathBuf>,
    /// Plain files that lie in no run folder, in no order.
    pub files: Vec<PathBuf>,
    /// Folders that could not be looked into, and why.
    pub unreadable: Vec<(PathBuf, std::io::Error)>,
    /// Folders that lie too deep and were not looked into.
    pub too_deep: Vec<PathBuf>,
}

impl RunsBelow {
    /// What is to be said of folders that could not be looked into, a line each.
    #[must_use]
    pub fn complaints(&self) -> Vec<String> {
        let line = |(folder, why): &(PathBuf, std::io::Error)| {
            format!("{}: {}", folder.display(), plain_file::io_words(why))
        };
        self.unreadable.iter().map(line).collect()
    }
}

/// What is meant by these paths: of a folder that is no run, the runs below it; anything else
/// itself. With what is to be said of folders that could not be looked into.
#[must_use]
pub fn records_at(paths: &[PathBuf]) -> (Vec<PathBuf>, Vec<String>) {
    let (mut records, mut complaints) = (Vec::new(), Vec::new());
    for path in paths {
        let mut below = Vec::new();
        if path.is_dir() && !is_run(path) {
            let found = runs_below(path);
            complaints.extend(found.complaints());
            complaints.extend(found.too_deep.iter().map(|folder| {
                format!(
                    "{}: lies too deep below {} and was not looked into; give it as a path of \
                     its own if it holds runs",
                    folder.display(),
                    path.display()
                )
            }));
            below = found.runs;
        }
        match below.is_empty() {
            true => records.push(path.clone()),
            false => records.extend(below),
        }
    }
    (records, complaints)
}

/// Run folders below a folder, it among them, and the files beside them.
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
        return found.too_deep.push(folder.to_owned());
    }
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(e) => return found.unreadable.push((folder.to_owned(), e)),
    };
    for entry in entries.filter_map(Result::ok) {
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        if hidden {
            continue;
        }
        // not through links: a link may lead back to a folder above it
        match entry.file_type() {
            Ok(t) if t.is_dir() => find(&entry.path(), depth - 1, found),
            Ok(t) if t.is_file() => found.files.push(entry.path()),
            _ => {}
        }
    }
}
