//! The record of a run: written so that nothing is lost, read back so that
//! nothing is believed blindly.
//!
//! - [`RunWriter`] records into a run folder of its own.
//! - [`Source`] reads a run folder, its `trace.csv`, or any CSV with a time and
//!   a pressure column, one [`Entry`](vacuum::Entry) at a time in flat memory.
//! - [`verify`] says whether a run folder is what was recorded, and what was
//!   sealed by [`seal_run`] with a [`SealKey`].
//! - [`JobFile`] reads the job data a technician wrote.
//!
//! # The run folder
//! `FORMAT.md` beside this crate says it byte for byte: `job.toml`, `trace.csv` and the parts that
//! continue it, notes, links, versions, what a power cut may leave and what is
//! assumed of the disk. In short:
//!
//! - A row is always one line, chained to the one before by a [`Link`].
//! - Files of rows are only added to. After a failed write or sync nothing is
//!   ever written to that file again: recording goes on in the next part
//!   (`trace.2.csv`), which repeats the rows not known to be on disk. While no
//!   part can be made, rows stay in memory ([`RunWriter::take_notice`]).
//! - Each row is handed to the operating system as it comes and synced within a
//!   second. A torn end is found by its shape and its link, reported as
//!   [`TornTail`], and passed over: no reader alters a file.
//! - [`RunWriter::resume`] goes on with a record after a restart, in a new part.
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

mod backlog;
mod chain;
mod chained;
mod error;
mod header;
mod health;
mod import;
mod number;
mod parts;
mod resume;
mod run;
mod seal;
mod source;
mod storage;
mod superseded;
mod trace;
mod verify;
mod writer;

pub use chain::{BreakKind, ChainBreak, ChainStatus, Link};
pub use error::{RecordError, UnitRefused};
pub use header::{Companion, JobFile, RunHeader};
pub use health::{DiskHealth, DiskNotice};
pub use parts::{PartRead, TornTail};
pub use resume::Resumed;
pub use run::{RunReader, is_being_recorded};
pub use seal::{
    FileKind, NotAPublicKey, PublicKey, Seal, SealError, SealKey, SealMoment, is_sealed,
    record_digest, renew_products, seal_run,
};
pub use source::{ImportOptions, RejectedRow, Source, Summary, TimeUnit, parse_pressure_unit};
pub use storage::{FolderStorage, Storage, put_file};
pub use verify::{
    Answer, FileChange, FileChangeKind, RowChange, RowChangeKind, SealCheck, TraceCheck,
    Verification, verify, verify_by,
};
pub use writer::{FinishedRun, Rescued, RunWriter};
