//! The record of a run: written so that nothing is lost, read back so that
//! nothing is believed blindly.
//!
//! - [`RunWriter`] records into a run folder of its own.
//! - [`Source`] reads a run folder, its `trace.csv`, or any CSV with a time and
//!   a pressure column ([`foreign_csv`]), one [`Entry`](vacuum::Entry) at a time in
//!   flat memory.
//! - [`verify`] says whether a run folder is what was recorded, and what was
//!   sealed by [`seal_run`] with a [`SealKey`](seal_keys::SealKey); [`check_stamp`] says when that seal
//!   existed by somebody else's clock.
//! - [`JobFile`] reads the job data a technician wrote.
//!
//! ```
//! use chrono::{TimeDelta, TimeZone, Utc};
//! use run_record::{Answer, ImportOptions, RunHeader, RunWriter, SealMoment, Source};
//! use seal_keys::SealKey;
//! use vacuum::{Entry, Pressure, Reading};
//!
//! # let place = tempfile::tempdir()?;
//! // recorded: each row is on its way to the disk before the next one is taken
//! let started = Utc.with_ymd_and_hms(2026, 3, 14, 9, 15, 0).unwrap();
//! let mut run = RunWriter::create(place.path(), &RunHeader::default(), started)?;
//! for (second, micron) in [18_500.0, 9_200.0, 4_600.0].into_iter().enumerate() {
//!     let reading = Reading::measured(second as f64, Pressure::from_micron(micron)?);
//!     run.append(&Entry::Reading(reading), started + TimeDelta::seconds(second as i64))?;
//! }
//! let run = run.finish()?;
//!
//! // sealed
//! let (key, _) = SealKey::load_or_make(&place.path().join("own/key.pem"))?;
//! let moment = SealMoment::AtTheEnd { last_link: run.last_link };
//! run_record::seal_run(&run.folder, &key, "example", started, moment)?;
//!
//! // read back, and checked by whoever has the public half of the key
//! let mut source = Source::open(&run.folder, &ImportOptions::default())?;
//! while source.next_entry()?.is_some() {}
//! assert_eq!(source.summary().used, 3);
//! let found = run_record::verify_by(&run.folder, [&key.public()])?;
//! assert_eq!(found.answer(true), Answer::AsSealed);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
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
//! # What this crate never does
//! No judging, no drawing, no gauge. It never corrects data.

mod backlog;
mod chain;
mod chained;
mod clock_steps;
mod error;
mod finished;
mod header;
mod health;
mod link;
mod notice;
mod parts;
mod resume;
mod run;
mod run_folder;
mod scale;
mod scale_row;
mod seal;
mod source;
mod stamp;
mod storage;
mod summary;
mod superseded;
mod trace;
mod verify;
mod writer;

pub use chain::{BreakKind, ChainBreak, ChainStatus};
pub use clock_steps::ClockStep;
pub use error::RecordError;
pub use finished::FinishedHold;
pub use foreign_csv::ImportOptions;
pub use header::{Companion, JobFile, RunHeader, ScaleUsed};
pub use health::DiskHealth;
pub use link::Link;
pub use notice::DiskNotice;
pub use parts::{PartRead, TornTail};
pub use resume::Resumed;
pub use run::{RunReader, is_being_recorded};
pub use run_folder::put_file;
pub use scale::ScaleReader;
pub use seal::{
    FileKind, PlacedProducts, Products, Seal, SealError, SealMoment, Uncovered, WrittenProducts,
    check_before_products, is_sealed, record_digest, seal_products, seal_run, sealed_product,
};
pub use source::Source;
pub use stamp::{
    ClockAhead, SealStamp, SealToStamp, StampCheck, StampError, Stamping, check_stamp,
};
pub use storage::{Disturbance, Disturbed, FolderStorage, Storage};
pub use summary::Summary;
pub use table_rows::RejectedRow;
pub use verify::{
    Answer, FileChange, FileChangeKind, RowChange, RowChangeKind, SealCheck, TraceCheck,
    Verification, verify, verify_by, verify_with,
};
pub use writer::{FinishedRun, Rescued, RunWriter, safe_name};
