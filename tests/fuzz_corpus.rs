//! The checks of the fuzz targets over their committed inputs, without a fuzzer:
//! what was once found stays found. Fresh inputs are tried by `tests/fuzz/run-all`.

use std::{
    collections::BTreeSet,
    fs,
    io::Read,
    panic::{AssertUnwindSafe, catch_unwind},
    path::{Path, PathBuf},
};

// a workspace of its own, for it needs a C++ compiler: no dependency can lead there
#[path = "fuzz/src/lib.rs"]
pub mod checks;

fn fuzz() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/fuzz")
}

/// Every committed input of a target, with its name: one archive each.
fn inputs(target: &str) -> Vec<(String, Vec<u8>)> {
    let path = fuzz().join("corpus").join(format!("{target}.tar"));
    let file = fs::File::open(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let mut archive = tar::Archive::new(file);
    let mut inputs = Vec::new();
    for entry in archive.entries().expect("an archive") {
        let mut entry = entry.expect("an entry");
        let name = entry.path().expect("a name").display().to_string();
        let mut data = Vec::new();
        entry.read_to_end(&mut data).expect("its bytes");
        inputs.push((name, data));
    }
    inputs
}

/// Runs a check over every committed input of its target.
fn replay(target: &str, check: fn(&[u8])) {
    let inputs = inputs(target);
    assert!(inputs.len() >= 5, "{target}: {} inputs", inputs.len());
    for (name, data) in inputs {
        let ended = catch_unwind(AssertUnwindSafe(|| check(&data)));
        assert!(ended.is_ok(), "the input is {name} in {target}.tar");
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
    fault_file,
    findings,
    foreign_csv,
    gauge_bytes,
    job_file,
    key_files,
    logo,
    node_line,
    packed_run,
    page_requests,
    photo,
    rig_notes,
    scale_bytes,
    time_stamp,
    trace_reader,
];

/// A committed corpus is small: it is checked out by everyone.
#[test]
fn the_corpora_are_small() {
    let sizes = names("corpus")
        .into_iter()
        .flat_map(|target| inputs(&target));
    let bytes: usize = sizes.map(|(_, data)| data.len()).sum();
    assert!(bytes < 1_500_000, "{bytes} bytes");
}
