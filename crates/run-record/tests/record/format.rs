//! FORMAT.md says what the program does: its tables and its example are read and
//! compared.

use std::{fs, path::Path};

use chrono::Duration;
use run_record::{Link, RunHeader, RunReader, RunWriter};
use tempfile::TempDir;
use vacuum::{Entry, Job, Mark, MarkKind, Reading, ReadingState};

use super::{header, micron, read_all, record, started};

fn document() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("FORMAT.md");
    fs::read_to_string(path).unwrap()
}

/// The rows of the table whose first column is headed so.
fn table(document: &str, heading: &str) -> Vec<Vec<String>> {
    let start = format!("| {heading} |");
    let mut lines = document
        .lines()
        .skip_while(|l| !l.starts_with(&start))
        .skip(2);
    let mut rows = Vec::new();
    for line in lines.by_ref().take_while(|l| l.starts_with('|')) {
        let inner = line.trim_start_matches("| ").trim_end_matches(" |");
        rows.push(inner.split(" | ").map(str::to_owned).collect());
    }
    assert!(rows.len() > 1, "the table of {heading}");
    rows
}

fn code(cell: &str) -> &str {
    cell.trim_matches('`')
}

/// The fenced block that follows these words.
fn block<'a>(document: &'a str, after: &str) -> &'a str {
    let rest = document.split_once(after).unwrap().1;
    let rest = rest.split_once("```").unwrap().1;
    let rest = rest.split_once('\n').unwrap().1;
    rest.split_once("```").unwrap().0
}

/// The run of the example.
fn example(parent: &Path) -> std::path::PathBuf {
    let header = RunHeader {
        job: Job {
            id: "INVENTED-1".into(),
            invented: true,
            ..Job::default()
        },
        criteria: None,
        dialect: Some("number-unit-line".into()),
        port: Some("/dev/ttyUSB0".into()),
        software: "dryhold 0.1.0".into(),
        ..RunHeader::default()
    };
    let mut writer = RunWriter::create(parent, &header, started()).unwrap();
    let reading = Entry::Reading(Reading {
        temperature_c: Some(21.5),
        ..Reading::measured(0.25, micron(18_500.0))
    });
    writer
        .append(&reading, started() + Duration::milliseconds(250))
        .unwrap();
    let mark = Entry::Mark(Mark {
        elapsed_s: 4.5,
        kind: MarkKind::Throttled,
        note: "foaming, half a turn".into(),
    });
    writer
        .append(&mark, started() + Duration::milliseconds(4_500))
        .unwrap();
    writer.finish().unwrap().folder
}

#[test]
fn the_example_is_what_the_program_writes() {
    let document = document();
    let parent = TempDir::new().unwrap();
    let folder = example(parent.path());
    let job = fs::read_to_string(folder.join("job.toml")).unwrap();
    assert_eq!(block(&document, "With this `job.toml`"), job);
    let trace = fs::read_to_string(folder.join("trace.csv")).unwrap();
    assert_eq!(block(&document, "the trace begins"), trace);
    let header_row = trace.lines().next().unwrap();
    let seed = Link::seed(header_row.as_bytes(), job.as_bytes());
    let words = format!("so the link before the first row is `{seed}`");
    assert!(document.contains(&words), "{words}");
}

/// The commands of the example, by the system's own tools.
#[test]
fn the_commands_of_the_example_find_the_link() {
    let document = document();
    let parent = TempDir::new().unwrap();
    let folder = example(parent.path());
    let mut script = block(&document, "Anybody can follow this").to_owned();
    script.push_str("\nprintf '%s\\n' \"$digest\"\n");
    let ran = std::process::Command::new("sh")
        .args([
            "-euc",
            &format!("command -v sha256sum >/dev/null || exit 77\n{script}"),
        ])
        .current_dir(&folder)
        .output();
    let Some(ran) = ran.ok().filter(|r| r.status.code() != Some(77)) else {
        skipped_tests::skip("no sh or no sha256sum on this machine");
        return;
    };
    assert!(ran.status.success(), "{ran:?}");
    let said = String::from_utf8(ran.stdout).unwrap();
    let (link, digest) = said.trim().split_once('\n').unwrap();
    let row = block(&document, "the trace begins").lines().nth(1).unwrap();
    assert_eq!(row.rsplit_once(',').unwrap().1, link);
    assert_eq!(
        block(&document, "The digest of `job.toml` is").trim(),
        digest
    );
}

#[test]
fn columns_states_and_marks_are_those_of_the_program() {
    let document = document();
    let parent = TempDir::new().unwrap();
    let trace = fs::read_to_string(example(parent.path()).join("trace.csv")).unwrap();
    let columns = table(&document, "column");
    let names: Vec<&str> = columns.iter().map(|row| code(&row[0])).collect();
    assert_eq!(trace.lines().next().unwrap(), names.join(","));

    let states = table(&document, "state");
    let states: Vec<&str> = states.iter().map(|row| code(&row[0])).collect();
    let known = [
        ReadingState::Ok,
        ReadingState::Over,
        ReadingState::Under,
        ReadingState::Fault,
        ReadingState::Gap,
    ];
    assert_eq!(states, known.map(ReadingState::word));

    for row in table(&document, "mark") {
        let kind = MarkKind::from_code(code(&row[0])).unwrap();
        assert_eq!(kind.label(), row[1]);
    }
    let marks = table(&document, "mark").len();
    let every = [
        MarkKind::ValveOpened,
        MarkKind::PumpSideShut,
        MarkKind::PumpStopped,
        MarkKind::NitrogenBreak,
        MarkKind::Throttled,
        MarkKind::BallastOpened,
        MarkKind::HeatApplied,
        MarkKind::Pressurised,
        MarkKind::SupplyShut,
        MarkKind::Vented,
        MarkKind::Note,
    ];
    assert_eq!(marks, every.len());
}

#[test]
fn notes_are_written_and_read_as_the_table_says() {
    for row in table(&document(), "note") {
        let note = match row[0].as_str() {
            "first⏎second (a line end)" => "first\nsecond",
            "a⇥b (a tab)" => "a\tb",
            "bell␇ (0x07)" => "bell\u{7}",
            note => note,
        };
        let mark = Entry::Mark(Mark {
            elapsed_s: 0.0,
            kind: MarkKind::Note,
            note: note.into(),
        });
        let parent = TempDir::new().unwrap();
        let folder = record(parent.path(), std::slice::from_ref(&mark));
        let trace = fs::read_to_string(folder.join("trace.csv")).unwrap();
        let wanted = format!(",note,{},", code(&row[1]));
        assert!(trace.contains(&wanted), "{wanted} in {trace}");
        assert_eq!(read_all(&folder).0, [mark]);
    }
}

#[test]
fn withdrawals_are_written_and_read_as_the_table_says() {
    for (row, kind, at_s) in [
        (0, MarkKind::PumpSideShut, 754.25),
        (1, MarkKind::Note, 12.0),
    ] {
        let text = table(&document(), "remark")[row][0].clone();
        let mark = Mark {
            elapsed_s: at_s,
            kind,
            note: String::new(),
        };
        let entries = [
            Entry::Mark(mark.clone()),
            Entry::Mark(mark.withdrawal(at_s + 3.0)),
        ];
        let parent = TempDir::new().unwrap();
        let folder = record(parent.path(), &entries);
        let trace = fs::read_to_string(folder.join("trace.csv")).unwrap();
        assert!(
            trace.contains(&format!(",note,{},", code(&text))),
            "{trace}"
        );
        // both rows stay, and the second names the first
        let (read, _) = read_all(&folder);
        assert_eq!(read, entries);
        let Entry::Mark(withdrawal) = &read[1] else {
            panic!("a mark")
        };
        assert_eq!(withdrawal.withdraws(), Some((kind, at_s)));
    }
}

#[test]
fn the_newest_version_is_the_one_written_and_every_sample_is_there() {
    let versions = table(&document(), "format");
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &super::entries());
    let job = fs::read_to_string(folder.join("job.toml")).unwrap();
    let newest = &versions.last().unwrap()[0];
    assert!(job.starts_with(&format!("format = {newest}\n")));
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/runs");
    for version in versions {
        for name in version[2].split(", ") {
            let folder = samples.join(code(name));
            let job = fs::read_to_string(folder.join("job.toml")).unwrap();
            assert!(
                job.starts_with(&format!("format = {}\n", version[0])),
                "{name}"
            );
        }
    }
}

#[test]
fn keys_before_the_tables_are_those_written() {
    let keys = table(&document(), "key");
    let keys: Vec<&str> = keys.iter().map(|row| code(&row[0])).collect();
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &super::entries());
    let job = fs::read_to_string(folder.join("job.toml")).unwrap();
    let written: Vec<&str> = job
        .lines()
        .take_while(|l| !l.is_empty())
        .map(|l| l.split_once(" = ").unwrap().0)
        .collect();
    assert_eq!(keys, written);
    assert!(RunReader::open(&folder, true).unwrap().header().is_some());
    assert_eq!(header().dialect.as_deref(), Some("plain-micron"));
}
