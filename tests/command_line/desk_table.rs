//! `dryhold desk`: one table of many records.

use std::{
    fs,
    io::Write as _,
    path::{Path, PathBuf},
    process::Stdio,
    time::{Duration, SystemTime},
};

use serde_json::Value;

use crate::{
    run::{Ran, command, dryhold, dryhold_at, put_unsealed_run, scratch},
    sealing::record,
};

const SEALED: &str = "20260314T091500Z-INVENTED-sealed";

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/runs")
        .join(name)
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    for file in fs::read_dir(from).expect("a folder") {
        let file = file.expect("a file");
        fs::copy(file.path(), to.join(file.file_name())).expect("copied");
    }
}

/// What of a row names a code.
fn flags(row: &Value) -> Vec<&str> {
    let flags = row["flags"].as_array().expect("flags").iter();
    flags.map(|f| f["code"].as_str().expect("a code")).collect()
}

fn desk(folder: &Path, options: &[&str]) -> Ran {
    let folder = folder.to_string_lossy();
    dryhold(["desk", "--no-cache", &folder].iter().chain(options))
}

/// A sealed run, the same copied under another job, one tampered with, a table, rubbish.
fn claims() -> tempfile::TempDir {
    let place = scratch();
    let at = |name: &str| place.path().join(name);
    copy(&sample(SEALED), &at("claims/a/run"));
    copy(&sample(SEALED), &at("claims/b/copied"));
    let job = at("claims/b/copied/job.toml");
    let text = fs::read_to_string(&job).expect("a job");
    let text = text.replace("INVENTED-sealed", "INVENTED-other");
    let text = text.replace("2026-03-14T09:15:00", "2026-04-01T10:00:00");
    fs::write(&job, text).expect("written");
    fs::remove_file(at("claims/b/copied/seal.json")).expect("gone");
    copy(&sample(SEALED), &at("claims/c/tampered"));
    let trace = at("claims/c/tampered/trace.csv");
    let text = fs::read_to_string(&trace).expect("a trace");
    let cut: Vec<&str> = text.lines().collect();
    let kept = cut.len() * 3 / 4;
    fs::write(&trace, cut[..kept].join("\n") + "\n").expect("written");
    fs::copy(sample("small-leak.csv"), at("claims/d.csv")).expect("copied");
    fs::write(at("claims/e.zip"), b"PK\x03\x04rubbish").expect("written");
    fs::write(at("claims/f.csv"), b"\x00\xff\xfe rubbish").expect("written");
    place
}

#[test]
fn every_record_is_a_row_and_none_stops_the_rest() {
    let place = claims();
    let ran = desk(&place.path().join("claims"), &["--json"]).expect(0);
    let rows = ran.json_lines();
    let names: Vec<&str> = rows
        .iter()
        .map(|row| row["path"].as_str().expect("a path"))
        .map(|path| path.rsplit('/').next().expect("a name"))
        .collect();
    assert_eq!(
        names,
        ["run", "copied", "tampered", "d.csv", "e.zip", "f.csv"]
    );
    let kinds: Vec<&str> = rows
        .iter()
        .map(|r| r["kind"].as_str().expect("a kind"))
        .collect();
    assert_eq!(kinds, ["run", "run", "run", "table", "packed", "table"]);
    assert_eq!(
        (&rows[0]["seal"], &rows[0]["verdict"]),
        (&"good".into(), &"pass".into())
    );
    assert_eq!(
        rows[0]["curve"]["log_micron"].as_array().map(Vec::len),
        Some(256)
    );
    assert_eq!(rows[2]["seal"], "broken");
    assert!(flags(&rows[2]).contains(&"seal_broken"), "{}", rows[2]);
    assert!(
        rows[2]["changed"]
            .as_str()
            .expect("what")
            .contains("trace.csv")
    );
    assert!(flags(&rows[3]).contains(&"unsealed"));
    for rubbish in [&rows[4], &rows[5]] {
        assert!(
            rubbish["unreadable"].is_string() && rubbish["verdict"].is_null(),
            "{rubbish}"
        );
    }
    // the readings of the first under another job, told on both sides
    for (row, other) in [(0, 1), (1, 0)] {
        let flags = rows[row]["flags"].as_array().expect("flags");
        let copied = flags.iter().find(|f| f["code"] == "curve_copied");
        let copied = copied.unwrap_or_else(|| panic!("{}", rows[row]));
        assert_eq!(copied["with"][0], rows[other]["path"]);
    }
}

#[test]
fn a_record_that_lies_there_twice_is_no_copy() {
    let place = scratch();
    copy(&sample(SEALED), &place.path().join("a/run"));
    copy(&sample(SEALED), &place.path().join("b/run"));
    let ran = desk(place.path(), &["--json"]).expect(0);
    let rows = ran.json_lines();
    assert_eq!(rows.len(), 2);
    for row in &rows {
        assert!(!flags(row).contains(&"curve_copied"), "{row}");
        assert!(!flags(row).contains(&"same_serial_again"), "{row}");
    }
}

#[test]
fn keys_and_the_rule_are_the_desks_own() {
    let place = scratch();
    let at = |name: &str| place.path().join(name);
    let home = at("home");
    record(&home, &at("claims"), &[]);
    let key = dryhold_at(&home, ["key"]).expect(0).out;
    let key = key
        .lines()
        .find(|l| l.starts_with("Public key:"))
        .expect("a key");
    let key = key.split_whitespace().last().expect("hex");
    let claims = at("claims");
    let row = |options: &[&str]| {
        let mut ran = desk(&claims, &[&["--json"], options].concat())
            .expect(0)
            .json_lines();
        ran.remove(0)
    };
    assert_eq!(row(&[])["seal"], "good");
    assert_eq!(row(&["--public-key", key])["seal"], "good");
    let strangers = dryhold_at(&at("stranger"), ["key"]).expect(0).out;
    let strangers = strangers.lines().find(|l| l.starts_with("Public key:"));
    let strangers = strangers
        .and_then(|l| l.split_whitespace().last())
        .expect("hex");
    let other = row(&["--public-key", strangers]);
    assert_eq!(other["seal"], "other key", "{other}");
    assert!(flags(&other).contains(&"unknown_key"));
    // a key of a folder gives its shop a name
    fs::create_dir(at("keys")).expect("a folder");
    fs::write(at("keys/Invented Repairs.pem"), key).expect("written");
    let keys = at("keys");
    let named = row(&["--public-key", keys.to_str().expect("UTF-8")]);
    assert_eq!(named["shop"], "Invented Repairs", "{named}");
    let strict = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/job-strict.toml");
    let strict = row(&["--rule", strict.to_str().expect("UTF-8")]);
    let softer = strict["flags"].as_array().expect("flags").iter();
    let softer = softer.clone().find(|f| f["code"] == "criteria_below_rule");
    let words = softer.expect("softer")["words"].as_str().expect("words");
    assert!(
        words.contains("target 500 micron instead of 300"),
        "{words}"
    );
    let none = dryhold(["desk", "x", "--rule", "no/such/file"]).expect(2);
    assert!(none.complaint().contains("--rule"), "{none:?}");
}

#[test]
fn parts_that_are_joined_are_the_whole_to_the_byte() {
    let place = claims();
    let claims = place.path().join("claims");
    let whole = desk(&claims, &["--json"]).expect(0).out;
    let mut files = Vec::new();
    for part in ["1/3", "2/3", "3/3"] {
        let ran = desk(&claims, &["--json", "--part", part]).expect(0);
        assert!(
            !ran.out.contains("curve_copied"),
            "a part knows nothing of the others"
        );
        let file = place.path().join(part.replace('/', "-of-"));
        fs::write(&file, ran.out).expect("written");
        files.push(file);
    }
    let join = ["desk".as_ref(), "--json".as_ref(), "--join".as_ref()];
    let join = join.into_iter().chain(files.iter().map(|f| f.as_os_str()));
    assert_eq!(dryhold(join).expect(0).out, whole);
    // the same list on standard input, in one process
    let mut child = command()
        .args(["desk", "--json", "--no-cache", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    let mut input = child.stdin.take().expect("its input");
    writeln!(input, "{}", claims.display()).expect("written");
    drop(input);
    let output = child.wait_with_output().expect("its end");
    assert_eq!(String::from_utf8(output.stdout).expect("UTF-8"), whole);
    let wrong = dryhold([
        "desk",
        "--join",
        claims.join("d.csv").to_str().expect("UTF-8"),
    ]);
    assert!(wrong.expect(2).complaint().contains("line 1 is no row"));
}

#[test]
fn kept_rows_are_those_of_the_same_files_only() {
    let place = claims();
    let (claims, cache) = (place.path().join("claims"), place.path().join("kept"));
    // what was written just now is not kept: another change might not show
    let old = SystemTime::now() - Duration::from_secs(3_600);
    let trace = claims.join("a/run/trace.csv");
    let age = |folder: &Path| {
        for file in fs::read_dir(folder).expect("a folder") {
            let path = file.expect("a file").path();
            let file = fs::File::options().append(true).open(path).expect("open");
            file.set_modified(old).expect("a time");
        }
    };
    age(&claims.join("a/run"));
    let look = || {
        let options = ["--json", "--cache", cache.to_str().expect("UTF-8")];
        let claims = claims.to_string_lossy();
        dryhold(["desk", &claims].iter().chain(&options))
            .expect(0)
            .out
    };
    let first = look();
    let kept: Vec<_> = fs::read_dir(&cache).expect("a folder").collect();
    assert_eq!(kept.len(), 1, "the one record that is old enough");
    assert_eq!(look(), first);
    // changed, and its time set back: on Unix the change shows all the same
    let text = fs::read_to_string(&trace).expect("a trace");
    fs::write(&trace, text.replacen(",191", ",192", 1)).expect("written");
    age(&claims.join("a/run"));
    let again = look();
    assert_ne!(again, first);
    assert!(
        again.lines().next().expect("a row").contains("seal_broken"),
        "{again}"
    );
    // rubbish in the folder costs time only
    let shelf = fs::read_dir(&cache)
        .expect("a folder")
        .next()
        .expect("one")
        .expect("one")
        .path();
    for file in fs::read_dir(shelf).expect("a folder") {
        fs::write(file.expect("a file").path(), "rubbish").expect("written");
    }
    assert_eq!(look(), again);
}

#[test]
fn the_table_is_sorted_chosen_and_written() {
    let place = claims();
    let claims = place.path().join("claims");
    let csv = place.path().join("table.csv");
    let csv_option = csv.to_string_lossy();
    let ran = desk(
        &claims,
        &[
            "--sort",
            "-lowest",
            "--where",
            "lowest>0",
            "--where",
            "seal!=broken",
            "--csv",
            &csv_option,
        ],
    );
    let ran = ran.expect(0);
    // what stands against a pass is a line below it
    let is_row = |line: &&str| !line.starts_with("    ");
    let lines: Vec<&str> = ran.out.lines().filter(is_row).collect();
    assert_eq!(lines.len(), 5, "{}", ran.out);
    assert!(ran.out.contains("    PASS by the rule; "), "{}", ran.out);
    assert!(
        lines[1].contains("a/run") && lines[3].contains("d.csv"),
        "{}",
        ran.out
    );
    assert!(
        lines[4].starts_with("6 records: ") && lines[4].ends_with("; 3 shown."),
        "{}",
        ran.out
    );
    assert!(
        ran.err.is_empty(),
        "no bar where there is no terminal: {ran:?}"
    );
    let text = fs::read_to_string(&csv).expect("a table");
    assert_eq!(text.lines().count(), 4, "{text}");
    assert!(text.starts_with("path,kind,job,"), "{text}");
    let wrong = dryhold(["desk", "x", "--where", "pressure>3"]).expect(2);
    assert!(wrong.err.contains("there is no column"), "{wrong:?}");
    let nothing = dryhold(["desk"]).expect(2);
    assert!(nothing.err.contains("PATH"), "{nothing:?}");
    let missing = desk(&place.path().join("nowhere"), &[]).expect(0);
    assert!(missing.out.contains("unreadable"), "{missing:?}");
}

#[test]
fn no_personal_data_is_left_anywhere() {
    let place = scratch();
    let run = place.path().join("claims/run");
    fs::create_dir_all(&run).expect("a folder");
    put_unsealed_run(&run);
    let job = run.join("job.toml");
    let text = fs::read_to_string(&job).expect("a job");
    let names = "[job]\ntechnician = \"Invented Person\"\ncustomer = \"Invented Customer\"";
    let lines = text
        .lines()
        .filter(|l| !l.starts_with("technician") && !l.starts_with("customer"));
    let text = lines
        .collect::<Vec<_>>()
        .join("\n")
        .replacen("[job]", names, 1);
    fs::write(&job, text).expect("written");
    let claims = place.path().join("claims");
    let csv = place.path().join("table.csv");
    let csv_option = csv.to_string_lossy();
    let with = desk(&claims, &["--json"]).expect(0).out;
    assert!(
        with.contains("Invented Person") && with.contains("Invented Customer"),
        "{with}"
    );
    let without = desk(
        &claims,
        &["--json", "--no-personal-data", "--csv", &csv_option],
    )
    .expect(0);
    let all = without.out + &fs::read_to_string(&csv).expect("a table");
    assert!(
        !all.contains("Invented Person") && !all.contains("Invented Customer"),
        "{all}"
    );
    // and of what was joined
    let file = place.path().join("rows.jsonl");
    fs::write(&file, with).expect("written");
    let file = file.to_string_lossy();
    let joined = dryhold(["desk", "--json", "--no-personal-data", "--join", &file])
        .expect(0)
        .out;
    assert!(!joined.contains("Invented Person"), "{joined}");
}

#[cfg(unix)]
#[test]
fn ctrl_c_leaves_what_was_done_and_says_that_it_is_not_all() {
    let place = scratch();
    let first = place.path().join("claims/run-0000");
    copy(&sample(SEALED), &first);
    for i in 1..600 {
        copy(&first, &place.path().join(format!("claims/run-{i:04}")));
    }
    let claims = place.path().join("claims");
    let child = command()
        .args(["desk", "--json", "--no-cache", "--jobs", "1"])
        .arg(&claims)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    std::thread::sleep(Duration::from_millis(700));
    let id = i32::try_from(child.id()).expect("an id");
    let id = rustix::process::Pid::from_raw(id).expect("an id");
    rustix::process::kill_process(id, rustix::process::Signal::INT).expect("sent");
    let ran = Ran::of(&child.wait_with_output().expect("its end"));
    if ran.status == 0 {
        println!("skipped: 600 records were read within 0.7 s");
        return;
    }
    let ran = ran.expect(1);
    let rows = ran.json_lines();
    let (last, rows) = rows.split_last().expect("rows");
    let partial = last["partial"].as_str().expect("it says so");
    assert!(partial.contains("of 600 records were read"), "{partial}");
    assert!(!rows.is_empty() && rows.len() < 600, "{}", rows.len());
    assert!(rows.iter().all(|row| row["verdict"] == "pass"));
    assert!(ran.complaint().contains("PARTIAL"), "{}", ran.err);
}
