//! The file of rounds: one row each.

use std::{borrow::Borrow, path::Path};

use desk::Row;

use crate::{
    FileOptions, ParquetError,
    columns::{Column, Make},
    file,
};

/// A round, and of its record what it is grouped by.
struct Round {
    path: String,
    job: Option<String>,
    started: Option<String>,
    serial: Option<String>,
    refrigerant: Option<String>,
    seal: &'static str,
    shop: Option<String>,
    number: usize,
    is_last: bool,
    round: desk::Round,
}

/// Writes one row a round, in the order of the records. The file is there entirely or not at
/// all; an older one of that name is replaced. Returns how many rows.
///
/// # Errors
/// [`ParquetError`] with the path, when it cannot be written.
pub fn write_rounds<R: Borrow<Row>>(
    path: &Path,
    rows: impl IntoIterator<Item = R>,
    options: &FileOptions<'_>,
) -> Result<u64, ParquetError> {
    let rounds = rows.into_iter().flat_map(|row| rounds(row.borrow()));
    file::write(path, &columns(), options, rounds, |_| 1)
}

fn rounds(row: &Row) -> Vec<Round> {
    let of = |(at, round): (usize, &desk::Round)| Round {
        path: row.path.clone(),
        job: row.job.clone(),
        started: row.started.clone(),
        serial: row.serial.clone(),
        refrigerant: row.refrigerant.clone(),
        seal: row.seal.word(),
        shop: row.shop.clone(),
        number: at + 1,
        is_last: at + 1 == row.rounds.len(),
        round: round.clone(),
    };
    row.rounds.iter().enumerate().map(of).collect()
}

fn columns() -> [Column<Round>; 13] {
    use Make::{Count, Flag, Number, Text, Time};
    [
        ("path", Text(|r| Some(&r.path))),
        ("job", Text(|r| r.job.as_deref())),
        ("started", Time(|r| r.started.as_deref())),
        ("serial", Text(|r| r.serial.as_deref())),
        ("refrigerant", Text(|r| r.refrigerant.as_deref())),
        ("seal", Text(|r| Some(r.seal))),
        ("shop", Text(|r| r.shop.as_deref())),
        ("round", Count(|r| r.number)),
        ("is_last", Flag(|r| r.is_last)),
        ("lowest_micron", Number(|r| r.round.lowest_micron)),
        ("hold_min", Number(|r| r.round.hold_min)),
        (
            "highest_in_hold_micron",
            Number(|r| r.round.highest_in_hold_micron),
        ),
        ("verdict", Text(|r| r.round.verdict.as_deref())),
    ]
}
