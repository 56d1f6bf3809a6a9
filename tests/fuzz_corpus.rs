//! The checks of the fuzz targets over their committed inputs, without a fuzzer:
//! what was once found stays found. Fresh inputs are tried by `fuzz/run-all`.

use std::{
    collections::BTreeSet,
    fs,
    panic::{AssertUnwindSafe, catch_unwind},
    path::{Path, PathBuf},
};

#[path = "../fuzz/src/lib.rs"]
pub mod checks;

fn fuzz() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz")
}

/// Runs a check over every committed input of its target.
fn replay(target: &str, check: fn(&[u8])) {
    let folder = fuzz().join("corpus").join(target);
    let mut inputs: Vec<PathBuf> = fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.expect("a readable entry").path())
        .collect();
    inputs.sort();
    assert!(inputs.len() >= 5, "{target}: {} inputs", inputs.len());
    for input in inputs {
        let data = fs::read(&input).expect("a readable input");
        let ended = catch_unwind(AssertUnwindSafe(|| check(&data)));
        assert!(ended.is_ok(), "the input is {}", input.display());
    }
}

/// Names of the files or folders in a folder, without what is behind a point.
fn names(folder: &str) -> BTreeSet<String> {
    let entries = fs::read_dir(fuzz().join(folder)).expect("a readable folder");
    let paths = entries.map(|entry| entry.expect("a readable entry").path());
    paths
        .filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned()))
        .collect()
}

macro_rules! targets {
    ($($target:ident),* $(,)?) => {
        $(
            #[test]
            fn $target() {
                replay(stringify!($target), checks::$target::check);
            }
        )*

        #[test]
        fn every_target_is_replayed() {
            let here = BTreeSet::from([$(stringify!($target).to_owned()),*]);
            assert_eq!(here, names("fuzz_targets"));
            assert_eq!(here, names("corpus"));
            assert!(names("dictionaries").is_subset(&here));
        }
    };
}

targets![
    asked_gauge,
    dialect_text,
    findings,
    foreign_csv,
    gauge_bytes,
    job_file,
    key_files,
    logo,
    node_line,
    page_requests,
    time_stamp,
    trace_reader,
];

/// A committed corpus is small: it is checked out by everyone.
#[test]
fn the_corpora_are_small() {
    let mut bytes = 0;
    for target in names("corpus") {
        for input in fs::read_dir(fuzz().join("corpus").join(target)).expect("a folder") {
            bytes += input.and_then(|i| i.metadata()).expect("a file").len();
        }
    }
    assert!(bytes < 1_500_000, "{bytes} bytes");
}
