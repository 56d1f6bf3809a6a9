//! What only several records together show: a second stage over rows, whatever they were
//! made from.

mod buckets;
mod copies;
mod floors;
mod likeness;
mod repeats;
mod serials;

use crate::row::Row;

/// How far apart two repairs of one appliance may lie, days, and still be told together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RepeatDays(pub u32);

impl Default for RepeatDays {
    fn default() -> Self {
        Self(90)
    }
}

/// Gives every row the flags that it has with others; those it had are made anew. The answer
/// depends on the rows and their order, and on nothing else.
pub fn flag_across(rows: &mut [Row], repeat_days: RepeatDays) {
    rows.iter_mut().for_each(without_flags_across);
    let mut found = repeats::find(rows, repeat_days);
    found.extend(serials::find(rows));
    found.extend(floors::find(rows));
    found.extend(copies::find(rows));
    for (place, flag) in found {
        if let Some(row) = rows.get_mut(place) {
            row.flags.push(flag);
        }
    }
    for row in rows {
        row.flags.sort_by_key(|flag| flag.code.rank());
    }
}

/// Takes off what only several records together show: of a part it would be misleading.
pub fn without_flags_across(row: &mut Row) {
    row.flags.retain(|flag| !flag.code.needs_others());
}

/// True where two rows are of one record: under two paths, or packed and not. Nobody copied
/// anything then.
fn is_same_record(a: &Row, b: &Row) -> bool {
    let same_bytes = a.record_sha256.is_some() && a.record_sha256 == b.record_sha256;
    let same_start = a.started.is_some() && a.started == b.started;
    same_bytes || (same_start && a.job.is_some() && a.job == b.job && a.serial == b.serial)
}

/// "job INV-7 of 2026-03-14".
fn named(row: &Row) -> String {
    let job = match &row.job {
        Some(job) => format!("job {job}"),
        None => format!("the record without a job number in {}", row.path),
    };
    match row.started.as_deref().and_then(|started| started.get(..10)) {
        Some(day) => format!("{job} of {day}"),
        None => job,
    }
}

/// A verdict as it is read.
fn verdict_word(row: &Row) -> String {
    let word = row.verdict.as_deref().unwrap_or("not judged");
    word.replace('_', " ")
}
