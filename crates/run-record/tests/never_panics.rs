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

const GOOD: [&str; 4] = [
    "elapsed_s,pressure_micron,state,mark\n0,18500,ok,\n1,,over,\n2,500,,pump_side_shut\n3,502,,\n",
    "Datum;Zeit;Druck (mbar)\n14.03.2026;09:15:00;0,667\n14.03.2026;09:15:01;0,668\n",
    "time,p\n2026-03-14T09:15:00Z,500 micron\n2026-03-14T09:15:01Z,501 micron\n",
    "seq,elapsed_s,utc,pressure_micron,temperature_c,state,mark,note,link\n\
     1,0.000,2026-03-14T09:15:00.000Z,18500,,ok,,,0123456789abcdef\n\
     2,1.000,2026-03-14T09:15:01.000Z,,,,note,\"a, b\",0123456789abcdef\n",
];

/// A good file with some bytes replaced, removed or put in.
fn mutated() -> impl Strategy<Value = Vec<u8>> {
    let edit = (any::<prop::sample::Index>(), 0..4_u8, edit_byte());
    let utf16 = any::<bool>();
    (0..GOOD.len(), prop::collection::vec(edit, 0..8), utf16).prop_map(|(i, edits, utf16)| {
        let mut bytes = if utf16 {
            GOOD[i].encode_utf16().flat_map(u16::to_le_bytes).collect()
        } else {
            GOOD[i].as_bytes().to_vec()
        };
        for (at, kind, byte) in edits {
            if bytes.is_empty() {
                break;
            }
            let at = at.index(bytes.len());
            match kind {
                0 => bytes[at] = byte,
                1 => drop(bytes.remove(at)),
                2 => bytes.insert(at, byte),
                _ => bytes.truncate(at),
            }
        }
        bytes
    })
}

fn edit_byte() -> impl Strategy<Value = u8> {
    prop_oneof![
        any::<u8>(),
        prop::sample::select(b",;\t|\"\n\r\0-.0919eE:TZ'=\xb5".to_vec()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        read("trace.csv", &bytes);
    }

    #[test]
    fn nearly_good_files(bytes in mutated()) {
        read("trace.csv", &bytes);
    }
}
