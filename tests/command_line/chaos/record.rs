//! What a record must hold, whatever happened to it.

use std::{collections::BTreeMap, path::Path, time::SystemTime};

use chrono::{DateTime, Utc};

use crate::run::dryhold;

/// A reading may stand so far off the moment it was said, s: the second of the promise,
/// and what a busy computer needs to pass it on.
const OFF_S: f64 = 1.3;

/// What was found in a record.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// Numbers of readings that stand in it with their time.
    pub(super) timed: Vec<usize>,
    /// Those that its notes name, without a time.
    pub(super) named: Vec<usize>,
}

/// Looks through the record: it verifies, and each reading stands where it was said.
#[track_caller]
pub(super) fn look_at(run: &Path, said: &[SystemTime], what: &str) -> Found {
    let verified = dryhold(["verify".as_ref(), run.as_os_str()]);
    assert_eq!(verified.status, 0, "{what}: {verified:?}");
    let mut found = Found::default();
    for (utc, micron, note) in rows(run).into_values() {
        if let Some(micron) = micron {
            let number = micron as usize;
            let at = said.get(number).copied();
            let at = DateTime::<Utc>::from(at.unwrap_or_else(|| panic!("{what}: {micron}")));
            let off_s = (utc - at).as_seconds_f64();
            assert!(
                off_s.abs() < OFF_S,
                "{what}: reading {number} stands {off_s} s off"
            );
            found.timed.push(number);
        }
        if let Some((_, values)) = note.split_once("at times that nobody knows: ") {
            let number = |value: &str| value.strip_suffix(" micron")?.parse::<usize>().ok();
            found.named.extend(values.split(", ").filter_map(number));
        }
    }
    found
}

type Cells = (DateTime<Utc>, Option<f64>, String);

/// Time stamp, pressure measured and note of every row by its number, over all the files
/// of the record.
fn rows(run: &Path) -> BTreeMap<u64, Cells> {
    let mut rows = BTreeMap::new();
    for number in 1..1_000 {
        let name = match number {
            1 => "trace.csv".to_owned(),
            n => format!("trace.{n}.csv"),
        };
        let Ok(bytes) = std::fs::read(run.join(name)) else {
            // a number may be left out where a file could not be made
            continue;
        };
        let text = String::from_utf8_lossy(&bytes);
        let mut first = true;
        for line in text.split_inclusive('\n').skip(1) {
            let cells: Vec<&str> = line.splitn(8, ',').collect();
            let Some(seq) = cells[0]
                .parse::<u64>()
                .ok()
                .filter(|_| line.ends_with('\n'))
            else {
                continue;
            };
            if std::mem::take(&mut first) {
                rows.split_off(&seq);
            }
            let utc = cells[2].parse().expect("a time stamp");
            let micron = cells[3].parse().ok().filter(|_| cells[5] == "ok");
            let note = cells[7].rsplit_once(',').expect("a link").0;
            rows.insert(seq, (utc, micron, note.trim_matches('"').to_owned()));
        }
    }
    rows
}
