use std::fs;

use run_record::{
    Answer, FileChange, FileChangeKind, FileKind, RowChange, RowChangeKind, SealCheck, SealMoment,
    Verification, put_file, seal_run, verify, verify_by,
};

use super::{Sealed, key, lines, snapshot, started};

/// What is found when `trace.csv` went through `edit` (line by line, with ends).
#[track_caller]
fn found_after(edit: impl FnOnce(&mut Vec<Vec<u8>>)) -> Verification {
    let sealed = Sealed::of(60);
    let mut rows = lines(&sealed.read("trace.csv"));
    edit(&mut rows);
    sealed.write("trace.csv", &rows.concat());
    let before = snapshot(&sealed.folder);
    let found = verify_by(&sealed.folder, Some(&sealed.key.public())).unwrap();
    assert!(before == snapshot(&sealed.folder), "verify only reads");
    found
}

fn uncovered(found: &Verification) -> Vec<String> {
    found.uncovered.iter().map(ToString::to_string).collect()
}

#[track_caller]
fn check(edit: impl FnOnce(&mut Vec<Vec<u8>>), row: u64, kind: RowChangeKind) {
    let found = found_after(edit);
    assert_eq!(found.answer(true), Answer::Altered);
    let wanted = RowChange {
        from: row,
        to: row,
        kind,
    };
    assert_eq!(found.first_change(), Some(("trace.csv", wanted)));
    let said = found.changes();
    assert!(
        said[0].contains(&format!("trace.csv, row {row}")),
        "{said:?}"
    );
}

fn replace(line: &mut Vec<u8>, from: &str, to: &str) {
    let text = String::from_utf8(line.clone()).unwrap();
    assert!(text.contains(from), "{text}");
    *line = text.replacen(from, to, 1).into_bytes();
}

// rows[0] is the header, so rows[i] is row i + 1 of the file

#[test]
fn a_changed_row_is_named_by_what_was_changed() {
    use RowChangeKind as Kind;
    check(
        |rows| replace(&mut rows[9], ",ok,", ",over,"),
        10,
        Kind::Changed,
    );
    check(
        |rows| replace(&mut rows[1], ",ok,", ",over,"),
        2,
        Kind::Changed,
    );
    check(
        |rows| replace(&mut rows[60], ",ok,", ",over,"),
        61,
        Kind::Changed,
    );
    let other_link = |rows: &mut Vec<Vec<u8>>| {
        let at = rows[9].len() - 2;
        rows[9][at] = if rows[9][at] == b'0' { b'1' } else { b'0' };
    };
    check(other_link, 10, Kind::Link);
    let blank = |rows: &mut Vec<Vec<u8>>| {
        let at = rows[9].len() - 1;
        rows[9].insert(at, b' ');
    };
    check(blank, 10, Kind::Link);
    check(|rows| rows[5] = b"nonsense\n".to_vec(), 6, Kind::Damaged);
    check(
        |rows| replace(&mut rows[0], "micron", "pascal"),
        1,
        Kind::Header,
    );
}

#[test]
fn what_editors_do_is_named() {
    use RowChangeKind as Kind;
    let crlf = |line: &mut Vec<u8>| {
        let at = line.len() - 1;
        line.insert(at, b'\r');
    };
    check(|rows| rows.iter_mut().for_each(crlf), 1, Kind::LineEnd);
    check(|rows| crlf(&mut rows[9]), 10, Kind::LineEnd);
    let mark = |rows: &mut Vec<Vec<u8>>| drop(rows[0].splice(0..0, *b"\xef\xbb\xbf"));
    check(mark, 1, Kind::Header);
    let without_end = |rows: &mut Vec<Vec<u8>>| {
        rows[60].pop();
    };
    check(without_end, 61, Kind::LineEnd);
    check(|rows| rows.push(b"\n".to_vec()), 62, Kind::Appended);
}

#[test]
fn dropped_moved_and_added_rows_are_named() {
    use RowChangeKind as Kind;
    check(
        |rows| drop(rows.drain(9..11)),
        10,
        Kind::Dropped { missing: 2 },
    );
    check(|rows| rows.swap(9, 10), 10, Kind::Moved);
    check(|rows| rows.swap(9, 40), 10, Kind::Moved);
    check(|rows| rows[9..30].rotate_left(5), 10, Kind::Moved);
    check(|rows| rows.insert(10, rows[9].clone()), 11, Kind::Inserted);
    check(|rows| rows.insert(9, rows[3].clone()), 10, Kind::Inserted);
    check(|rows| rows.truncate(41), 42, Kind::CutOff { missing: 20 });
    check(|rows| rows.truncate(1), 2, Kind::CutOff { missing: 60 });
    check(|rows| rows.push(rows[60].clone()), 62, Kind::Appended);
    check(|rows| rows.clear(), 1, Kind::Header);
}

#[test]
fn changed_missing_and_added_files_are_named() {
    let change = |name: &str, kind, change| FileChange {
        name: name.into(),
        kind,
        change,
    };
    let sealed = Sealed::of(20);
    let public = sealed.key.public();
    let look = || verify_by(&sealed.folder, Some(&public)).unwrap();
    assert_eq!(look().answer(true), Answer::AsSealed);
    assert_eq!(look().invented, Some(true));

    let job = sealed.read("job.toml");
    sealed.write("job.toml", &[&job[..], b"\n"].concat());
    let found = look();
    assert_eq!(found.answer(true), Answer::Altered);
    // the rows are those recorded; it is the job that is not
    assert_eq!(found.first_change(), None);
    assert_eq!(found.changes(), ["job.toml was changed"]);
    fs::remove_file(sealed.folder.join("job.toml")).unwrap();
    assert_eq!(look().changes(), ["job.toml is missing"]);
    sealed.write("job.toml", &job);

    let trace = sealed.read("trace.csv");
    fs::remove_file(sealed.folder.join("trace.csv")).unwrap();
    let gone = change("trace.csv", FileKind::Record, FileChangeKind::Missing);
    assert_eq!(look().files, [gone]);
    sealed.write("trace.csv", &trace);

    sealed.write("beside-other.csv", &trace);
    let found = look();
    let added = change("beside-other.csv", FileKind::Record, FileChangeKind::Added);
    assert_eq!(
        (found.answer(true), found.files),
        (Answer::Altered, vec![added])
    );
    fs::remove_file(sealed.folder.join("beside-other.csv")).unwrap();

    sealed.write("photo.jpg", b"another");
    assert_eq!(look().answer(true), Answer::Altered);
    sealed.write("photo.jpg", &[0xff, 0xd8, 0, 1, 2]);

    sealed.write("later.txt", b"x");
    fs::create_dir(sealed.folder.join("more")).unwrap();
    let found = look();
    assert_eq!(found.answer(true), Answer::AsSealed);
    assert_eq!(uncovered(&found), ["later.txt", "more (a folder)"]);
}

#[test]
fn a_sheet_that_is_another_does_not_touch_the_record() {
    let sealed = Sealed::of(20);
    sealed.write("sheet.html", b"<p>PASS with flying colours</p>\n");
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(found.answer(false), Answer::ProductChanged);
    assert!(!found.is_sound());
    assert_eq!(found.changed_products().collect::<Vec<_>>(), ["sheet.html"]);
    fs::remove_file(sealed.folder.join("sheet.html")).unwrap();
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(found.answer(false), Answer::AsSealed);
    assert_eq!(found.files.len(), 1, "said all the same");
}

#[test]
fn a_seal_made_anew_by_another_key_is_told_from_the_first() {
    let sealed = Sealed::of(20);
    let public = sealed.key.public();
    let mut rows = lines(&sealed.read("trace.csv"));
    rows.truncate(10);
    sealed.write("trace.csv", &rows.concat());
    fs::remove_file(sealed.folder.join("seal.json")).unwrap();
    assert_eq!(
        verify(&sealed.folder).unwrap().answer(false),
        Answer::NotSealed
    );
    let missing = verify_by(&sealed.folder, Some(&public)).unwrap();
    assert_eq!(missing.answer(true), Answer::SealMissing);
    // what was drawn from the whole record would give the forger away
    for product in ["sheet.html", "findings.json"] {
        fs::remove_file(sealed.folder.join(product)).unwrap();
    }
    let forger = key();
    seal_run(&sealed.folder, &forger, "x", started(), SealMoment::Later).unwrap();
    // alone it fits: whoever checks has to know the key
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(found.answer(false), Answer::AsSealed);
    assert!(matches!(&found.seal, SealCheck::ByOwnKey(s) if s.key == forger.public()));
    let found = verify_by(&sealed.folder, Some(&public)).unwrap();
    assert_eq!(found.answer(true), Answer::OtherKey);
    let found = verify_by(&sealed.folder, Some(&forger.public())).unwrap();
    assert_eq!(found.answer(true), Answer::AsSealed);
}

#[test]
fn what_is_no_seal_is_called_changed() {
    let sealed = Sealed::of(5);
    for bytes in [&b""[..], b"{}", b"seal"] {
        sealed.write("seal.json", bytes);
        assert_eq!(
            verify(&sealed.folder).unwrap().answer(false),
            Answer::Altered
        );
    }
    fs::remove_file(sealed.folder.join("seal.json")).unwrap();
    fs::create_dir(sealed.folder.join("seal.json")).unwrap();
    assert_eq!(
        verify(&sealed.folder).unwrap().answer(false),
        Answer::Altered
    );
}

#[cfg(unix)]
#[test]
fn a_pipe_in_the_folder_does_not_hold_it_up() {
    let sealed = Sealed::of(5);
    let made = std::process::Command::new("mkfifo")
        .arg(sealed.folder.join("pipe"))
        .status();
    if !made.is_ok_and(|s| s.success()) {
        skipped_tests::skip("no mkfifo on this machine");
        return;
    }
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(uncovered(&found), ["pipe (a named pipe)"]);
    put_file(&sealed.folder, ".hidden", b"x").unwrap();
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(uncovered(&found), [".hidden", "pipe (a named pipe)"]);
}

/// More rows than a seal keeps one by one: a chain made anew is named by a range.
#[test]
fn of_a_very_long_trace_every_second_row_is_kept() {
    let sealed = Sealed::of(70_000);
    let seal = sealed.read("seal.json");
    assert!(seal.len() < 500_000, "{} bytes", seal.len());
    let whole = lines(&sealed.read("trace.csv"));
    let look = |rows: &[Vec<u8>]| {
        sealed.write("trace.csv", &rows.concat());
        verify(&sealed.folder).unwrap().first_change().unwrap().1
    };
    for at in [1000, 1001, 69_999, 70_000] {
        let mut rows = whole.clone();
        replace(&mut rows[at], ",ok,", ",over,");
        let found = look(&rows);
        let row = at as u64 + 1;
        assert!(found.from <= row && row <= found.to, "{row}: {found:?}");
        assert!(found.to - found.from <= 1, "{found:?}");
    }
    assert_eq!(
        look(&whole[..70_000]).kind,
        RowChangeKind::CutOff { missing: 1 }
    );
}

/// A number written into `job.toml` must not pass for a record of a later version.
#[test]
fn a_format_number_of_the_future_is_an_alteration() {
    let sealed = Sealed::of(5);
    let job = String::from_utf8(sealed.read("job.toml")).unwrap();
    let edited = job.replacen("format = 2", "format = 20", 1);
    assert_ne!(job, edited);
    sealed.write("job.toml", edited.as_bytes());
    let found = verify_by(&sealed.folder, Some(&sealed.key.public())).unwrap();
    assert_eq!(found.answer(true), Answer::Altered);
    assert!(
        found.changes().iter().any(|c| c.contains("job.toml")),
        "{found}"
    );
    std::fs::remove_file(sealed.folder.join("seal.json")).unwrap();
    assert!(verify_by(&sealed.folder, None).unwrap_err().is_newer());
}
