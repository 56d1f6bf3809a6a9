//! Input that cannot be used: one line that names the file, and the row where
//! there is one, with status 1 or 2. Never a panic, never half an answer.

use std::{
    ffi::OsStr,
    path::{Path, PathBuf},
};

use crate::{
    curves::Curve,
    run::{Ran, dryhold, review, scratch},
};

fn written(folder: &Path, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("written");
    path
}

/// Fails unless the review complains in one line with all of these words.
#[track_caller]
fn assert_refused(path: &Path, status: i32, words: &[&str]) -> Ran {
    let ran = review(path, &[]).expect(status);
    let complaint = ran.complaint();
    let name = path.file_name().expect("a name").to_string_lossy();
    assert!(complaint.contains(&*name), "{complaint}");
    for word in words {
        assert!(complaint.contains(word), "\"{word}\" in {complaint}");
    }
    assert!(complaint.len() < 500, "{complaint}");
    assert_eq!(ran.out, "", "no answer beside a complaint");
    ran
}

/// Bytes of no meaning, always the same.
fn noise(count: usize) -> Vec<u8> {
    let mut state = 0x9E37_79B9_7F4A_7C15_u64;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 32) as u8
    };
    (0..count).map(|_| next()).collect()
}

#[test]
fn files_that_are_no_table() {
    let folder = scratch();
    let at = folder.path();
    assert_refused(&written(at, "empty.csv", ""), 1, &["empty"]);
    assert_refused(
        &written(at, "noise.bin", noise(50_000)),
        1,
        &["not a text file"],
    );
    assert_refused(
        &written(at, "zeros.csv", vec![0_u8; 4096]),
        1,
        &["not a text file"],
    );
    let sheet = [b"PK\x03\x04".as_slice(), &noise(3000)].concat();
    assert_refused(&written(at, "table.xlsx", sheet), 1, &["CSV"]);
    assert_refused(&written(at, "blank.csv", "\n\n  \n\n"), 1, &[]);
    for (name, text) in [
        ("prose.txt", "Once upon a time\nthere was a compressor.\n"),
        ("one-word.csv", "hello"),
    ] {
        let ran = review(&written(at, name, text), &[]);
        assert!([1, 2].contains(&ran.status), "{ran:?}");
        assert!(ran.complaint().contains(name), "{ran:?}");
    }
}

#[test]
fn a_header_without_rows() {
    let folder = scratch();
    for (name, text) in [
        ("header.csv", "elapsed_s,pressure_micron\n"),
        ("no-line-end.csv", "elapsed_s,pressure_micron"),
    ] {
        assert_refused(&written(folder.path(), name, text), 1, &["header"]);
    }
}

#[test]
fn text_where_a_number_should_be() {
    let folder = scratch();
    let rows = "elapsed_s,pressure_micron\n0,900\n1,850\n2,eight hundred\n3,750\n";
    let words = ["row 4", "eight hundred", "not a number"];
    assert_refused(&written(folder.path(), "words.csv", rows), 1, &words);
    let rows = "elapsed_s,pressure_micron\n0,900\nsoon,850\n2,800\n";
    let words = ["row 3", "soon"];
    assert_refused(&written(folder.path(), "when.csv", rows), 1, &words);
}

/// The review as a technician reads it.
fn lines_of(path: &Path) -> String {
    dryhold([OsStr::new("review"), path.as_os_str()]).out
}

#[test]
fn a_text_far_down_is_named_by_its_row() {
    let folder = scratch();
    let mut text = Curve::of("small-leak").plain();
    let rows = text.lines().count();
    let last = text.lines().last().expect("a row");
    let (time, _) = last.split_once(',').expect("two cells");
    text.push_str(&format!("{time},-x-\n{time},OL x\n"));
    let path = written(folder.path(), "late.csv", &text);
    let lines = lines_of(&path);
    let wanted = format!(
        "left out: row {}: pressure \"-x-\" is not a number",
        rows + 1
    );
    assert!(lines.contains(&wanted), "{lines}");
    assert!(lines.contains(", 2 rows left out"), "{lines}");
    let data = &review(&path, &[]).json()["data"];
    assert_eq!(data["left_out"], 2);
    assert_eq!(data["rejected_rows"][1]["row"], rows + 2);
    let reason = &data["rejected_rows"][1]["reason"];
    assert_eq!(reason, "pressure \"OL x\" is not a number");
}

#[test]
fn time_that_goes_backwards() {
    let folder = scratch();
    // one row out of place is left out and told of
    let rows = "elapsed_s,pressure_micron\n0,900\n1,850\n2,800\n1.5,750\n3,700\n";
    let lines = lines_of(&written(folder.path(), "back.csv", rows));
    assert!(lines.contains("left out: row 5: its time lies 0.5 s before the row above"));
    // no order at all is refused
    let mixed: String = (0..200)
        .map(|i| format!("{},500\n", i * 67 % 199))
        .collect();
    let rows = format!("elapsed_s,pressure_micron\n{mixed}");
    assert_refused(
        &written(folder.path(), "mixed.csv", &rows),
        1,
        &["row", "before the row above"],
    );
}

#[test]
fn newest_first_gives_the_same_answer() {
    let folder = scratch();
    let text = Curve::of("small-leak").plain();
    let (header, rows) = text.split_once('\n').expect("a header");
    let mut turned: Vec<&str> = rows.lines().collect();
    turned.reverse();
    let turned = format!("{header}\n{}\n", turned.join("\n"));
    let upright = review(&written(folder.path(), "oldest.csv", &text), &[]).json();
    let turned = review(&written(folder.path(), "newest.csv", &turned), &[]).json();
    for key in ["verdict", "reasons", "rounds", "findings"] {
        assert_eq!(turned[key], upright[key], "{key}");
    }
    let notes = turned["data"]["notes"].to_string();
    assert!(notes.contains("newest first"), "{notes}");
}

#[test]
fn a_missing_column() {
    let folder = scratch();
    let rows = "elapsed_s,temperature_c\n0,21\n1,21\n";
    let words = ["pressure", "temperature_c", "--pressure-column"];
    assert_refused(&written(folder.path(), "no-p.csv", rows), 2, &words);
    let rows = "channel,pressure_micron\n1,900\n1,850\n";
    let words = ["time", "channel", "--time-column"];
    assert_refused(&written(folder.path(), "no-t.csv", rows), 2, &words);

    let path = written(
        folder.path(),
        "both.csv",
        "elapsed_s,p_micron\n0,900\n1,850\n",
    );
    let unknown = review(&path, &["--pressure-column", "P9"]).expect(2);
    assert!(unknown.complaint().contains("P9"), "{unknown:?}");
    assert!(unknown.complaint().contains("p_micron"), "{unknown:?}");
    let beyond = review(&path, &["--time-column", "7"]).expect(2);
    assert!(beyond.complaint().contains("--time-column"), "{beyond:?}");
}

#[test]
fn paths_that_lead_nowhere() {
    let folder = scratch();
    assert_refused(&folder.path().join("missing.csv"), 1, &["no such file"]);
    let bare = folder.path().join("holiday-photos");
    std::fs::create_dir(&bare).expect("a folder");
    assert_refused(&bare, 1, &["trace.csv"]);
    let file = written(folder.path(), "file.csv", "x");
    assert_refused(&file.join("inside.csv"), 1, &[]);
    // a link to nothing, and one to itself
    for (link, target) in [("dangling", "nowhere"), ("circle", "circle")] {
        let path = folder.path().join(link);
        std::os::unix::fs::symlink(target, &path).expect("a link");
        assert_refused(&path, 1, &[]);
    }
}

/// Rights mean nothing to the superuser, so there it is only no panic.
#[test]
fn a_path_that_may_not_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let folder = scratch();
    let path = written(folder.path(), "locked.csv", Curve::of("gross-leak").plain());
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).expect("rights");
    if std::fs::File::open(&path).is_err() {
        assert_refused(&path, 1, &["permission"]);
    } else {
        review(&path, &[]).expect(10);
    }
}

#[test]
fn a_name_with_line_ends_stays_one_line() {
    let folder = scratch();
    let path = written(folder.path(), "two\nlines.csv", "");
    let ran = review(&path, &[]).expect(1);
    assert!(ran.complaint().contains("lines.csv"));
}

#[test]
fn a_trace_without_its_header_or_rows() {
    let folder = scratch();
    let header = "seq,elapsed_s,utc,pressure_micron,temperature_c,state,mark,note,link\n";
    let run = folder.path().join("20260314T091500Z-X");
    std::fs::create_dir(&run).expect("a folder");
    written(&run, "trace.csv", header);
    assert_eq!(review(&run, &[]).expect(1).out, "");
    written(&run, "trace.csv", "");
    review(&run, &[]).expect(1);
    written(&run, "trace.csv", noise(5000));
    review(&run, &[]).expect(1);
    // a folder of records is looked through: what lies there is no longer what was recorded
    dryhold(["verify".as_ref(), folder.path().as_os_str()]).expect(12);
}

/// Whatever a table is cut to, an answer or one line comes out.
#[test]
fn tables_cut_anywhere() {
    let folder = scratch();
    let whole = Curve::of("hold-cut-short").marked();
    let mut cut = 1;
    while cut < whole.len() {
        let path = written(folder.path(), "cut.csv", &whole.as_bytes()[..cut]);
        let ran = review(&path, &[]);
        assert!([0, 1, 2, 10, 11].contains(&ran.status), "{cut}: {ran:?}");
        if ran.status == 1 || ran.status == 2 {
            ran.complaint();
        }
        cut = cut * 2 + 3;
    }
}

/// Numbers no gauge shows.
#[test]
fn impossible_numbers() {
    let folder = scratch();
    for (name, cell) in [
        ("negative", "-5"),
        ("nan", "NaN"),
        ("infinite", "inf"),
        ("huge", "1e308"),
        ("overflow", "1e999"),
        ("tiny", "1e-320"),
    ] {
        let rows = format!("elapsed_s,pressure_micron\n0,900\n1,{cell}\n2,800\n3,700\n");
        let ran = review(&written(folder.path(), name, rows), &[]);
        assert!([1, 11].contains(&ran.status), "{name}: {ran:?}");
        if ran.status == 11 {
            let findings = ran.json();
            let lowest = findings["rounds"][0]["pulldown"]["lowest_micron"].as_f64();
            assert!(lowest.is_none_or(|p| p >= 0.0), "{findings}");
        } else {
            assert!(ran.complaint().contains("row 3"), "{ran:?}");
        }
    }
}

#[test]
fn job_and_dialect_files_that_are_wrong() {
    let folder = scratch();
    let job = written(
        folder.path(),
        "job.toml",
        "[job]\nid = \"A\"\nvolume_l = \"big\"\n",
    );
    let log = |extra: &[&str]| {
        let port = ["log", "--port", "file:/dev/null", "--out", "/nonexistent/x"];
        dryhold(port.iter().chain(extra))
    };
    let wrong = log(&[
        "--dialect",
        "number-unit-line",
        "--job",
        &job.to_string_lossy(),
    ]);
    assert!([1, 2].contains(&wrong.status), "{wrong:?}");
    assert!(wrong.complaint().contains("job.toml"), "{wrong:?}");
    let unknown = log(&["--dialect", "klingon"]).expect(2);
    assert!(unknown.complaint().contains("klingon"), "{unknown:?}");
    let dialect = written(
        folder.path(),
        "d.toml",
        "name = \"d\"\n[line]\npattern = '('\n",
    );
    let broken = log(&["--dialect", &dialect.to_string_lossy()]).expect(2);
    assert!(broken.complaint().contains("d.toml"), "{broken:?}");
}
