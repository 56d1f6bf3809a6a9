//! What a reader of records gives, checked whatever was read.

use run_record::{ImportOptions, RecordError, Source, Summary};
use vacuum::Entry;

use super::dialects::assert_physical;

/// Reads a record to its end or its first error. Time never goes backwards,
/// pressures are physical, every row is accounted for. Links of a run are recomputed.
pub(crate) fn read(
    path: &std::path::Path,
    options: &ImportOptions,
) -> Result<(Vec<Entry>, Summary), RecordError> {
    let mut source = Source::open_and_check(path, options)?;
    let mut entries = Vec::new();
    let mut last_s = f64::NEG_INFINITY;
    while let Some(entry) = source.next_entry()? {
        let now_s = entry.elapsed_s();
        assert!(
            now_s.is_finite() && now_s >= last_s,
            "{now_s} s after {last_s} s"
        );
        last_s = now_s;
        if let Entry::Reading(reading) = &entry {
            let numbers = [reading.pressure(), reading.bound()];
            numbers.into_iter().flatten().for_each(assert_physical);
            assert!(
                reading.temperature_c.is_none_or(f64::is_finite),
                "{reading:?}"
            );
        }
        entries.push(entry);
    }
    let summary = source.summary();
    assert_eq!(summary.rows, summary.used + summary.rejected, "{summary:?}");
    assert!(summary.rejected_rows.len() as u64 <= summary.rejected.min(50));
    let lines = summary
        .notes
        .iter()
        .chain(summary.rejected_rows.iter().map(|r| &r.reason));
    lines.for_each(|line| assert_one_line(line));
    Ok((entries, summary))
}

pub(crate) fn assert_one_line(told: &str) {
    assert!(!told.contains(['\n', '\r']), "{told:?}");
}

/// An error is one line for a technician.
pub(crate) fn assert_told(error: &RecordError) {
    let told = error.to_string();
    assert_one_line(&told);
    // the path and an excerpt, but never the whole file
    assert!(told.len() < 4096, "{} bytes: {told}", told.len());
}
