//! What is asked of two records, and how one is named in the flag of another.

use crate::row::Row;

/// How far apart two repairs of one appliance may lie, days, and still be told together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RepeatDays(pub u32);

impl Default for RepeatDays {
    fn default() -> Self {
        Self(90)
    }
}

/// True where two rows are of one record: under two paths, or packed and not. Nobody copied
/// anything then.
pub(super) fn is_same_record(a: &Row, b: &Row) -> bool {
    let same_bytes = a.record_sha256.is_some() && a.record_sha256 == b.record_sha256;
    let same_start = a.started.is_some() && a.started == b.started;
    same_bytes || (same_start && a.job.is_some() && a.job == b.job && a.serial == b.serial)
}

/// "job INV-7 of 2026-03-14".
pub(super) fn named(row: &Row) -> String {
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
pub(super) fn verdict_word(row: &Row) -> String {
    let word = row.verdict.as_deref().unwrap_or("not judged");
    word.replace('_', " ")
}
