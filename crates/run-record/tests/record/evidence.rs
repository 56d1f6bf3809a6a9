use std::fs;

use run_record::{BreakKind, ChainStatus, ImportOptions, Source, verify};
use tempfile::TempDir;

use super::{assert_same, entries, read_all, record};

/// The chain by the words of the format alone, with the system's own tool for
/// SHA-256 standing outside this crate.
#[test]
fn links_are_sha256_as_documented() {
    use std::{io::Write, process};
    let sha256 = |bytes: &[u8]| -> Option<String> {
        let mut child = process::Command::new("sha256sum")
            .stdin(process::Stdio::piped())
            .stdout(process::Stdio::piped())
            .spawn()
            .ok()?;
        child.stdin.take()?.write_all(bytes).ok()?;
        let out = child.wait_with_output().ok()?;
        Some(String::from_utf8_lossy(&out.stdout)[..64].to_owned())
    };
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries()[..3]);
    let job = fs::read(folder.join("job.toml")).unwrap();
    let Some(job_digest) = sha256(&job) else {
        skipped_tests::skip("no sha256sum on this machine");
        return;
    };
    let text = fs::read_to_string(folder.join("trace.csv")).unwrap();
    let (head, rows) = text.split_once('\n').unwrap();
    let mut link = sha256(format!("{head}{job_digest}").as_bytes()).unwrap()[..16].to_owned();
    for row in rows.lines() {
        let (row, found) = row.rsplit_once(',').unwrap();
        link = sha256(format!("{link}{row}").as_bytes()).unwrap()[..16].to_owned();
        assert_eq!(found, link);
    }
}

#[test]
fn a_kill_at_any_byte_loses_at_most_the_row_being_written() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    let trace = folder.join("trace.csv");
    let whole = fs::read(&trace).unwrap();
    let ends: Vec<usize> = (0..whole.len()).filter(|i| whole[*i] == b'\n').collect();
    for cut in ends[0] + 1..whole.len() {
        fs::write(&trace, &whole[..cut]).unwrap();
        // rows whose every byte but the line end is there
        let rows = ends.iter().filter(|end| **end <= cut).count() - 1;
        let rows_text_end = ends[rows] + 1;
        let torn = cut > rows_text_end;
        let mut source = Source::open(&folder, &ImportOptions::default()).unwrap();
        let mut found = Vec::new();
        let end = loop {
            match source.next_entry() {
                Ok(Some(entry)) => found.push(entry),
                end => break end,
            }
        };
        assert_same(&found, &entries()[..rows]);
        assert_eq!(end.is_err(), rows == 0, "cut at {cut}");
        let summary = source.summary();
        let tail = summary.torn_tail;
        assert_eq!(tail.is_some(), torn, "cut at {cut}: {tail:?}");
        if let Some(tail) = tail {
            assert_eq!(tail.row, rows as u64 + 2);
            assert_eq!(tail.bytes, (cut - rows_text_end) as u64);
        }
        let verified = verify(&folder).unwrap();
        assert!(verified.chain.is_intact(), "cut at {cut}: {verified}");
        assert_eq!(verified.torn_tail.is_some(), torn);
        assert_eq!(fs::read(&trace).unwrap(), &whole[..cut], "file altered");
    }
}

#[test]
fn zeros_left_by_a_power_cut_are_a_torn_tail() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    let trace = folder.join("trace.csv");
    let mut bytes = fs::read(&trace).unwrap();
    bytes.truncate(bytes.len() - 20);
    bytes.extend([0; 4096]);
    bytes.extend(b"\n\0\0\n");
    fs::write(&trace, &bytes).unwrap();
    let (found, source) = read_all(&folder);
    assert_same(&found, &entries()[..11]);
    assert_eq!(source.summary().torn_tail.unwrap().row, 13);
}

#[test]
fn every_one_byte_edit_is_caught() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    for name in ["trace.csv", "job.toml"] {
        let path = folder.join(name);
        let whole = fs::read(&path).unwrap();
        for at in 0..whole.len() {
            for flip in [0x01, 0x10, 0x80] {
                let mut edited = whole.clone();
                edited[at] ^= flip;
                fs::write(&path, &edited).unwrap();
                let caught = verify(&folder).map(|v| !v.is_sound()).unwrap_or(true);
                assert!(caught, "{name} byte {at} ^ {flip:#x}");
            }
        }
        fs::write(&path, &whole).unwrap();
    }
    assert!(verify(&folder).unwrap().is_sound());
}

/// Verifies the run after its rows (header first) went through `edit`.
fn broken_by(edit: impl FnOnce(&mut Vec<String>)) -> (u64, BreakKind) {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    let trace = folder.join("trace.csv");
    let text = fs::read_to_string(&trace).unwrap();
    let mut rows: Vec<String> = text.lines().map(str::to_owned).collect();
    edit(&mut rows);
    fs::write(&trace, rows.join("\n") + "\n").unwrap();
    match verify(&folder).unwrap().chain {
        ChainStatus::Broken(b) => (b.row, b.kind),
        other => panic!("{other}"),
    }
}

#[test]
fn the_first_row_that_does_not_fit_is_named() {
    // `rows[0]` is the header, so `rows[i]` is row i + 1 of the file
    let edit = |rows: &mut Vec<String>| rows[4] = rows[4].replace("18764", "18763");
    assert_eq!(broken_by(edit), (5, BreakKind::Changed));
    let dropped = BreakKind::Dropped { missing: 2 };
    assert_eq!(broken_by(|rows| drop(rows.drain(4..6))), (5, dropped));
    assert_eq!(
        broken_by(|rows| rows.swap(7, 8)),
        (8, BreakKind::Dropped { missing: 1 })
    );
    assert_eq!(
        broken_by(|rows| rows.insert(6, rows[3].clone())),
        (7, BreakKind::OutOfPlace)
    );
    assert_eq!(
        broken_by(|rows| rows[1] = rows[1].replace("over", "ok")),
        (2, BreakKind::FirstRow)
    );
    assert_eq!(
        broken_by(|rows| rows[0] = rows[0].replace("mark", "Mark")),
        (1, BreakKind::Header)
    );
    assert_eq!(
        broken_by(|rows| rows[5] = "nonsense".into()),
        (6, BreakKind::Damaged)
    );
}
