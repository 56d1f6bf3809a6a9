//! What the first rows of a table tell about the rest.

use table_rows::TallyProblem;
use vacuum::{PressureUnit, RecordUnit, UnitBasis, UnitWord};

use super::{
    cells::{Decimal, DecimalEvidence, PressureCell, parse_number, parse_pressure},
    clock::{Clock, TimeCell},
    cut::split,
    error::{ImportProblem, Missing},
    layout::Layout,
    options::{ImportOptions, TimeUnit},
};

/// Rows at the top looked at.
const ROWS: usize = 500;

/// What the first rows tell.
#[derive(Default)]
pub(super) struct Sample {
    pressure: DecimalEvidence,
    time: DecimalEvidence,
    /// Time cells, with those of the date column.
    times: Vec<(Vec<u8>, Option<Vec<u8>>)>,
    /// Some cell states its own unit.
    units_in_cells: bool,
    /// Some cell is a number without a unit, in this row.
    bare_number: Option<u64>,
    /// Rows with more numbers than columns, and the first of them.
    wide: u64,
    first_wide: Option<(u64, usize)>,
    rows: u64,
}

impl Sample {
    /// Looks at the text behind the header, as far as it is in memory.
    pub(super) fn of(layout: &Layout, body: &[u8]) -> Self {
        let mut sample = Self::default();
        // the last line of the head may be cut, which matters only if it is the only one
        for (i, line) in body.split(|b| *b == b'\n').take(ROWS).enumerate() {
            if !line.trim_ascii().is_empty() {
                sample.rows += 1;
                sample.row(
                    layout,
                    &split(line, layout.delimiter),
                    layout.body_row + i as u64,
                );
            }
        }
        sample
    }

    fn row(&mut self, layout: &Layout, cells: &[Vec<u8>], row: u64) {
        if let Some(extra) = cells.get(layout.names.len()..)
            && extra.iter().any(|c| is_number(c))
        {
            self.wide += 1;
            self.first_wide.get_or_insert((row, cells.len()));
        }
        let time = layout.time.index..layout.time.index + layout.time.parts;
        if let Some(time) = cells.get(time) {
            let time = time.join(&b' ');
            self.time.cell(&time);
            let date = layout.time.date.and_then(|d| cells.get(d));
            self.times.push((time, date.cloned()));
        }
        let Some(cell) = cells.get(layout.pressure.index) else {
            return;
        };
        self.pressure.cell(cell);
        for decimal in [Decimal::Point, Decimal::Comma] {
            if let PressureCell::Amount(amount) = parse_pressure(cell, decimal) {
                if amount.unit.is_some() {
                    self.units_in_cells = true;
                } else {
                    self.bare_number.get_or_insert(row);
                }
            }
        }
    }

    /// How the pressure column writes numbers, and whether that had to be judged.
    pub(super) fn pressure_decimal(&self, delimiter: u8) -> (Decimal, bool) {
        self.pressure.settle(delimiter)
    }

    /// A clock for the time column.
    pub(super) fn clock(&self, layout: &Layout, unit: Option<TimeUnit>) -> Clock {
        let (decimal, _) = self.time.settle(layout.delimiter);
        let mut clock = Clock::new(layout.time.clone(), unit, decimal);
        if let [(first, None), (second, None), ..] = self.times.as_slice() {
            clock.look_at(first, second);
        }
        clock
    }

    /// True where the times are two numbers, and nothing says what they are.
    pub(super) fn has_ambiguous_time(&self, layout: &Layout, unit: Option<TimeUnit>) -> bool {
        let clock = self.clock(layout, unit);
        let mut bare = self.times.iter().filter(|(_, date)| date.is_none());
        bare.any(|(time, _)| clock.is_ambiguous(time))
    }

    /// True when the rows run from the newest to the oldest.
    pub(super) fn is_newest_first(&self, mut clock: Clock) -> bool {
        let (mut up, mut down) = (0, 0);
        let mut last: Option<f64> = None;
        for (time, date) in &self.times {
            let TimeCell::At(s) = clock.read(time, date.as_deref()) else {
                continue;
            };
            match last {
                Some(before) if s > before => up += 1,
                Some(before) if s < before => down += 1,
                _ => {}
            }
            last = Some(s);
        }
        down > 4 * up
    }

    /// Where cells are kept apart by what numbers may hold as well, rows with
    /// more numbers than columns are no table that can be read.
    pub(super) fn check_width(&self, layout: &Layout) -> Result<(), ImportProblem> {
        match self.first_wide {
            Some((row, cells)) if layout.splits_numbers() && self.wide * 5 > self.rows => {
                Err(ImportProblem::TooManyCells {
                    row,
                    cells,
                    names: layout.names.len(),
                })
            }
            _ => Ok(()),
        }
    }
}

/// True for a plain number.
pub(super) fn is_number(cell: &[u8]) -> bool {
    parse_number(cell, Decimal::Point).is_some()
}

/// A unit that the file states.
pub(super) fn stated(unit: PressureUnit) -> RecordUnit {
    RecordUnit {
        unit,
        basis: UnitBasis::Stated,
    }
}

/// What is added to the numbers of the column to make them absolute, Pa: the barometer
/// where they count from the air around the gauge, else nothing.
pub(super) fn air_pa(layout: &Layout, options: &ImportOptions) -> f64 {
    let from_air = match options.pressure_unit {
        Some(_) => options.unit_counts_from_air,
        None => matches!(layout.pressure.unit, UnitWord::Relative(Some(_))),
    };
    options.barometer_pa.filter(|_| from_air).unwrap_or(0.0)
}

/// The column's unit: as asked, else as its name says, else left to its cells.
/// An option that says what the name says too adds nothing.
pub(super) fn decide_unit(
    layout: &Layout,
    sample: &Sample,
    options: &ImportOptions,
) -> Result<Option<RecordUnit>, ImportProblem> {
    if sample.rows == 0 {
        return Err(TallyProblem::NoRows.into());
    }
    let column = &layout.names[layout.pressure.index];
    if let Some(given) = options.pressure_unit {
        return match layout.pressure.unit {
            UnitWord::Relative(_) if options.unit_counts_from_air => Ok(Some(stated(given))),
            // what a column counts from is not changed by an option
            UnitWord::Relative(_) => Err(Missing::AbsoluteColumn {
                column: column.clone(),
                given,
            }
            .into()),
            word => Ok(Some(RecordUnit {
                unit: given,
                basis: if word.absolute() == Some(given) {
                    UnitBasis::Stated
                } else {
                    UnitBasis::Option
                },
            })),
        };
    }
    match layout.pressure.unit {
        UnitWord::Absolute(unit) => Ok(Some(stated(unit))),
        UnitWord::Relative(Some(unit)) if options.barometer_pa.is_some() => Ok(Some(stated(unit))),
        // "P in" may be the pressure at an inlet: its cells decide, if they state a unit
        UnitWord::Unknown | UnitWord::Ambiguous(None)
            if layout.columns.unit.is_some() || sample.bare_number.is_none() =>
        {
            Ok(None)
        }
        word @ (UnitWord::Relative(_) | UnitWord::Ambiguous(_)) => Err(Missing::AbsoluteUnit {
            unit: column.clone(),
            word,
        }
        .into()),
        UnitWord::Unknown => Err(Missing::PressureUnit {
            column: column.clone(),
            // where some cells state a unit, say which does not
            row: sample.bare_number.filter(|_| sample.units_in_cells),
        }
        .into()),
    }
}
