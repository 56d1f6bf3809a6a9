//! The files of a folder against those that were sealed.

use std::collections::BTreeMap;

use super::findings::{FileChange, FileChangeKind};
use crate::seal::{Contents, FileDigest, FileKind, Seal, Uncovered};

/// What of the folder is not as it was sealed. Without a seal only what a record
/// never holds shows: something that has the name of one of its files and is none.
pub(super) fn changed_files(
    seal: Option<&Seal>,
    listed: &Contents,
    digests: &BTreeMap<&str, FileDigest>,
) -> Vec<FileChange> {
    let sealed = seal.map_or(&[][..], |s| &s.files);
    let find = |name: &str| sealed.iter().find(|f| f.name == name);
    let mut changes: Vec<FileChange> = Vec::new();
    for file in sealed {
        let other = listed.others.iter().find(|o| o.name == file.name);
        let change = match digests.get(file.name.as_str()) {
            Some(digest) if *digest == file.digest => continue,
            Some(_) => FileChangeKind::Changed,
            None => other
                .and_then(not_a_file)
                .unwrap_or(FileChangeKind::Missing),
        };
        changes.push(FileChange {
            name: file.name.clone(),
            kind: file.kind,
            change,
        });
    }
    let mut add = |name: &str, change: FileChangeKind| {
        let kind = FileKind::of(name);
        let counts = match kind {
            FileKind::Record => seal.is_some() || change != FileChangeKind::Added,
            FileKind::Product => seal.is_some(),
            FileKind::Attached => false,
        };
        if counts && find(name).is_none() {
            changes.push(FileChange {
                name: name.to_owned(),
                kind,
                change,
            });
        }
    };
    for name in &listed.files {
        add(name, FileChangeKind::Added);
    }
    for other in &listed.others {
        if let Some(change) = not_a_file(other) {
            add(&other.name, change);
        }
    }
    changes
}

fn not_a_file(other: &Uncovered) -> Option<FileChangeKind> {
    let what = other.what.clone()?;
    Some(FileChangeKind::NotAFile { what })
}

/// What nothing vouches for: later files, folders, links, hidden files.
pub(super) fn uncovered(seal: Option<&Seal>, listed: &Contents) -> Vec<Uncovered> {
    let Some(seal) = seal else {
        return Vec::new();
    };
    // what has the name of a record or product is told as a change
    let is_told = |name: &str| {
        FileKind::of(name) != FileKind::Attached || seal.files.iter().any(|f| f.name == name)
    };
    let files = listed.files.iter().map(|name| Uncovered {
        name: name.clone(),
        what: None,
    });
    let all = files.chain(listed.others.iter().cloned());
    all.filter(|u| !is_told(&u.name)).collect()
}
