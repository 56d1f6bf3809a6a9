//! What only several records together show: a second stage over rows, whatever they were
//! made from.

mod buckets;
mod copies;
mod floors;
mod likeness;
mod pairs;
mod repeats;
mod serials;

use crate::row::Row;

pub use pairs::RepeatDays;

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
