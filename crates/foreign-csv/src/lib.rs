//! Any CSV with a time and a pressure column as readings and marks.
//!
//! ```
//! use foreign_csv::{ImportOptions, TableReader};
//! use plain_file::Links;
//! use vacuum::Entry;
//!
//! # let folder = tempfile::tempdir()?;
//! let path = folder.path().join("foreign.csv");
//! std::fs::write(&path, "Time (min);P (mbar)\n0;20,5\n0,5;18,25\n")?;
//! let mut table = TableReader::open(&path, Links::Follow, &ImportOptions::default())?;
//! let mut last = None;
//! while let Some(entry) = table.next_entry()? {
//!     if let Entry::Reading(reading) = entry {
//!         last = reading.pressure().map(|p| (reading.elapsed_s, p.mbar().round()));
//!     }
//! }
//! assert_eq!(last, Some((30.0, 18.0)));
//! assert_eq!(table.summary().used, 2);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What is understood
//! *Text*: UTF-8 with or without a byte-order mark, UTF-16 likewise,
//! single-byte code pages; LF, CRLF and CR, mixed too; comma, semicolon, tab, bar
//! and blanks between cells; lines before the header; a row of units below it; no
//! header at all, where one column only can be the time and one the pressure;
//! decimal commas, thousands, lakhs, exponents, quoted numbers. Where numbers hold
//! the sign that ends cells, the file is refused: it cannot be told what is what.
//!
//! *Time*: elapsed numbers in the unit of the header (`elapsed_s`, `Time (min)`,
//! `t/ms`; without a unit, seconds), epoch seconds to nanoseconds told by their
//! size, spreadsheet day numbers, `h:mm:ss`, `1 day, 2:03:04`, 12-hour clocks,
//! RFC 3339, RFC 9557, ISO 8601 with its weeks and days of the year,
//! `20260314091500` and the usual date orders, date and time in two columns. `12:34`
//! is minutes and seconds where the option, the header, a fraction behind it or a
//! first number above 24 says so; otherwise it is asked back, for hours and minutes
//! would make a hold sixty times as long. Offsets may change on the way (summer time), as
//! numbers or as the abbreviations of RFC 5322 and of Europe.
//!
//! *Order*: a file that runs newest first is reversed in memory, as long as its
//! rows fit into 64 MB. Equal times are
//! kept and counted. A row out of place is left out and listed. Where the clock
//! starts again (a logger restarted at the valve, a clock set), a [gap] stands
//! between the two stretches, because how much time passed there is not known: a
//! hold that spans it is not judged as if it were whole. A file in no order at
//! all is refused.
//!
//! *Pressure*: the unit comes from the option, the header (`P (mbar)`,
//! `pressure_pa`, `microns`), a `unit` column, or the cell (`512 micron`). It is
//! never guessed, and units measured from the outside air are refused. Words
//! for over range (`OL`, `over`, `>>>>`, `>25000`) and under range are bounds;
//! words for faults and for a gauge that is off are states; none is a reading.
//!
//! *Beside them*: `state`, `mark`, `note` and a temperature column.
//!
//! *Left out*, counted and listed by row in [`ImportSummary`]: rows without time or
//! pressure, repeated headers, rows out of place, damaged or cut off at the end of
//! the file, and rows in which something was not understood (text for a number, a
//! pressure below zero or above 10 MPa). Where more than a fifth of the rows was
//! not understood the file is refused, for the rest may not have been either.
//!
//! # What this crate never does
//! It guesses no unit, corrects no value, alters no file, and judges nothing. It names
//! no option of a program: what a person has to say is data ([`Missing`]), all of it at
//! once.
//!
//! [gap]: vacuum::Sensed::Gap

mod cells;
mod clock;
mod columns;
mod cut;
mod encoding;
mod error;
mod headerless;
mod layout;
mod names;
mod newest_first;
mod options;
mod order;
mod row;
mod rows;
mod sample;
mod settle;
mod stamp;
mod summary;
mod table;
mod text;
mod words;

pub use clock::FirstStamp;
pub use error::{ImportError, ImportProblem, Missing, RequiredColumn, UnitRefused};
pub use options::{ImportOptions, TimeUnit, TwoPart, parse_pressure_unit};
pub use summary::{ColumnUnit, ImportSummary};
pub use table::TableReader;
pub use table_rows::{RejectedRow, TallyProblem};
