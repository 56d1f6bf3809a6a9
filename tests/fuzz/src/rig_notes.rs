//! Notes on pumps, hose sets and gauges.
//!
//! Input: the bytes of a `rig-notes.csv`.
//!
//! Promises: notes, each with a signature that is right or told to be wrong, or one line of
//! error; a note that is added changes no byte of what was there and is read back.

use rig_history::{Note, NoteKind};

use super::scratch;

/// Longest file looked at.
const MOST_BYTES: usize = 8192;

/// Checks one input.
pub fn check(data: &[u8]) {
    let data = &data[..data.len().min(MOST_BYTES)];
    scratch::in_folder(|folder| {
        let path = rig_notes::file_of(folder);
        scratch::put(&path, data);
        let before = match rig_notes::read(folder) {
            Ok(found) => found,
            Err(error) => {
                assert!(!error.to_string().contains('\n'), "{error}");
                return;
            }
        };
        let note = Note::of(1_773_500_000.0, "pump 1", NoteKind::Remark, "added");
        rig_notes::add(folder, &note, None).unwrap_or_else(|e| panic!("{e}"));
        let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{e}"));
        assert!(bytes.starts_with(data), "what was there stays");
        let after = rig_notes::read(folder).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(after.notes.last().map(|n| &n.note), Some(&note));
        assert_eq!(after.notes.len(), before.notes.len() + 1);
    });
}
