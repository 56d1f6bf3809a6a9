//! The record of a run: written so that nothing is lost, read back so that
//! nothing is believed blindly.
//!
//! - [`RunWriter`] records into a run folder of its own.
//! - [`Source`] reads a run folder, its `trace.csv`, or any CSV with a time and
//!   a pressure column, one [`Entry`](vacuum::Entry) at a time in flat memory.
//! - [`verify`] says whether the rows of a run folder still fit together.
//! - [`JobFile`] reads the job data a technician wrote.
//!
//! # The run folder
//! `<started UTC, 20260314T091500Z>-<job id>/` holds plain text:
//!
//! **`job.toml`** (UTF-8, TOML): `format`, `software`, `started`, `dialect`,
//! `port`, and the tables `[job]`, `[gauge]`, `[criteria]`. Unknown keys are
//! passed over, so later versions may add some. Written whole to a temporary
//! file, synced and renamed.
//!
//! **`trace.csv`** (UTF-8, lines ended by LF, append-only): a header, then one
//! row, always one line, per reading or mark:
//!
//! | column | meaning |
//! |---|---|
//! | `seq` | 1, 2, 3 … |
//! | `elapsed_s` | seconds since the start on a clock that only goes forward, 3 decimals |
//! | `utc` | RFC 3339 with milliseconds |
//! | `pressure_micron` | up to 9 significant digits; the bound, if known, when `state` is `over` or `under` |
//! | `temperature_c` | °C, up to 4 decimals, or empty |
//! | `state` | `ok`, `over`, `under`, `fault`, `gap`; empty for a mark |
//! | `mark` | the act's code; empty for a reading |
//! | `note` | words beside a mark |
//! | `link` | 16 hexadecimal characters, see [`Link`] |
//!
//! In a note, `\\`, `\n`, `\r`, `\t` and `\xHH` stand for a backslash, line
//! ends, a tab and other control characters; a note that begins with `=`, `+`,
//! `-`, `@` or `'` has a `'` put before it, so that no spreadsheet runs it;
//! cells are quoted as RFC 4180 asks. All of this is undone on reading.
//!
//! # What survives
//! Each row is handed to the operating system as it comes and synced within a
//! second. A killed program loses no row; a power cut loses at most the last
//! second, and may leave a torn row or zeros at the end. That tail is found by
//! its missing line end and its link, reported as [`TornTail`], and passed over:
//! no reader alters the file. Assumed of the disk: what was synced stays, and
//! what was not may be missing or torn, only at the end.
//!
//! # Foreign CSV
//! Understood: UTF-8 with or without a byte-order mark, UTF-16, single-byte
//! code pages; LF, CRLF and CR; comma, semicolon, tab, bar and blanks between
//! cells; lines before the header; a row of units below it; decimal commas,
//! thousands, exponents, quoted numbers.
//!
//! *Time*: elapsed numbers in the unit of the header (`elapsed_s`, `Time (min)`,
//! `t/ms`; without a unit, seconds), epoch numbers, spreadsheet day numbers,
//! `h:mm:ss`, 12-hour clocks, ISO 8601 and the usual date orders, date and time
//! in two columns. Times may be equal but not go backwards.
//!
//! *Pressure*: the unit comes from the option, the header (`P (mbar)`,
//! `pressure_pa`, `microns`), a `unit` column, or the cell (`512 micron`). It is
//! never guessed, and units measured from the outside air are refused. Words
//! for over range (`OL`, `over`, `>>>>`, `>25000`) are bounds, not readings.
//!
//! *Beside them*: `state`, `mark`, `note` and a temperature column. Rows without
//! a usable pressure are counted and listed in [`Summary`]; text where a number
//! belongs is an error that names the row.
//!
//! # What this crate does not do
//! No judging, no drawing, no gauge. It never corrects data.

mod chain;
mod chained;
mod error;
mod header;
mod import;
mod number;
mod parts;
mod run;
mod source;
mod storage;
mod superseded;
mod trace;
mod verify;
mod writer;

pub use chain::{BreakKind, ChainBreak, ChainStatus, Link};
pub use error::{RecordError, UnitRefused};
pub use header::{Companion, JobFile, RunHeader};
pub use parts::{PartRead, TornTail};
pub use run::{RunReader, is_being_recorded};
pub use source::{ImportOptions, RejectedRow, Source, Summary, TimeUnit, parse_pressure_unit};
pub use storage::{FolderStorage, Storage, put_file};
pub use verify::{Verification, verify};
pub use writer::{FinishedRun, RunWriter};
