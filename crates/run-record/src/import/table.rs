//! A foreign CSV as a stream of readings and marks.

use std::{
    fs::File,
    path::{Path, PathBuf},
};

use chrono::{DateTime, Utc};
use csv::{ByteRecord, ReaderBuilder, Terminator};
use vacuum::{Entry, PressureUnit};

use super::{
    cells::{DecimalEvidence, PressureCell, parse_pressure},
    clock::{Clock, TimeCell},
    layout::{Layout, find, split},
    names::UnitWord,
    row::{NoReading, RowReader, cell},
    text::TextReader,
};
use crate::{
    error::{AtPath, Problem, RecordError, excerpt},
    source::{ImportOptions, Summary, Tally},
};

/// Rows at the top looked at to tell how numbers are written.
const SAMPLE: usize = 500;

/// Reads a foreign CSV row by row in flat memory.
pub(crate) struct TableReader {
    path: PathBuf,
    csv: csv::Reader<TextReader<File>>,
    record: ByteRecord,
    body_row: u64,
    names: Vec<String>,
    time: usize,
    date: Option<usize>,
    pressure: usize,
    clock: Clock,
    row: RowReader,
    last_s: Option<f64>,
    went_forward: bool,
    pending: Option<Entry>,
    tally: Tally,
    done: bool,
}

impl std::fmt::Debug for TableReader {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("TableReader")
            .field("path", &self.path)
            .field("names", &self.names)
            .finish_non_exhaustive()
    }
}

impl TableReader {
    pub(crate) fn open(path: &Path, options: &ImportOptions) -> Result<Self, RecordError> {
        let problem = |p| RecordError::new(path, p);
        let file = File::open(path).reading(path)?;
        let mut text = TextReader::new(file).reading(path)?.map_err(|not_text| {
            problem(Problem::Binary {
                hint: not_text.hint,
            })
        })?;
        let layout = find(text.head(), options).map_err(problem)?;
        text.skip(layout.body_at);
        let sample = Sample::of(&layout, text.head());
        let unit = decide_unit(&layout, &sample, options).map_err(problem)?;
        if layout.delimiter == b' ' {
            text.join_blanks();
        }
        let csv = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(layout.delimiter)
            .terminator(Terminator::Any(b'\n'))
            .buffer_capacity(1 << 16)
            .from_reader(text);
        let (decimal, judged) = sample.pressure.settle(layout.delimiter);
        let (time_decimal, _) = sample.time.settle(layout.delimiter);
        let mut tally = Tally::default();
        let name = &layout.names[layout.pressure.index];
        if let Some(unit) = unit {
            tally.note(format!("pressure column \"{name}\" read as {unit}"));
        }
        if judged {
            let comma = match decimal {
                super::cells::Decimal::Comma => "decimal commas",
                super::cells::Decimal::Point => "thousands",
            };
            tally.note(format!("commas in column \"{name}\" read as {comma}"));
        }
        Ok(Self {
            path: path.to_owned(),
            csv,
            record: ByteRecord::new(),
            body_row: layout.body_row,
            time: layout.time.index,
            date: layout.time.date,
            pressure: layout.pressure.index,
            clock: Clock::new(layout.time, options.time_unit, time_decimal),
            row: RowReader::new(layout.columns, layout.pressure.index, unit, decimal),
            names: layout.names,
            last_s: None,
            went_forward: false,
            pending: None,
            tally,
            done: false,
        })
    }

    pub(crate) fn started_utc(&self) -> Option<DateTime<Utc>> {
        self.clock.started()
    }

    pub(crate) fn next_entry(&mut self) -> Result<Option<Entry>, RecordError> {
        if let Some(entry) = self.pending.take() {
            return Ok(Some(entry));
        }
        while !self.done {
            if !self.read_record()? {
                self.done = true;
                self.tally.check_end(&self.path)?;
                break;
            }
            let entry = self.take_row()?;
            if entry.is_some() {
                return Ok(entry);
            }
        }
        Ok(None)
    }

    fn read_record(&mut self) -> Result<bool, RecordError> {
        let line = self.csv.position().line();
        let more = self.csv.read_byte_record(&mut self.record);
        self.csv.get_mut().row_taken();
        more.map_err(|e| {
            let row = self.body_row + line - 1;
            let problem = match e.into_kind() {
                csv::ErrorKind::Io(io) if io.kind() == std::io::ErrorKind::FileTooLarge => {
                    Problem::RowTooLong { row }
                }
                csv::ErrorKind::Io(io) => Problem::Read(io),
                _ => Problem::NoTable,
            };
            RecordError::new(&self.path, problem)
        })
    }

    /// The row just read, counted from 1 as an editor counts lines. Costs a
    /// look through it, so only errors ask.
    fn row_number(&self) -> u64 {
        let inside = self
            .record
            .as_slice()
            .iter()
            .filter(|b| **b == b'\n')
            .count() as u64;
        let from_end = self.csv.position().line().saturating_sub(1 + inside);
        // counted from its end it misses a line end that an open quotation mark
        // swallowed; counted from its start, blank lines above it
        let from_start = self.record.position().map_or(0, csv::Position::line);
        self.body_row + from_end.max(from_start) - 1
    }

    fn error(&self, problem: Problem) -> RecordError {
        RecordError::new(&self.path, problem)
    }

    fn reject(&mut self, reason: String) {
        let row = self.row_number();
        self.tally.reject(row, || reason);
    }

    /// Takes the row just read; `None` when it holds nothing or is rejected.
    fn take_row(&mut self) -> Result<Option<Entry>, RecordError> {
        let blank = |c: &[u8]| c.trim_ascii().is_empty();
        if cell(&self.record, Some(self.time)).is_empty() && self.record.iter().all(blank) {
            return Ok(None);
        }
        self.tally.row();
        let Some(elapsed_s) = self.take_time()? else {
            return Ok(None);
        };
        let reading = match self.row.reading(&self.record, elapsed_s) {
            Ok(reading) => Ok(reading),
            Err(NoReading::Text(text)) if !self.record.as_slice().contains(&0) => {
                let (row, what) = (self.row_number(), "pressure");
                return Err(self.error(Problem::NotANumber { row, what, text }));
            }
            Err(NoReading::UnitMissing) => {
                let column = self.names[self.pressure].clone();
                let row = Some(self.row_number());
                return Err(self.error(Problem::UnitMissing { column, row }));
            }
            Err(NoReading::Relative(unit)) => {
                return Err(self.error(Problem::RelativeUnit { unit }));
            }
            Err(NoReading::Rejected(reason)) => Err(reason),
            Err(NoReading::Missing) => Err("the pressure is missing".to_owned()),
            Err(NoReading::Text(_)) => Err("the row is damaged".to_owned()),
        };
        let mark = self.row.mark(&self.record, elapsed_s, reading.is_ok());
        Ok(match (mark, reading) {
            (Some(mark), reading) => {
                self.tally.used();
                self.pending = reading.ok().map(Entry::Reading);
                Some(Entry::Mark(mark))
            }
            (None, Ok(reading)) => {
                self.tally.used();
                Some(Entry::Reading(reading))
            }
            (None, Err(reason)) => {
                self.reject(reason);
                None
            }
        })
    }

    /// The time of the row just read; `None` when the row is rejected.
    fn take_time(&mut self) -> Result<Option<f64>, RecordError> {
        let time = cell(&self.record, Some(self.time));
        let date = self.date.map(|i| cell(&self.record, Some(i)));
        let text = || excerpt(time);
        let elapsed_s = match self.clock.read(time, date) {
            TimeCell::At(s) if s.is_finite() => s,
            TimeCell::Missing => {
                let reason = if self.record.get(self.time).is_some() {
                    "the time is missing"
                } else {
                    "the row has too few columns"
                };
                self.reject(reason.into());
                return Ok(None);
            }
            TimeCell::Ambiguous => {
                let (row, text) = (self.row_number(), text());
                return Err(self.error(Problem::AmbiguousTime { row, text }));
            }
            TimeCell::Text | TimeCell::At(_) => {
                let (row, text) = (self.row_number(), text());
                return match self.excuse_for_text() {
                    Some(reason) => {
                        self.reject(reason.into());
                        Ok(None)
                    }
                    None => Err(self.error(Problem::NotATime { row, text })),
                };
            }
        };
        match self.last_s {
            Some(before_s) if elapsed_s < before_s => {
                let problem = Problem::Backwards {
                    row: self.row_number(),
                    before_s,
                    after_s: elapsed_s,
                    newest_first: !self.went_forward,
                };
                return Err(self.error(problem));
            }
            Some(before_s) => self.went_forward |= elapsed_s > before_s,
            None => {
                for note in self.clock.take_notes() {
                    self.tally.note(note);
                }
            }
        }
        self.last_s = Some(elapsed_s);
        Ok(Some(elapsed_s))
    }

    /// Why a row with text for its time is no mistake in the data.
    fn excuse_for_text(&self) -> Option<&'static str> {
        let pressure = cell(&self.record, Some(self.pressure));
        let is_name = |index: usize| {
            let name = self.names.get(index).map(|n| n.as_bytes());
            name.is_some_and(|n| n == cell(&self.record, Some(index)))
        };
        if self.record.as_slice().contains(&0) {
            Some("the row is damaged")
        } else if is_name(self.time) && is_name(self.pressure) {
            Some("the header row is repeated")
        } else if pressure.is_empty() {
            Some("the row has no time and no pressure")
        } else {
            None
        }
    }

    pub(crate) fn summary(&self) -> Summary {
        let mut summary = self.tally.summary();
        let once = &self.row.once;
        if let Some(word) = &once.unknown_state {
            summary.notes.push(format!(
                "state \"{word}\" is not one of ok, over, under, fault, gap: passed over"
            ));
        }
        if once.odd_temperature {
            let note = "temperatures that are no number, or no likely °C, are left out";
            summary.notes.push(note.into());
        }
        if once.held_mark {
            let note = "a mark repeated row after row counts once";
            summary.notes.push(note.into());
        }
        summary
    }
}

/// What the first rows tell.
#[derive(Default)]
struct Sample {
    pressure: DecimalEvidence,
    time: DecimalEvidence,
    /// Some cell states its own unit.
    units_in_cells: bool,
    /// Some cell is a number without a unit, in this row.
    bare_number: Option<u64>,
    rows: u64,
}

impl Sample {
    fn of(layout: &Layout, body: &[u8]) -> Self {
        let mut sample = Self::default();
        // the last line of the head may be cut, which matters only if it is the only one
        for (i, line) in body.split(|b| *b == b'\n').take(SAMPLE).enumerate() {
            if line.trim_ascii().is_empty() {
                continue;
            }
            sample.rows += 1;
            let cells = split(line, layout.delimiter);
            if let Some(time) = cells.get(layout.time.index) {
                sample.time.cell(time);
            }
            let Some(cell) = cells.get(layout.pressure.index) else {
                continue;
            };
            sample.pressure.cell(cell);
            for decimal in [super::cells::Decimal::Point, super::cells::Decimal::Comma] {
                if let PressureCell::Amount(amount) = parse_pressure(cell, decimal) {
                    if amount.unit.is_some() {
                        sample.units_in_cells = true;
                    } else {
                        sample.bare_number.get_or_insert(layout.body_row + i as u64);
                    }
                }
            }
        }
        sample
    }
}

/// The column's unit: as asked, else as its name says, else left to its cells.
fn decide_unit(
    layout: &Layout,
    sample: &Sample,
    options: &ImportOptions,
) -> Result<Option<PressureUnit>, Problem> {
    if sample.rows == 0 {
        return Err(Problem::NoRows);
    }
    if options.pressure_unit.is_some() {
        return Ok(options.pressure_unit);
    }
    match &layout.pressure.unit {
        UnitWord::Known(unit) => Ok(Some(*unit)),
        UnitWord::Relative(_) => Err(Problem::RelativeUnit {
            unit: layout.names[layout.pressure.index].clone(),
        }),
        UnitWord::Missing if layout.columns.unit.is_some() || sample.bare_number.is_none() => {
            Ok(None)
        }
        UnitWord::Missing => Err(Problem::UnitMissing {
            column: layout.names[layout.pressure.index].clone(),
            // where some cells state a unit, say which does not
            row: sample.bare_number.filter(|_| sample.units_in_cells),
        }),
    }
}
