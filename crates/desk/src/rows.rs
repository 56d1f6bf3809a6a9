//! Rows of many things: made on all cores, in the order of the things, in as much memory as
//! the rows themselves take.

use std::sync::atomic::{AtomicBool, Ordering};

use run_review::in_order;

use crate::{
    cache::Cache,
    reading::{Measure, row_of},
    row::Row,
    walk::Thing,
};

/// How rows are made.
pub struct Making<'a> {
    /// What every record is held against.
    pub measure: &'a Measure,
    /// Rows of things that did not change since, where they are kept.
    pub cache: Option<&'a Cache>,
    /// Threads at most.
    pub threads: usize,
    /// Becomes true when a person wants no more.
    pub stop: &'a AtomicBool,
}

/// The rows of these things, in their order, each handed to `seen` as it comes. Stopped before
/// the end, the rows of the first things.
pub fn rows_of(things: &[Thing], making: &Making<'_>, mut seen: impl FnMut(&Row)) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut whole = true;
    let make = |at: usize| {
        if making.stop.load(Ordering::Relaxed) {
            return None;
        }
        let thing = things.get(at)?;
        Some(match making.cache {
            Some(cache) => cache.row_of(thing, making.measure),
            None => row_of(thing, making.measure),
        })
    };
    in_order(things.len(), making.threads, make, |row| {
        whole &= row.is_some();
        if let Some(row) = row.filter(|_| whole) {
            seen(&row);
            rows.push(row);
        }
    });
    rows
}
