//! The columns of the table, one place for every flat form of a row: CSV, terminal, sorting,
//! conditions.

use std::cmp::Ordering;

use crate::row::Row;

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words; empty where nothing is known.
    Text(String),
    /// A number.
    Number(f64),
    /// Nothing is known.
    Absent,
}

/// A column.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its name, as in JSON.
    pub name: &'static str,
    cell: fn(&Row) -> Cell,
}

impl PartialEq for Column {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

fn text(text: &Option<String>) -> Cell {
    text.clone().map_or(Cell::Absent, Cell::Text)
}

fn number(number: Option<f64>) -> Cell {
    number.map_or(Cell::Absent, Cell::Number)
}

fn list(words: impl Iterator<Item = impl Into<String>>) -> Cell {
    let words: Vec<String> = words.map(Into::into).collect();
    match words.is_empty() {
        true => Cell::Absent,
        false => Cell::Text(words.join(" ")),
    }
}

macro_rules! columns {
    ($($name:literal: $cell:expr),* $(,)?) => {
        /// Every column, in the order of the CSV.
        pub const COLUMNS: &[Column] = &[$(Column { name: $name, cell: $cell }),*];
    };
}

columns! {
    "path": |r| Cell::Text(r.path.clone()),
    "kind": |r| Cell::Text(r.kind.word().into()),
    "job": |r| text(&r.job),
    "started": |r| text(&r.started),
    "test": |r| text(&r.test),
    "verdict": |r| text(&r.verdict),
    "flags": |r| list(r.flags.iter().map(|f| f.code.word())),
    "look_at": |r| list(r.flags.iter().map(|f| f.words.as_str())),
    "unreadable": |r| text(&r.unreadable),
    "headline": |r| text(&r.headline),
    "reasons": |r| list(r.reasons.iter()),
    "cause": |r| text(&r.cause),
    "confidence": |r| number(r.confidence),
    "leak_micron_per_min": |r| number(r.leak_micron_per_min),
    "detection_limit_micron_per_min": |r| number(r.detection_limit_micron_per_min),
    "lowest_micron": |r| number(r.lowest_micron),
    "highest_in_hold_micron": |r| number(r.highest_in_hold_micron),
    "hold_min": |r| number(r.hold_min),
    "isolated_by": |r| text(&r.isolated_by),
    "criteria": |r| text(&r.criteria),
    "appliance": |r| text(&r.appliance),
    "serial": |r| text(&r.serial),
    "refrigerant": |r| text(&r.refrigerant),
    "volume_l": |r| number(r.volume_l),
    "ambient_c": |r| number(r.ambient_c),
    "repair": |r| text(&r.repair),
    "technician": |r| text(&r.technician),
    "customer": |r| text(&r.customer),
    "gauge": |r| text(&r.gauge),
    "calibration_due": |r| text(&r.calibration_due),
    "seal": |r| Cell::Text(r.seal.word().into()),
    "shop": |r| text(&r.shop),
    "changed": |r| text(&r.changed),
    "said_by": |r| text(&r.said.as_ref().map(|s| s.made_by.clone())),
    "said_verdict": |r| text(&r.said.as_ref().map(|s| s.verdict.clone())),
    "said_criteria": |r| text(&r.said.as_ref().map(|s| s.criteria.clone())),
    "rounds": |r| Cell::Number(r.rounds.len() as f64),
    "record_sha256": |r| text(&r.record_sha256),
}

impl Column {
    /// The column of this name, or the one whose name begins so: "lowest" for
    /// "lowest_micron".
    ///
    /// # Errors
    /// In words, when there is none or there are several.
    pub fn named(name: &str) -> Result<&'static Self, String> {
        if let Some(column) = COLUMNS.iter().find(|c| c.name == name) {
            return Ok(column);
        }
        let begins = |c: &&Self| !name.is_empty() && c.name.starts_with(name);
        let all: Vec<&'static Self> = COLUMNS.iter().filter(begins).collect();
        let names =
            |all: &mut dyn Iterator<Item = &'static str>| all.collect::<Vec<_>>().join(", ");
        match all.as_slice() {
            [one] => Ok(one),
            [] => Err(format!(
                "there is no column \"{name}\"; columns are {}",
                names(&mut COLUMNS.iter().map(|c| c.name))
            )),
            several => Err(format!(
                "\"{name}\" may be {}",
                names(&mut several.iter().map(|c| c.name))
            )),
        }
    }

    /// What stands in it.
    #[must_use]
    pub fn of(&self, row: &Row) -> Cell {
        (self.cell)(row)
    }
}

impl Cell {
    /// As it stands in a table; empty where nothing is known.
    #[must_use]
    pub fn shown(&self) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Number(number) => number.to_string(),
            Self::Absent => String::new(),
        }
    }

    /// Order of a column; absent cells are equal to each other and come last.
    #[must_use]
    pub fn order(&self, other: &Self) -> Ordering {
        match (self, other) {
            (Self::Number(a), Self::Number(b)) => a.total_cmp(b),
            (Self::Text(a), Self::Text(b)) => a.to_lowercase().cmp(&b.to_lowercase()),
            (Self::Absent, Self::Absent) => Ordering::Equal,
            (Self::Absent, _) => Ordering::Greater,
            (_, Self::Absent) => Ordering::Less,
            (Self::Number(_), Self::Text(_)) => Ordering::Less,
            (Self::Text(_), Self::Number(_)) => Ordering::Greater,
        }
    }
}
