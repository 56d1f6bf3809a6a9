//! Reads one record from start to end, judges it, and makes curve, sheet and findings.
//!
//! [`Record::open`] reads what the record says of itself, [`Record::judge`] goes through its
//! rows once, with those of other gauges beside; [`make_products`] draws what came out into a
//! folder; [`read_logo`] draws a picture from others in a process of its own; a run folder in
//! a zip archive is read as if it lay there ([`OnDisk`]). [`runs_below`] finds run folders,
//! [`in_order`] works on many at once.
//!
//! # What it never does
//! Print, parse a command line, or change a record.
//!
//! # Example
//! ```
//! use analyser::{Settings, Verdict};
//! use run_review::{Draw, Record};
//!
//! # let folder = tempfile::tempdir()?;
//! let path = folder.path().join("table.csv");
//! std::fs::write(&path, "time (s),pressure (micron)\n0,900\n1,850\n2,800\n")?;
//! let record = Record::open(&path, &Default::default())?;
//! let judged = record.judge(Settings::default(), Draw::No, &Default::default())?;
//! assert_eq!(judged.findings.verdict, Verdict::NotProven);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod as_recorded;
mod blank_off;
mod calibration;
mod decay;
mod error;
mod in_order;
mod judge;
mod judged_test;
mod known_findings;
mod logo;
mod moment;
mod on_disk;
mod origin;
mod other_gauges;
mod picture_process;
mod products;
mod rig;
mod runs_below;
mod subject;
mod weighed;

pub use blank_off::JudgedBlankOff;
pub use calibration::overdue as calibration_overdue;
pub use decay::JudgedDecay;
pub use error::{ProductError, ReviewError};
pub use in_order::{all_cores, in_order};
pub use judge::{Judged, Record};
pub use judged_test::JudgedTest;
pub use known_findings::known_findings;
pub use logo::{logo_in_run, photo_in_run, read_logo, read_photo};
pub use moment::{Moment, Placed};
pub use on_disk::OnDisk;
pub use origin::{Chosen, Origin};
pub use other_gauges::{Advice, Draw, OtherGauge};
pub use picture_process::{DRAW_PICTURE, answer_with_picture};
pub use products::{Made, are_in, make_products};
pub use rig::{RigRecords, before_the_job, shop_of};
pub use runs_below::{RunsBelow, is_run, records_at, runs_below};
pub use subject::Subject;
