//! A foreign CSV as a stream of readings and marks.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use csv::ByteRecord;
use plain_file::Links;
use table_rows::{Tally, excerpt};
use vacuum::{Entry, Mark, Reading};

mod odd;

use super::{
    cells::Decimal,
    clock::{Clock, FirstStamp, TimeCell},
    encoding::NotText,
    error::{ImportError, ImportProblem, Missing},
    layout::Layout,
    options::{ImportOptions, TwoPart},
    order::{Order, Settled, TimedRow, seconds},
    row::{NoReading, RowReader, cell},
    rows::{Rows, lines_inside},
    sample::{Sample, air_pa, decide_unit, stated},
    settle::find_table,
    summary::{ColumnUnit, ImportSummary},
    text::TextReader,
};
/// No time of a run is further from its start, s: thirty thousand years.
const LONGEST_S: f64 = 1e12;

/// Readings and marks of a foreign CSV, one by one. What is understood of a file is
/// said at the top of the [crate](crate), with an example.
pub struct TableReader {
    path: PathBuf,
    rows: Rows,
    record: ByteRecord,
    /// The row before.
    previous: ByteRecord,
    layout: Layout,
    clock: Clock,
    row: RowReader,
    /// The unit of the column, where its cells do not carry their own.
    column_unit: Option<ColumnUnit>,
    order: Order,
    pending: Option<Entry>,
    tally: Tally,
    /// How the file was understood.
    notes: Vec<String>,
    ended: bool,
    done: bool,
}

impl std::fmt::Debug for TableReader {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("TableReader")
            .field("path", &self.path)
            .field("names", &self.layout.names)
            .finish_non_exhaustive()
    }
}

/// True where a time of two numbers further down can only be minutes and seconds.
fn shows_seconds_somewhere(
    path: &Path,
    links: Links,
    layout: &Layout,
) -> Result<bool, ImportProblem> {
    let file = plain_file::open(path, links).map_err(ImportProblem::Read)?;
    let text = TextReader::new(file).map_err(ImportProblem::Read)?;
    let mut text = text.map_err(|NotText { hint }| ImportProblem::Binary { hint })?;
    text.skip(layout.body_at);
    let mut rows = Rows::new(text, layout.delimiter, layout.body_row);
    let mut record = ByteRecord::new();
    while rows.next(&mut record)? {
        if Clock::shows_seconds(cell(&record, Some(layout.time.index))) {
            return Ok(true);
        }
    }
    Ok(false)
}

impl TableReader {
    /// Opens a CSV and understands its columns. `links` says whether the path may be a
    /// link to the file.
    ///
    /// # Errors
    /// When it cannot be read, is empty or not text, or when its columns or units are
    /// not clear ([`ImportProblem::Missing`]).
    pub fn open(path: &Path, links: Links, options: &ImportOptions) -> Result<Self, ImportError> {
        Self::read_head(path, links, options).map_err(|problem| ImportError::new(path, problem))
    }

    fn read_head(
        path: &Path,
        links: Links,
        options: &ImportOptions,
    ) -> Result<Self, ImportProblem> {
        let file = plain_file::open(path, links).map_err(ImportProblem::Read)?;
        let text = TextReader::new(file).map_err(ImportProblem::Read)?;
        let mut text = text.map_err(|NotText { hint }| ImportProblem::Binary { hint })?;
        let mut layout = find_table(text.head(), options)?;
        text.skip(layout.body_at);
        layout.join_stamp_parts(text.head());
        let sample = Sample::of(&layout, text.head());
        let unit = decide_unit(&layout, &sample, options)?;
        sample.check_width(&layout)?;
        let mut notes = std::mem::take(&mut layout.notes);
        layout.time.two_part = options.two_part.or(layout.time.two_part);
        if sample.has_ambiguous_time(&layout, options.time_unit)
            && shows_seconds_somewhere(path, links, &layout)?
        {
            layout.time.two_part = Some(TwoPart::MinutesSeconds);
            notes.push("times read as minutes:seconds, for some are no hours".into());
        }
        let (decimal, judged) = sample.pressure_decimal(layout.delimiter);
        let column = excerpt(layout.names[layout.pressure.index].as_bytes());
        if judged {
            let comma = match decimal {
                Decimal::Comma => "decimal commas",
                Decimal::Point => "thousands",
            };
            notes.push(format!("commas in column \"{column}\" read as {comma}"));
        }
        let mut rows = Rows::new(text, layout.delimiter, layout.body_row);
        if sample.is_newest_first(sample.clock(&layout, options.time_unit)) {
            notes.push("the rows run newest first: read from the end of the file".into());
            rows.reverse()?;
        }
        Ok(Self {
            path: path.to_owned(),
            rows,
            record: ByteRecord::new(),
            previous: ByteRecord::new(),
            clock: sample.clock(&layout, options.time_unit),
            row: RowReader::new(&layout, unit.map(|u| u.unit), decimal)
                .with_air(air_pa(&layout, options)),
            column_unit: unit.map(|unit| ColumnUnit { column, unit }),
            layout,
            order: Order::default(),
            pending: None,
            tally: Tally::default(),
            notes,
            ended: false,
            done: false,
        })
    }

    /// When the run began, if the file says so with a time zone; known once the first
    /// entry was read.
    #[must_use]
    pub fn started_utc(&self) -> Option<DateTime<Utc>> {
        self.clock.started()
    }

    /// The time of the first row by the clock of the file, where it writes times of day;
    /// known once the first entry was read.
    #[must_use]
    pub fn first_stamp(&self) -> Option<FirstStamp> {
        self.clock.first_stamp()
    }

    /// The next reading or mark, or `None` at the end.
    ///
    /// # Errors
    /// When the file cannot be read on, time goes backwards again and again, more than
    /// a fifth of its rows was not understood, or the end is reached without one usable
    /// row.
    pub fn next_entry(&mut self) -> Result<Option<Entry>, ImportError> {
        if let Some(entry) = self.pending.take() {
            return Ok(Some(entry));
        }
        while !self.done {
            let entry = if self.order.is_ready(self.ended) {
                self.settle()?
            } else if self.ended {
                self.done = true;
                self.check_end()?;
                None
            } else if self.read_record()? {
                self.take_row()?
            } else {
                self.ended = true;
                None
            };
            if entry.is_some() {
                return Ok(entry);
            }
        }
        Ok(None)
    }

    fn read_record(&mut self) -> Result<bool, ImportError> {
        std::mem::swap(&mut self.record, &mut self.previous);
        let more = self.rows.next(&mut self.record);
        more.map_err(|problem| self.error(problem))
    }

    /// Number of the row just read.
    fn row_number(&self) -> u64 {
        self.rows.number_of(&self.record)
    }

    fn error(&self, problem: impl Into<ImportProblem>) -> ImportError {
        ImportError::new(&self.path, problem)
    }

    /// Leaves the row just read out: there is nothing to read in it.
    fn leave_out(&mut self, reason: String) {
        let row = self.row_number();
        self.tally.reject(row, || reason);
    }

    /// Leaves the row just read out, and with it what an open quotation mark
    /// made a part of it: something in it was not understood.
    fn not_understood(&mut self, reason: String) -> Result<(), ImportError> {
        let (row, lines) = (self.row_number(), lines_inside(&self.record));
        let reason = match lines {
            0 => reason,
            _ => format!(
                "a quotation mark is left open: it swallows what follows down to row {}",
                row + lines
            ),
        };
        self.tally.not_understood(row, lines + 1, reason);
        self.tally.check_so_far().map_err(|e| self.error(e))
    }

    /// A record that was mostly not understood is an error, not a short record.
    fn check_end(&self) -> Result<(), ImportError> {
        if let Some((unit, word)) = &self.row.refused
            && !self.row.measured
        {
            let (unit, word) = (unit.clone(), *word);
            return Err(self.error(Missing::AbsoluteUnit { unit, word }));
        }
        self.tally.check_end().map_err(|e| self.error(e))
    }

    /// Takes the row just read; `None` when nothing is to be told of it yet.
    fn take_row(&mut self) -> Result<Option<Entry>, ImportError> {
        let blank = |c: &[u8]| c.trim_ascii().is_empty();
        if cell(&self.record, Some(self.layout.time.index)).is_empty()
            && self.record.iter().all(blank)
        {
            return Ok(None);
        }
        self.tally.row();
        let Some(time_s) = self.take_time()? else {
            return Ok(None);
        };
        if let Some(reason) = self.misshapen() {
            self.not_understood(reason.to_owned())?;
            return Ok(None);
        }
        if self.may_be_cut() {
            let reason = "the file ends inside this row: its last number may be cut off";
            self.leave_out(reason.into());
            return Ok(None);
        }
        let reading = match self.row.reading(&self.record, time_s) {
            Ok(reading) => reading,
            Err(why) => return self.without_reading(time_s, why),
        };
        let mark = self.row.mark(&self.record, time_s, true);
        if mark.is_some() || !self.order.is_plain(time_s) {
            return Ok(self.place(time_s, mark, Some(reading)));
        }
        self.tally.used();
        Ok(Some(Entry::Reading(self.order.pass_reading(reading))))
    }

    /// Takes a row that gives no reading: perhaps it is a mark.
    #[cold]
    fn without_reading(
        &mut self,
        time_s: f64,
        why: NoReading,
    ) -> Result<Option<Entry>, ImportError> {
        if why == NoReading::UnitMissing {
            let column = self.layout.names[self.layout.pressure.index].clone();
            let row = Some(self.row_number());
            return Err(self.error(Missing::PressureUnit { column, row }));
        }
        if let Some(mark) = self.row.mark(&self.record, time_s, false) {
            return Ok(self.place(time_s, Some(mark), None));
        }
        match why {
            NoReading::NotUnderstood(reason) => self.not_understood(reason)?,
            NoReading::Empty(reason) => self.leave_out(reason),
            NoReading::UnitMissing => {}
        }
        Ok(None)
    }

    /// Passes a row that is in its place, and holds back any other.
    fn place(
        &mut self,
        time_s: f64,
        mark: Option<Mark>,
        reading: Option<Reading>,
    ) -> Option<Entry> {
        let row = TimedRow {
            time_s,
            row: self.row_number(),
            mark,
            reading,
        };
        if self.order.is_plain(time_s) {
            self.pass(row)
        } else {
            self.order.hold(row);
            None
        }
    }

    /// Passes a row: its mark first, then its reading.
    fn pass(&mut self, row: TimedRow) -> Option<Entry> {
        self.tally.used();
        let (mark, reading) = self.order.pass(row);
        match mark {
            Some(mark) => {
                self.pending = reading;
                Some(mark)
            }
            None => reading,
        }
    }

    /// Settles the first of the rows held back.
    fn settle(&mut self) -> Result<Option<Entry>, ImportError> {
        match self.order.settle() {
            Some(Settled::InPlace(row)) => Ok(self.pass(row)),
            Some(Settled::LeftOut { row, reason }) => {
                self.tally.not_understood(row, 1, reason);
                self.tally.check_so_far().map_err(|e| self.error(e))?;
                Ok(None)
            }
            Some(Settled::NewStretch {
                row,
                before_s,
                after_s,
                gap,
            }) => {
                if self.order.is_hopeless(self.tally.rows()) {
                    return Err(self.error(ImportProblem::TimesMixed {
                        row,
                        before_s,
                        after_s,
                    }));
                }
                self.tell_of_stretch(row, before_s, after_s, &gap);
                Ok(Some(Entry::Reading(gap)))
            }
            None => Ok(None),
        }
    }

    fn tell_of_stretch(&mut self, row: u64, before_s: f64, after_s: f64, gap: &Reading) {
        const TOLD: u64 = 5;
        let stretches = self.order.stretches();
        if stretches > TOLD {
            return;
        }
        let back = before_s - after_s;
        let how = if back < 0.0 {
            format!("is set forward by {}", seconds(-back))
        } else if (3595.0..=3600.0).contains(&back) {
            "falls back one hour, as at the end of summer time".to_owned()
        } else {
            format!("starts again, {} back", seconds(back))
        };
        self.note(format!(
            "row {row}: the clock {how}; how much time passed is not known, so a gap stands there \
             ({} from the start)",
            seconds(gap.elapsed_s)
        ));
        if stretches == TOLD {
            let note = "the clock starts again more often: the rest is not listed";
            self.note(note.into());
        }
    }

    /// The time of the row just read; `None` when the row is left out.
    fn take_time(&mut self) -> Result<Option<f64>, ImportError> {
        let index = self.layout.time.index;
        let date = self.layout.time.date.map(|i| cell(&self.record, Some(i)));
        let found = if self.layout.time.parts == 1 {
            self.clock.read(cell(&self.record, Some(index)), date)
        } else {
            let parts = (index..index + self.layout.time.parts).filter_map(|i| self.record.get(i));
            let text = parts.collect::<Vec<_>>().join(&b' ');
            self.clock.read(&text, date)
        };
        match found {
            TimeCell::At(s) if s.abs() <= LONGEST_S => {
                if self.clock.has_notes() {
                    for note in self.clock.take_notes() {
                        self.note(note);
                    }
                }
                return Ok(Some(s));
            }
            TimeCell::Missing => {
                let reason = if self.record.get(index).is_some() {
                    "the time is missing"
                } else {
                    "the row has too few columns"
                };
                self.leave_out(reason.into());
            }
            TimeCell::Ambiguous => {
                let text = excerpt(cell(&self.record, Some(index)));
                let row = self.row_number();
                return Err(self.error(ImportProblem::AmbiguousTime { row, text }));
            }
            TimeCell::Text | TimeCell::At(_) => match self.excuse_for_text() {
                Some(reason) => self.leave_out(reason.into()),
                None if cell(&self.record, Some(self.layout.pressure.index)).is_empty() => {
                    self.not_understood("the row has no time and no pressure".into())?;
                }
                None => {
                    let text = excerpt(cell(&self.record, Some(index)));
                    let reason = format!("time \"{text}\" is not a time written like the others");
                    self.not_understood(reason)?;
                }
            },
        }
        Ok(None)
    }

    /// Adds a note once.
    fn note(&mut self, note: String) {
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }

    /// What was read; whole once [`TableReader::next_entry`] has returned `None`.
    #[must_use]
    pub fn summary(&self) -> ImportSummary {
        let same = self.order.same_time();
        let rows = if same == 1 {
            "row carries"
        } else {
            "rows carry"
        };
        let once = &self.row.once;
        let more = [
            (same > 0).then(|| format!("{same} {rows} the same time as the row above")),
            once.unknown_state.as_ref().map(|word| {
                format!("state \"{word}\" is not one of ok, over, under, fault, gap: passed over")
            }),
            once.odd_temperature.then(|| {
                "temperatures that are no number, or no likely °C, are left out".to_owned()
            }),
            once.held_mark
                .then(|| "a mark repeated row after row counts once".to_owned()),
        ];
        let of_column = self.column_unit.as_ref().map(|column| column.unit);
        ImportSummary {
            counts_from_air: self.row.counts_from_air(),
            rows: self.tally.rows(),
            used: self.tally.used_rows(),
            rejected: self.tally.rejected(),
            rejected_rows: self.tally.rejected_rows(),
            unit: self.row.first_unit.map(stated).or(of_column),
            column_unit: self.column_unit.clone(),
            notes: self
                .notes
                .iter()
                .cloned()
                .chain(more.into_iter().flatten())
                .collect(),
        }
    }
}
