//! The reader of run folders and the check of their chain.
//!
//! Input: 0, then bytes taken as `trace.csv`; or 1, then edits of a good run.
//!
//! Promises: any bytes give entries or one line of error, and reading and
//! verifying agree about the chain; **every edit of a recorded run, in
//! `trace.csv` or `job.toml`, is reported**, unless it leaves the bytes as they
//! were or cuts whole rows off the very end, which takes a seal to find.

use std::{fs, path::Path, sync::LazyLock};

use chrono::{DateTime, TimeDelta, Utc};
use run_record::{ImportOptions, RunHeader, RunWriter, verify};
use vacuum::{Entry, Job, Mark, MarkKind, Pressure, Reading, Sensed};

use super::{
    choices::Choices,
    entries::{assert_told, read},
    scratch,
};

/// A recorded run: its two files.
struct Run {
    trace: Vec<u8>,
    job: Vec<u8>,
}

/// Most edits of one input.
const MOST_EDITS: usize = 12;

static GOOD: LazyLock<Run> = LazyLock::new(|| record().unwrap_or_else(|e| panic!("{e}")));

/// Checks one input.
pub fn check(data: &[u8]) {
    let mut choices = Choices::new(data);
    if choices.byte() & 1 == 0 {
        any_bytes(choices.rest());
    } else {
        edited(&mut choices);
    }
}

/// Records an invented run with every kind of row.
fn record() -> Result<Run, Box<dyn std::error::Error>> {
    let parent = tempfile::tempdir()?;
    let header = RunHeader {
        job: Job {
            id: "INVENTED-9".into(),
            invented: true,
            ..Job::default()
        },
        software: "invented".into(),
        ..RunHeader::default()
    };
    let started = DateTime::parse_from_rfc3339("2026-03-14T09:15:00Z")?.with_timezone(&Utc);
    let mut writer = RunWriter::create(parent.path(), &header, started)?;
    for second in 0..40_u32 {
        let elapsed_s = f64::from(second);
        let micron = 18_500.0 * (-elapsed_s / 9.0).exp() + 310.25;
        let sensed = match second {
            0..3 => Sensed::Over(Some(Pressure::from_micron(20_000.0)?)),
            11 => Sensed::Fault,
            12 => Sensed::Gap,
            30 => Sensed::Under(None),
            _ => Sensed::Measured(Pressure::from_micron(micron)?),
        };
        let utc = started + TimeDelta::seconds(second.into());
        let temperature_c = (second % 2 == 0).then_some(21.5);
        writer.append(
            &Entry::Reading(Reading {
                elapsed_s,
                sensed,
                temperature_c,
            }),
            utc,
        )?;
        let note = match second {
            5 => "oil foams, \"throttled\"",
            25 => "=1+1; shut\nby hand",
            _ => continue,
        };
        let kind = MarkKind::ALL[second as usize % MarkKind::ALL.len()];
        let note = note.to_owned();
        writer.append(
            &Entry::Mark(Mark {
                elapsed_s,
                kind,
                note,
            }),
            utc,
        )?;
    }
    let folder = writer.finish()?.folder;
    Ok(Run {
        trace: fs::read(folder.join("trace.csv"))?,
        job: fs::read(folder.join("job.toml"))?,
    })
}

/// Calls with a folder that holds these two files.
fn as_run(trace: &[u8], job: &[u8], act: impl FnOnce(&Path)) {
    scratch::in_folder(|folder| {
        scratch::put(&folder.join("trace.csv"), trace);
        scratch::put(&folder.join("job.toml"), job);
        act(folder);
    });
}

fn any_bytes(bytes: &[u8]) {
    as_run(bytes, &GOOD.job, |folder| {
        let verified = verify(folder);
        if let Err(error) = &verified {
            assert_told(error);
        }
        match read(folder, &ImportOptions::default()) {
            Err(error) => assert_told(&error),
            // a foreign CSV under the name of a trace has no chain
            Ok((_, summary)) => match verified {
                Ok(verified) if summary.chain.is_intact() || verified.chain.is_intact() => {
                    assert_eq!(summary.chain, verified.chain);
                    assert_eq!(summary.torn_tail, verified.torn_tail);
                    assert_eq!(summary.rows, verified.rows);
                }
                _ => {}
            },
        }
    });
}

fn edited(choices: &mut Choices<'_>) {
    let in_job = choices.byte() % 8 == 7;
    let original = if in_job { &GOOD.job } else { &GOOD.trace };
    let mut bytes = original.clone();
    for _ in 0..MOST_EDITS {
        if choices.is_empty() {
            break;
        }
        edit(&mut bytes, choices);
    }
    let (trace, job) = if in_job {
        (&GOOD.trace, &bytes)
    } else {
        (&bytes, &GOOD.job)
    };
    as_run(trace, job, |folder| {
        let found = match verify(folder) {
            Ok(verified) => verified.is_sound().then(|| verified.to_string()),
            Err(error) => {
                assert_told(&error);
                None
            }
        };
        let cannot_show = !in_job && is_cut_at_the_end(&bytes, original);
        if let Some(told) = found {
            let edited = bytes != *original && !cannot_show;
            assert!(!edited, "not seen, \"{told}\":\n{}", bytes.escape_ascii());
        } else {
            assert!(bytes != *original, "a good run is not believed");
        }
        if let Err(error) = read(folder, &ImportOptions::default()) {
            assert_told(&error);
        }
    });
}

/// Whole rows are missing at the very end, or just the last line end.
fn is_cut_at_the_end(bytes: &[u8], original: &[u8]) -> bool {
    let at_a_row_end = bytes.ends_with(b"\n") || original.get(bytes.len()) == Some(&b'\n');
    original.starts_with(bytes) && at_a_row_end
}

/// One edit: a byte, a stretch of bytes, or a line.
fn edit(bytes: &mut Vec<u8>, choices: &mut Choices<'_>) {
    let (what, at, byte) = (choices.byte(), usize::from(choices.u16()), choices.byte());
    if bytes.is_empty() {
        bytes.push(byte);
        return;
    }
    let at = at % bytes.len();
    let lines: Vec<Vec<u8>> = bytes
        .split_inclusive(|b| *b == b'\n')
        .map(<[u8]>::to_vec)
        .collect();
    let (one, other) = (at % lines.len(), usize::from(byte) % lines.len());
    match what % 9 {
        0 => bytes[at] = byte,
        1 => bytes[at] ^= 1 << (byte % 8),
        2 => bytes.insert(at, byte),
        3 => drop(bytes.remove(at)),
        4 => bytes.truncate(at),
        5 => bytes.push(byte),
        6 => {
            let mut lines = lines;
            lines.swap(one, other);
            *bytes = lines.concat();
        }
        7 => {
            let mut lines = lines;
            lines.remove(one);
            *bytes = lines.concat();
        }
        _ => {
            let mut lines = lines;
            lines.insert(other, lines[one].clone());
            *bytes = lines.concat();
        }
    }
}
