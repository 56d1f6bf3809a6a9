//! Files for readers that take a path.

use std::path::Path;

use tempfile::TempDir;

thread_local! {
    static FOLDER: TempDir = tempfile::tempdir().unwrap_or_else(|e| panic!("no scratch folder: {e}"));
}

/// Calls with a folder that is made once per thread, in `TMPDIR`.
pub(crate) fn in_folder(act: impl FnOnce(&Path)) {
    FOLDER.with(|folder| act(folder.path()));
}

/// Writes a file; a full disk is no finding.
pub(crate) fn put(path: &Path, bytes: &[u8]) {
    std::fs::write(path, bytes).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
}
