//! The same serial number again within some days: a repair that had to be repeated.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use super::{RepeatDays, is_same_record, named, serials::normalised, verdict_word};
use crate::{
    flag::{Flag, FlagCode},
    row::Row,
};

/// Other records that are told in one flag.
const MOST_TOLD: usize = 5;

pub(super) fn find(rows: &[Row], RepeatDays(days): RepeatDays) -> Vec<(usize, Flag)> {
    let mut of_serial: BTreeMap<String, Vec<(DateTime<Utc>, usize)>> = BTreeMap::new();
    for (place, row) in rows.iter().enumerate() {
        let started = row.started.as_deref();
        let started = started.and_then(|s| DateTime::parse_from_rfc3339(s).ok());
        let serial = row.serial.as_deref().and_then(normalised);
        if let (Some(started), Some(serial)) = (started, serial) {
            let all = of_serial.entry(serial).or_default();
            all.push((started.with_timezone(&Utc), place));
        }
    }
    let mut found = Vec::new();
    for all in of_serial.values_mut().filter(|all| all.len() > 1) {
        all.sort_unstable();
        for (at, (started, place)) in all.iter().enumerate() {
            let Some(row) = rows.get(*place) else {
                continue;
            };
            let earlier: Vec<(i64, &Row)> = all
                .iter()
                .take(at)
                .rev()
                .map(|(before, other)| ((*started - *before).num_days(), other))
                .take_while(|(apart, _)| *apart <= i64::from(days))
                .filter_map(|(apart, other)| Some((apart, rows.get(*other)?)))
                .filter(|(_, other)| is_other_repair(row, other))
                .take(MOST_TOLD)
                .collect();
            if earlier.is_empty() {
                continue;
            }
            found.push((*place, flag(row, &earlier)));
        }
    }
    found
}

/// Several tests of one job are one repair.
fn is_other_repair(a: &Row, b: &Row) -> bool {
    !is_same_record(a, b) && (a.job.is_none() || a.job != b.job)
}

fn flag(row: &Row, earlier: &[(i64, &Row)]) -> Flag {
    let told = earlier.iter().map(|(days, other)| {
        let ago = match days {
            0 => "the same day".to_owned(),
            1 => "1 day before".to_owned(),
            days => format!("{days} days before"),
        };
        format!("{ago} {}, {}", named(other), verdict_word(other))
    });
    Flag {
        code: FlagCode::SameSerialAgain,
        words: format!(
            "The appliance {} was repaired before: {}; this one: {}.",
            row.serial.as_deref().unwrap_or_default(),
            told.collect::<Vec<_>>().join("; "),
            verdict_word(row)
        ),
        with: earlier
            .iter()
            .map(|(_, other)| other.path.clone())
            .collect(),
    }
}
