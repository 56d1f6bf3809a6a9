//! What is to be read: everything that a person named, and what lies below it.

use std::path::{Path, PathBuf};

use run_review::{is_run, runs_below};

use crate::row::RowKind;

/// Tables that the program itself writes beside runs; they are no records.
const OUR_OWN: [&str; 1] = ["rig-notes.csv"];

/// One thing to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thing {
    /// Where it lies, as it was found.
    pub path: PathBuf,
    /// What it seems to be.
    pub kind: RowKind,
    /// Why it cannot even be looked at.
    pub unreadable: Option<String>,
}

impl Thing {
    fn new(path: &Path, kind: RowKind) -> Self {
        Self {
            path: path.to_owned(),
            kind,
            unreadable: None,
        }
    }

    fn unreadable(path: &Path, why: impl Into<String>) -> Self {
        Self {
            unreadable: Some(why.into()),
            ..Self::new(path, RowKind::Run)
        }
    }
}

/// Everything to read at and below these paths, in their order, each once; what lies below a
/// folder in the order of its paths. Links are followed where somebody named them, and
/// nowhere else.
#[must_use]
pub fn walk(paths: &[PathBuf]) -> Vec<Thing> {
    let mut seen = std::collections::HashSet::new();
    let all = paths.iter().flat_map(|path| at(path));
    all.filter(|thing| seen.insert(thing.path.clone()))
        .collect()
}

/// Part `part` of `of`, both from 1: parts put together in their order are the whole.
#[must_use]
pub fn part_of(things: Vec<Thing>, part: usize, of: usize) -> Vec<Thing> {
    let count = things.len();
    let of = of.max(1);
    let begin = |part: usize| count * part.min(of) / of;
    let (from, to) = (begin(part.saturating_sub(1)), begin(part));
    things
        .into_iter()
        .skip(from)
        .take(to.saturating_sub(from))
        .collect()
}

fn at(path: &Path) -> Vec<Thing> {
    let Ok(found) = std::fs::metadata(path) else {
        return vec![Thing::unreadable(path, "there is nothing at this path")];
    };
    if !found.is_dir() {
        // whoever names a file means it, whatever its name
        return vec![Thing::new(path, kind_of(path).unwrap_or(RowKind::Table))];
    }
    if is_run(path) {
        return vec![Thing::new(path, RowKind::Run)];
    }
    let below = runs_below(path);
    let mut things: Vec<Thing> = below
        .runs
        .iter()
        .map(|run| Thing::new(run, RowKind::Run))
        .collect();
    let of_kind = |file: &PathBuf| Some(Thing::new(file, kind_of(file)?));
    let foreign = below.files.iter().filter(|file| !is_ours(file));
    things.extend(foreign.filter_map(of_kind));
    things.extend(below.unreadable.iter().map(|(folder, why)| {
        let why = plain_file::io_words(why);
        Thing::unreadable(folder, format!("the folder cannot be looked into: {why}"))
    }));
    things.extend(below.too_deep.iter().map(|folder| {
        Thing::unreadable(
            folder,
            "the folder lies too deep and was not looked into: give it as a path of its own if \
             it holds records",
        )
    }));
    things.sort_by(|a, b| a.path.cmp(&b.path));
    things
}

/// By its name; what is in it is seen when it is read.
fn kind_of(file: &Path) -> Option<RowKind> {
    let extension = file.extension()?.to_str()?.to_ascii_lowercase();
    match extension.as_str() {
        "zip" => Some(RowKind::Packed),
        "csv" => Some(RowKind::Table),
        _ => None,
    }
}

fn is_ours(file: &Path) -> bool {
    let name = file.file_name().unwrap_or_default();
    OUR_OWN.iter().any(|ours| name == *ours)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(things: &[Thing], below: &Path) -> Vec<(String, RowKind)> {
        let name = |t: &Thing| {
            let path = t.path.strip_prefix(below).unwrap_or(&t.path);
            (path.display().to_string().replace('\\', "/"), t.kind)
        };
        things.iter().map(name).collect()
    }

    #[test]
    fn what_is_read_comes_in_the_order_of_its_paths_and_once() {
        let place = tempfile::tempdir().expect("a folder");
        let at = |name: &str| place.path().join(name);
        for folder in ["b/run", "b/run/inside", "a/deep/er", ".hidden/run"] {
            std::fs::create_dir_all(at(folder)).expect("a folder");
        }
        for file in [
            "b/run/trace.csv",
            "b/run/beside-x.csv",
            "b/run/inside/x.csv",
            ".hidden/run/trace.csv",
            "a/deep/er/table.CSV",
            "a/claim.zip",
            "a/photo.jpg",
            "a/rig-notes.csv",
            "c.txt",
        ] {
            std::fs::write(at(file), "x").expect("written");
        }
        let found = walk(&[place.path().to_owned()]);
        let wanted = [
            ("a/claim.zip", RowKind::Packed),
            ("a/deep/er/table.CSV", RowKind::Table),
            ("b/run", RowKind::Run),
        ];
        let wanted: Vec<_> = wanted.map(|(p, k)| (p.to_owned(), k)).into();
        assert_eq!(shown(&found, place.path()), wanted);
        // named, in the order of naming, and not twice
        let named = [at("c.txt"), at("b"), place.path().to_owned(), at("nowhere")];
        let found = walk(&named);
        assert_eq!(found.len(), 5);
        assert_eq!(shown(&found, place.path())[0].0, "c.txt");
        assert!(found[4].unreadable.is_some());
    }

    #[cfg(unix)]
    #[test]
    fn no_link_is_followed_below_a_folder() {
        let place = tempfile::tempdir().expect("a folder");
        std::fs::create_dir(place.path().join("in")).expect("a folder");
        std::os::unix::fs::symlink(place.path(), place.path().join("in/up")).expect("a link");
        assert_eq!(walk(&[place.path().to_owned()]), []);
    }

    #[test]
    fn parts_put_together_are_the_whole() {
        let thing = |i: usize| Thing::new(Path::new(&i.to_string()), RowKind::Run);
        for count in [0, 1, 5, 17] {
            let whole: Vec<_> = (0..count).map(thing).collect();
            for of in [1, 2, 3, 20] {
                let parts = (1..=of).flat_map(|part| part_of(whole.clone(), part, of));
                assert_eq!(parts.collect::<Vec<_>>(), whole, "{count} in {of}");
            }
        }
    }
}
