use super::*;
use rig_history::NoteKind;

fn note(text: &str) -> Note {
    Note::of(1_773_500_000.0, "Pump, \"old\"", NoteKind::Remark, text)
}

fn key(folder: &Path) -> SealKey {
    SealKey::load_or_make(&folder.join("key"))
        .expect("a fresh key")
        .0
}

#[test]
fn notes_come_back_signed_and_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let key = key(folder.path());
    add(folder.path(), &note("first, with a comma"), Some(&key)).unwrap();
    add(folder.path(), &note(""), None).unwrap();
    add(folder.path(), &note("third"), Some(&key)).unwrap();
    let found = read(folder.path()).unwrap();
    assert_eq!(found.problems, []);
    let texts: Vec<&str> = found.notes.iter().map(|n| n.note.text.as_str()).collect();
    assert_eq!(texts, ["first, with a comma", "", "third"]);
    let signed: Vec<bool> = found.notes.iter().map(|n| n.signed_by.is_some()).collect();
    assert_eq!(signed, [true, false, true]);
    assert_eq!(found.notes[0].note, note("first, with a comma"));
}

#[test]
fn what_was_changed_taken_out_or_put_in_shows() {
    let folder = tempfile::tempdir().unwrap();
    let key = key(folder.path());
    for text in ["one", "two", "three"] {
        add(folder.path(), &note(text), Some(&key)).unwrap();
    }
    let path = file_of(folder.path());
    let whole = std::fs::read_to_string(&path).unwrap();
    let lines: Vec<&str> = whole.lines().collect();
    let problems = |text: String| {
        std::fs::write(&path, text).unwrap();
        read(folder.path()).unwrap().problems
    };
    let changed = problems(whole.replace(",two,", ",too,"));
    assert!(
        changed.contains(&Problem::NotLinked { line: 3 }),
        "{changed:?}"
    );
    let out = problems([lines[0], lines[1], lines[3], ""].join("\n"));
    assert_eq!(out, [Problem::NotLinked { line: 3 }]);
    let signature = lines[2].rsplit(',').next().unwrap();
    let forged = problems(whole.replace(signature, &"0".repeat(128)));
    assert_eq!(forged, [Problem::WrongSignature { line: 3 }]);
    let rubbish = problems(format!("{whole}rubbish\n"));
    assert_eq!(rubbish, [Problem::NoNote { line: 5 }]);
    assert_eq!(problems(whole), []);
}

#[test]
fn a_torn_last_note_is_told_and_the_next_one_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    add(folder.path(), &note("one"), None).unwrap();
    let path = file_of(folder.path());
    let mut bytes = std::fs::read(&path).unwrap();
    bytes.extend_from_slice(b"2,2026-03-14T");
    std::fs::write(&path, &bytes).unwrap();
    let found = read(folder.path()).unwrap();
    assert_eq!(found.problems, [Problem::Torn { line: 3 }]);
    add(folder.path(), &note("two"), None).unwrap();
    let after = std::fs::read(&path).unwrap();
    assert!(after.starts_with(&bytes), "what was there stays");
    let found = read(folder.path()).unwrap();
    assert_eq!(found.problems, [Problem::NoNote { line: 3 }]);
    assert_eq!(found.notes.len(), 2);
}

#[test]
fn what_is_no_note_is_refused_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in [("", "x"), ("a\nb", "x"), ("a", "x\u{7}")] {
        let wrong = Note::of(0.0, name, NoteKind::Remark, text);
        assert!(
            add(folder.path(), &wrong, None).is_err(),
            "{name:?} {text:?}"
        );
    }
    let long = Note::of(0.0, "a", NoteKind::Remark, &"x".repeat(501));
    assert!(add(folder.path(), &long, None).is_err());
    assert!(!file_of(folder.path()).exists());
    assert!(read(folder.path()).unwrap().notes.is_empty());
    std::fs::write(file_of(folder.path()), "something else\n").unwrap();
    assert!(matches!(
        read(folder.path()),
        Err(NotesError::NotNotes { .. })
    ));
    assert!(add(folder.path(), &note("x"), None).is_err());
}

/// Written by Python's hashlib from `FORMAT.md` alone (`notes` in tests/fuzz/seed.py).
#[test]
fn a_chain_that_another_program_wrote_fits() {
    let folder = tempfile::tempdir().unwrap();
    let whole = r#"seq,utc,name,kind,text,link,key,signature
1,2026-03-14T09:15:00.000Z,pump 1,oil-change,fresh,8c261956039b2c78,,
2,2026-03-14T09:15:00.000Z,pump 1,remark,"a, ""b""",a856cf4716a5bf74,,
3,2026-03-14T09:15:00.000Z,pump 1,repair,,01f6dc3eff00e10a,,
"#;
    std::fs::write(file_of(folder.path()), whole).unwrap();
    let found = read(folder.path()).unwrap();
    assert_eq!((found.notes.len(), found.problems), (3, vec![]));
    assert_eq!(found.notes[1].note.text, "a, \"b\"");
}
