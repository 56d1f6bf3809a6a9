//! Whatever bytes come, reading ends in readings or in one line of error.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::fs;

use proptest::prelude::*;
use run_record::{ImportOptions, JobFile, Source, verify};

/// Reads a file to its end and checks what may be checked of any input.
fn read(name: &str, bytes: &[u8]) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    fs::write(&path, bytes).unwrap();
    let opened = Source::open_and_check(&path, &ImportOptions::default());
    let end = opened.and_then(|mut source| {
        let mut last = f64::NEG_INFINITY;
        while let Some(entry) = source.next_entry()? {
            assert!(entry.elapsed_s() >= last, "time went backwards");
            last = entry.elapsed_s();
        }
        let summary = source.summary();
        assert_eq!(summary.rows, summary.used + summary.rejected);
        Ok(())
    });
    if let Err(e) = end {
        let text = e.to_string();
        assert!(!text.contains(['\n', '\r']), "{text:?}");
    }
    let _ = verify(&path);
    let _ = JobFile::read(&path);
    assert_eq!(fs::read(&path).unwrap(), bytes, "the file was altered");
}

/// A record, and a foreign CSV under the name of one.
const GOOD: [&str; 2] = [
    "seq,elapsed_s,utc,pressure_micron,temperature_c,state,mark,note,link\n\
     1,0.000,2026-03-14T09:15:00.000Z,18500,,ok,,,0123456789abcdef\n\
     2,1.000,2026-03-14T09:15:01.000Z,,,,note,\"a, b\",0123456789abcdef\n",
    "elapsed_s,pressure_micron,state,mark\n0,18500,ok,\n1,,over,\n2,500,,pump_side_shut\n",
];

/// One of them with some bytes replaced or removed.
fn edited() -> impl Strategy<Value = Vec<u8>> {
    let edit = (any::<prop::sample::Index>(), any::<Option<u8>>());
    let edits = prop::collection::vec(edit, 0..8);
    (prop::sample::select(&GOOD[..]), edits).prop_map(|(good, edits)| {
        let mut bytes = good.as_bytes().to_vec();
        for (at, byte) in edits {
            let at = at.index(bytes.len());
            bytes.splice(at..=at, byte);
        }
        bytes
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        read("trace.csv", &bytes);
    }

    #[test]
    fn nearly_good_files(bytes in edited()) {
        read("trace.csv", &bytes);
    }
}
