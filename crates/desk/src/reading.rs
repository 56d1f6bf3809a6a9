//! One thing read, checked and judged: its row.

use std::{
    fs::File,
    io::{self, Read},
    path::Path,
};

use custody::KnownKeys;
use run_record::{ClockStep, ImportOptions, RecordError, RunHeader, verify_with};
use run_review::{Advice, Draw, JudgedTest, OnDisk, Record, ReviewError};
use sha2::{Digest, Sha256};
use vacuum::{Criteria, Entry};

use crate::{
    alone,
    caught::caught,
    curve::CurveMaker,
    facts,
    flag::FlagCode,
    row::{Row, RowKind},
    said, seal,
    walk::Thing,
};

/// What every record is held against.
pub struct Measure {
    /// The keys that the desk trusts.
    pub keys: KnownKeys,
    /// The criteria that the desk asks for.
    pub rule: Criteria,
    /// True where technician and customer are to be left out everywhere.
    pub no_personal_data: bool,
    /// What a person is told of how a record is read.
    pub advice: Advice,
}

/// The row of one thing, with the flags that it gives by itself. Never fails: what cannot be
/// read is a row with its reason.
#[must_use]
pub fn row_of(thing: &Thing, measure: &Measure) -> Row {
    let path = thing.path.display().to_string();
    let mut row = caught(|| read(thing, measure)).unwrap_or_else(|why| Row {
        unreadable: Some(format!(
            "this program made a mistake with it ({why}): please report it with the record"
        )),
        ..Row::new(path, thing.kind)
    });
    if measure.no_personal_data {
        row.drop_personal_data();
    }
    row.flags.sort_by_key(|flag| flag.code.rank());
    row
}

fn read(thing: &Thing, measure: &Measure) -> Row {
    let mut row = Row::new(thing.path.display().to_string(), thing.kind);
    if let Some(why) = &thing.unreadable {
        row.unreadable = Some(why.clone());
        return row;
    }
    let on_disk = match OnDisk::of(&thing.path) {
        Ok(on_disk) => on_disk,
        Err(e) => {
            row.unreadable = Some(e.to_string());
            return row;
        }
    };
    if on_disk.is_packed() {
        row.kind = RowKind::Packed;
    }
    if row.kind == RowKind::Table {
        row.flag(
            FlagCode::Unsealed,
            "A table that no program of ours recorded: nothing seals it.",
        );
        row.record_sha256 = digest_of(on_disk.path()).ok();
        judge(&mut row, &on_disk, measure);
        return row;
    }
    let mut invented = false;
    match verify_with(on_disk.path(), measure.keys.ring()) {
        Ok(found) => invented = seal::take(&mut row, &found, &measure.keys),
        Err(e) => {
            let e: RecordError = on_disk.named(e);
            seal::cannot_be_checked(&mut row, on_disk.path(), &e);
        }
    }
    row.said = said::said(on_disk.path());
    judge(&mut row, &on_disk, measure);
    let is_told = row.flags.iter().any(|flag| flag.code == FlagCode::Invented);
    if invented && !is_told {
        row.flag(
            FlagCode::Invented,
            "Demonstration data, marked as invented.",
        );
    }
    row
}

/// Judges it anew, as what it says to be.
fn judge(row: &mut Row, on_disk: &OnDisk, measure: &Measure) {
    let mut curve = CurveMaker::default();
    let mut watch = |entry: &Entry| curve.take(entry);
    let record = match Record::open_on_disk(on_disk, &ImportOptions::default()) {
        Ok(record) => record.watched_by(&mut watch),
        Err(e) => {
            // what it says of itself is worth a row, whatever its rows are
            if let Ok(header) = RunHeader::read(&on_disk.path().join("job.toml")) {
                facts::of_header(row, &header);
                alone::of_header(row, &header, &measure.rule);
            }
            row.unreadable = Some(why(&e, measure));
            return;
        }
    };
    if let Some(header) = record.header().cloned() {
        facts::of_header(row, &header);
        alone::of_header(row, &header, &measure.rule);
    }
    match record.judge_as_recorded(Draw::No, &measure.advice) {
        Ok(judged) => {
            facts::of_test(row, &judged);
            alone::of_test(row);
            alone::of_clock(row, clock_steps(&judged));
        }
        Err(e) => row.unreadable = Some(why(&e, measure)),
    }
    row.curve = curve.finish();
}

fn clock_steps(judged: &JudgedTest) -> &[ClockStep] {
    match judged {
        JudgedTest::Evacuation(judged) => &judged.summary.clock_steps,
        JudgedTest::Pressure(judged) => &judged.summary.clock_steps,
        JudgedTest::BlankOff(judged) => &judged.summary.clock_steps,
    }
}

fn why(error: &ReviewError, measure: &Measure) -> String {
    match error {
        ReviewError::Record(error) => (measure.advice.error)(error),
        other => other.to_string(),
    }
}

/// SHA-256 of a file, in hexadecimal.
fn digest_of(path: &Path) -> io::Result<String> {
    let mut file: File = plain_file::open(path, plain_file::Links::Follow)?;
    let mut state = Sha256::new();
    let mut buffer = vec![0; 1 << 16];
    loop {
        match file.read(&mut buffer)? {
            0 => return Ok(seal_keys::forms::hex(&state.finalize())),
            count => state.update(buffer.get(..count).unwrap_or_default()),
        }
    }
}
