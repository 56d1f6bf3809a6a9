//! Names and words of others on a terminal: shown, never obeyed.

use std::path::{Path, PathBuf};

use crate::{
    gauge::Gauge,
    logger::Logger,
    run::{Ran, dryhold, scratch},
};

/// Clears a screen, sets a title, writes over what stood there, and turns the line round.
const HOSTILE: &str = "\u{1b}[2J\u{1b}]0;gotcha\u{7}\rok\u{9b}1m\u{202e}";

/// A recorded run below a folder of this name.
fn run_below(folder: &Path, name: &str) -> PathBuf {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/runs");
    let sample = std::fs::read_dir(samples)
        .expect("samples")
        .map(|entry| entry.expect("an entry").path())
        .find(|path| path.join("trace.csv").is_file())
        .expect("a run");
    let run = folder.join(name);
    std::fs::create_dir_all(&run).expect("made");
    for file in std::fs::read_dir(sample).expect("its files") {
        let file = file.expect("a file").path();
        let to = run.join(file.file_name().expect("a name"));
        std::fs::copy(&file, to).expect("copied");
    }
    run
}

#[track_caller]
fn assert_harmless(ran: &Ran) {
    for text in [&ran.out, &ran.err] {
        let harm = text.chars().find(|c| {
            c.is_control() && !matches!(c, '\n' | '\t') || matches!(c, '\u{202a}'..='\u{202e}')
        });
        assert_eq!(harm, None, "{text:?}");
    }
}

#[test]
fn a_name_of_a_folder_or_file_does_nothing_to_a_terminal() {
    let folder = scratch();
    let run = run_below(folder.path(), HOSTILE);
    let shown = run.to_string_lossy().into_owned();
    std::fs::write(run.join(format!("odd{HOSTILE}.txt")), "x").expect("written");
    let csv = folder.path().join(format!("{HOSTILE}.csv"));
    std::fs::write(&csv, "time_s,pressure_micron\n0,x\n").expect("written");
    let csv = csv.to_string_lossy().into_owned();
    let below = folder.path().to_string_lossy().into_owned();
    let missing = format!("{below}/no{HOSTILE}");
    let out = format!("{below}/drawn{HOSTILE}");
    for arguments in [
        vec!["review", &shown],
        vec!["review", "--json", &shown],
        vec!["review", &csv],
        vec!["verify", &shown],
        vec!["verify", "--json", &shown],
        vec!["verify", &missing],
        vec!["verify", "--public-key", &missing, &shown],
        vec!["seal", &shown],
        vec!["list", &below],
        vec!["list", "--json", &below],
        vec!["report", &shown, "--out", &out],
        vec!["show", &missing],
        vec!["log", "--port", &missing, "--dialect", &missing],
        vec!["log", "--port", &missing, "--dialect", "number-unit-line"],
        vec![HOSTILE],
        vec!["review", "--no\u{1b}[2J", &shown],
        vec!["review", "--hold-min", HOSTILE, &shown],
    ] {
        let ran = dryhold(&arguments);
        assert_harmless(&ran);
        let words = format!("{}{}", ran.out, ran.err);
        assert!(!words.is_empty(), "{arguments:?} says something");
    }
    // JSON stays JSON, and names what there is
    let found = dryhold(["list", "--json", &below]).expect(0).json();
    let path = found["path"].as_str().expect("a path");
    assert!(path.contains(HOSTILE), "{path:?}");
}

#[test]
fn words_of_a_job_do_nothing_to_a_terminal() {
    let folder = scratch();
    let job = folder.path().join("job.toml");
    let words = "\\u001b[2J\\u001b]0;gotcha\\u0007\\u009b1m";
    let text = format!(
        "[job]\nid = \"7{words}\"\n\"odd{words}\" = 1\n[sheet]\nleave_out = [\"oil{words}\"]\n"
    );
    std::fs::write(&job, text).expect("written");
    let shown = job.to_string_lossy().into_owned();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    // a word that is refused
    let port = gauge.path().to_string_lossy().into_owned();
    let log = [
        "log",
        "--dialect",
        "number-unit-line",
        "--port",
        &port,
        "--job",
        &shown,
    ];
    let ran = dryhold(log);
    assert_ne!(ran.status, 0);
    assert_harmless(&ran);
    // and without it
    let text = format!("[job]\nid = \"7{words}\"\n\"odd{words}\" = 1\n");
    std::fs::write(&job, text).expect("written");
    let logger = Logger::start(gauge.path(), &out, &["--job", &shown]);
    gauge.await_reader();
    gauge.say_micron(468.0);
    logger.wait_for_rows(1);
    let ran = logger.interrupted();
    assert_harmless(&ran);
    assert!(ran.err.contains("\\u001b"), "{ran:?}");
}
