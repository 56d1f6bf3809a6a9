//! The record of a run: written so that nothing is lost, read back so that
//! nothing is believed blindly.
//!
//! - [`RunWriter`] records into a run folder of its own.
//! - [`Source`] reads a run folder, its `trace.csv`, or any CSV with a time and
//!   a pressure column, one [`Entry`](vacuum::Entry) at a time in flat memory.
//! - [`verify`] says whether a run folder is what was recorded, and what was
//!   sealed by [`seal_run`] with a [`SealKey`]; [`check_stamp`] says when that seal
//!   existed by somebody else's clock.
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
//! Understood: UTF-8 with or without a byte-order mark, UTF-16 likewise,
//! single-byte code pages; LF, CRLF and CR, mixed too; comma, semicolon, tab, bar
//! and blanks between cells; lines before the header; a row of units below it;
//! decimal commas, thousands, lakhs, exponents, quoted numbers. Where numbers hold
//! the sign that ends cells, the file is refused: it cannot be told what is what.
//!
//! *Time*: elapsed numbers in the unit of the header (`elapsed_s`, `Time (min)`,
//! `t/ms`; without a unit, seconds), epoch seconds to nanoseconds told by their
//! size, spreadsheet day numbers, `h:mm:ss`, `1 day, 2:03:04`, 12-hour clocks,
//! RFC 3339, RFC 9557, ISO 8601, `20260314091500` and the usual date orders, date
//! and time in two columns. Offsets may change on the way (summer time), as
//! numbers or as the abbreviations of RFC 5322 and of Europe.
//!
//! *Order*: a file that runs newest first is read from its end. Equal times are
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
//! *Left out*, counted and listed by row in [`Summary`]: rows without time or
//! pressure, repeated headers, rows out of place, damaged or cut off at the end of
//! the file, and rows in which something was not understood (text for a number, a
//! pressure below zero or above 10 MPa). Where more than a fifth of the rows was
//! not understood the file is refused, for the rest may not have been either.
//!
//! [gap]: vacuum::Sensed::Gap
//!
//! # What this crate does not do
//! No judging, no drawing, no gauge. It never corrects data.

mod backlog;
mod chain;
mod chained;
mod error;
mod finished;
mod header;
mod health;
mod import;
mod link;
mod notice;
mod number;
mod parts;
mod resume;
mod run;
mod seal;
mod source;
mod stamp;
mod storage;
mod summary;
mod superseded;
mod trace;
mod verify;
mod whole_file;
mod writer;

pub use chain::{BreakKind, ChainBreak, ChainStatus};
pub use error::{RecordError, UnitRefused, io_words};
pub use finished::FinishedHold;
pub use header::{Companion, JobFile, RunHeader};
pub use health::DiskHealth;
pub use import::{ImportOptions, TimeUnit, parse_pressure_unit};
pub use link::Link;
pub use notice::DiskNotice;
pub use parts::{PartRead, TornTail};
pub use resume::Resumed;
pub use run::{RunReader, is_being_recorded};
pub use seal::{
    BadStatement, DoubtfulStatement, FileKind, KeyReplacement, KeyRevocation, KeyRing,
    KeyRingParts, KeyStanding, KeyStatement, KeyStep, KeyTrouble, NotAPublicKey, Passphrase,
    PlacedProducts, Products, PublicKey, RegisterEnd, RegisterEntry, Replaced, RevokedKey,
    RevokedListError, Seal, SealError, SealKey, SealMoment, Uncovered, WrittenProducts,
    check_before_products, fingerprint, is_sealed, moment, read_revoked_list, read_statements,
    record_digest, replace_key, revoke_key, seal_products, seal_run, sealed_product,
    set_passphrase, split_statements, statements_to_hand_on,
};
pub use source::Source;
pub use stamp::{
    ClockAhead, SealStamp, SealToStamp, StampCheck, StampError, Stamping, check_stamp,
};
pub use storage::{Disturbance, Disturbed, FolderStorage, Storage};
pub use summary::{RejectedRow, Summary};
pub use verify::{
    Answer, FileChange, FileChangeKind, RowChange, RowChangeKind, SealCheck, TraceCheck,
    Verification, verify, verify_by, verify_with,
};
pub use whole_file::put_file;
pub use writer::{FinishedRun, Rescued, RunWriter, safe_name};
