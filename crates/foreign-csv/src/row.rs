//! What one row of a foreign CSV says, given what its columns mean.

use csv::ByteRecord;
use table_rows::excerpt;
use vacuum::{Mark, MarkKind, Pressure, PressureUnit, Reading, ReadingState, Sensed, UnitWord};

use super::{
    cells::{Amount, Decimal, PressureCell, parse_number, parse_pressure},
    columns::Columns,
    layout::Layout,
    names::{TemperatureUnit, unit_of},
    words::{Word, state_of},
};

/// Temperatures taken from a column that does not state its unit, °C.
const PLAUSIBLE_C: std::ops::RangeInclusive<f64> = -60.0..=60.0;

/// Why a row gives no reading.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum NoReading {
    /// There is nothing in it; fine beside a mark.
    Empty(String),
    /// What is in it was not understood.
    NotUnderstood(String),
    /// A number whose unit nobody states.
    UnitMissing,
}

/// Things worth telling once, not once a row.
#[derive(Debug, Default)]
pub(crate) struct Once {
    pub(crate) unknown_state: Option<String>,
    pub(crate) odd_temperature: bool,
    pub(crate) held_mark: bool,
}

/// Reads the cells of a row that make a reading or a mark.
#[derive(Debug)]
pub(crate) struct RowReader {
    columns: Columns,
    pressure: usize,
    unit: Option<PressureUnit>,
    /// Added to numbers without a unit of their own, Pa: see [`RowReader::with_air`].
    air_pa: f64,
    decimal: Decimal,
    /// Last text of the unit column, and what it meant.
    unit_cell: (Vec<u8>, UnitWord),
    last_mark: Vec<u8>,
    last_note: Vec<u8>,
    pub(crate) once: Once,
    /// Some row gave a measurement.
    pub(crate) measured: bool,
    /// The first unit that a row stated itself.
    pub(crate) first_unit: Option<PressureUnit>,
    /// The first unit in a row that states no absolute pressure, and what it says.
    pub(crate) refused: Option<(String, UnitWord)>,
}

impl RowReader {
    pub(crate) fn new(layout: &Layout, unit: Option<PressureUnit>, decimal: Decimal) -> Self {
        Self {
            columns: layout.columns.clone(),
            pressure: layout.pressure.index,
            unit,
            air_pa: 0.0,
            decimal,
            unit_cell: (Vec::new(), UnitWord::Unknown),
            last_mark: Vec::new(),
            last_note: Vec::new(),
            once: Once::default(),
            measured: false,
            first_unit: None,
            refused: None,
        }
    }

    /// The same, whose column counts from air of `air_pa`; 0 for a column that is absolute.
    pub(crate) fn with_air(self, air_pa: f64) -> Self {
        Self { air_pa, ..self }
    }

    /// Whether pressures were made absolute with a barometer.
    pub(crate) fn counts_from_air(&self) -> bool {
        self.air_pa > 0.0
    }

    /// The reading of a row.
    pub(crate) fn reading(
        &mut self,
        record: &ByteRecord,
        elapsed_s: f64,
    ) -> Result<Reading, NoReading> {
        let cell = parse_pressure(cell(record, Some(self.pressure)), self.decimal);
        let sensed = match self.state(record) {
            Some(ReadingState::Fault) => Sensed::Fault,
            Some(ReadingState::Gap) => Sensed::Gap,
            Some(ReadingState::Over) => Sensed::Over(self.bound(record, &cell)),
            Some(ReadingState::Under) => Sensed::Under(self.bound(record, &cell)),
            Some(ReadingState::Ok) | None => match cell {
                PressureCell::Amount(amount) => Sensed::Measured(self.pressure_of(record, amount)?),
                PressureCell::Over(_) => Sensed::Over(self.bound(record, &cell)),
                PressureCell::Under(_) => Sensed::Under(self.bound(record, &cell)),
                PressureCell::Fault => Sensed::Fault,
                PressureCell::Off => Sensed::Gap,
                PressureCell::Missing => {
                    return Err(NoReading::Empty("the pressure is missing".into()));
                }
                PressureCell::Refused(unit, word) => return Err(self.refuse(unit, word)),
                PressureCell::Text if record.as_slice().contains(&0) => {
                    return Err(NoReading::Empty("the row is damaged".into()));
                }
                PressureCell::Text => {
                    let text = excerpt(record.get(self.pressure).unwrap_or_default());
                    let reason = format!("pressure \"{text}\" is not a number");
                    return Err(NoReading::NotUnderstood(reason));
                }
            },
        };
        Ok(Reading {
            elapsed_s,
            sensed,
            temperature_c: self.temperature(record),
        })
    }

    /// The mark of a row; a note without a mark counts once when it changes.
    /// `held` tells that the row has a reading too: then a mark repeated from
    /// the row before is a label held on, not a second act.
    pub(crate) fn mark(&mut self, record: &ByteRecord, elapsed_s: f64, held: bool) -> Option<Mark> {
        let word = cell(record, self.columns.mark);
        let note = cell(record, self.columns.note);
        let new_mark = differ(word, &self.last_mark);
        let new_note = differ(note, &self.last_note);
        if new_mark {
            self.last_mark.clear();
            self.last_mark.extend_from_slice(word);
        }
        if new_note {
            self.last_note.clear();
            self.last_note.extend_from_slice(note);
        }
        if word.is_empty() {
            return (new_note && !note.is_empty()).then(|| Mark {
                elapsed_s,
                kind: MarkKind::Note,
                note: String::from_utf8_lossy(note).into_owned(),
            });
        }
        if held && !new_mark && !new_note {
            self.once.held_mark = true;
            return None;
        }
        let (word, text) = (String::from_utf8_lossy(word), String::from_utf8_lossy(note));
        let (kind, note) = match MarkKind::from_code(&word.replace([' ', '-'], "_")) {
            Some(kind) => (kind, text.into_owned()),
            None => (MarkKind::Note, format!("{word} {text}").trim().to_owned()),
        };
        Some(Mark {
            elapsed_s,
            kind,
            note,
        })
    }

    fn state(&mut self, record: &ByteRecord) -> Option<ReadingState> {
        let word = cell(record, self.columns.state);
        if word.is_empty() {
            return None;
        }
        let plain = std::str::from_utf8(word)
            .ok()
            .and_then(ReadingState::from_word);
        let state = plain.or_else(|| {
            Some(match state_of(word)? {
                Word::Over => ReadingState::Over,
                Word::Under => ReadingState::Under,
                Word::Fault => ReadingState::Fault,
                Word::Off => ReadingState::Gap,
                Word::Good | Word::Missing => ReadingState::Ok,
            })
        });
        if state.is_none() && self.once.unknown_state.is_none() {
            self.once.unknown_state = Some(excerpt(word));
        }
        state
    }

    fn bound(&mut self, record: &ByteRecord, cell: &PressureCell) -> Option<Pressure> {
        match cell {
            PressureCell::Amount(amount)
            | PressureCell::Over(Some(amount))
            | PressureCell::Under(Some(amount)) => self.pressure_of(record, *amount).ok(),
            _ => None,
        }
    }

    fn pressure_of(&mut self, record: &ByteRecord, amount: Amount) -> Result<Pressure, NoReading> {
        let unit = match (amount.unit, self.unit) {
            (None, Some(unit)) => unit,
            (Some(unit), _) => {
                self.first_unit.get_or_insert(unit);
                unit
            }
            (None, None) => self.unit_of_row(record)?,
        };
        self.measured = true;
        let air_pa = match amount.unit {
            None => self.air_pa,
            Some(_) => 0.0,
        };
        let absolute_pa = amount.value * unit.pa() + air_pa;
        Pressure::from_pa(absolute_pa).map_err(|_| {
            let why = if absolute_pa < 0.0 {
                "is below zero, which no absolute pressure is"
            } else {
                "is above 10 MPa, which no vacuum gauge reads"
            };
            NoReading::NotUnderstood(format!("pressure {} {unit} {why}", amount.value))
        })
    }

    fn unit_of_row(&mut self, record: &ByteRecord) -> Result<PressureUnit, NoReading> {
        let text = cell(record, self.columns.unit);
        if differ(text, &self.unit_cell.0) {
            let word = unit_of(&String::from_utf8_lossy(text));
            self.unit_cell = (text.to_vec(), word);
        }
        match self.unit_cell.1 {
            UnitWord::Absolute(unit) => {
                self.first_unit.get_or_insert(unit);
                Ok(unit)
            }
            word @ (UnitWord::Relative(_) | UnitWord::Ambiguous(_)) => {
                Err(self.refuse(String::from_utf8_lossy(text).into_owned(), word))
            }
            UnitWord::Unknown if self.first_unit.is_some() => {
                let reason = "the unit is missing in this row";
                Err(NoReading::NotUnderstood(reason.into()))
            }
            UnitWord::Unknown => Err(NoReading::UnitMissing),
        }
    }

    /// A row whose unit states no absolute pressure.
    #[cold]
    fn refuse(&mut self, unit: String, word: UnitWord) -> NoReading {
        let reason = word.problem(&excerpt(unit.as_bytes())).unwrap_or_default();
        self.refused.get_or_insert((unit, word));
        NoReading::Empty(reason)
    }

    fn temperature(&mut self, record: &ByteRecord) -> Option<f64> {
        let (index, unit) = self.columns.temperature?;
        let cell = cell(record, Some(index));
        if cell.is_empty() {
            return None;
        }
        let value = parse_number(cell, self.decimal)
            .or_else(|| parse_number(cell, Decimal::Point))
            .map(|v| unit.to_celsius(v))
            .filter(|c| match unit {
                TemperatureUnit::Unstated => PLAUSIBLE_C.contains(c),
                _ => *c >= -vacuum::ZERO_CELSIUS_K,
            });
        self.once.odd_temperature |= value.is_none();
        value
    }
}

/// `a != b`, without comparing two empty cells byte by byte: for those the
/// processor's masked loads touch an address that is none, which costs more
/// than the whole rest of the row (measured: half of the import's time).
fn differ(a: &[u8], b: &[u8]) -> bool {
    a.len() != b.len() || (!a.is_empty() && a != b)
}

/// A cell without its outer blanks; empty when the row has none.
pub(crate) fn cell(record: &ByteRecord, index: Option<usize>) -> &[u8] {
    index
        .and_then(|i| record.get(i))
        .unwrap_or_default()
        .trim_ascii()
}
