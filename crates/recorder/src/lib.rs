//! Joins gauges, record and judgement, in that order: on disk first, judged second, shown
//! third.
//!
//! [`Plan`] says which gauges are read and opens them; [`Recorder`] makes or goes on with a
//! run folder and records until it is stopped. What views show is published through the
//! live model of the crate `watch`; a recording goes on whether or not anybody looks, and a
//! view that is stuck holds nothing up. [`unattended`] decides for a board that records by
//! itself when a run begins and ends.
//!
//! # What it never does
//! Print, read a keyboard, parse a command line, draw, or know a simulated gauge: marks with
//! times of their own come through [`TimedMarks`].
//!
//! # Example
//! Records what a gauge once said from a capture:
//! ```
//! use std::{future::{Future, pending}, pin::Pin, sync::Arc};
//! use recorder::{GaugeChoice, Marks, Operator, Plan, PumpSideChoice, Recorder};
//!
//! struct Alone;
//! impl Operator for Alone {
//!     fn warn(&self, words: &str) { eprintln!("{words}"); }
//!     fn stands_still(&self, words: &str) { eprintln!("{words}"); }
//!     fn tell(&self, words: &str) { eprintln!("{words}"); }
//!     fn gives_up(&self) -> Pin<Box<dyn Future<Output = ()> + '_>> { Box::pin(pending()) }
//! }
//!
//! # let folder = tempfile::tempdir()?;
//! let capture = folder.path().join("gauge.capture");
//! std::fs::write(&capture, "512 micron\r\n498 micron\r\n")?;
//! let port = format!("file:{}", capture.display());
//! let gauge = GaugeChoice { port: &port, dialect: "number-unit-line", baud: None, barometer: None };
//! let none = PumpSideChoice::default();
//! let plan = Plan::new(gauge, none, &Default::default(), (false, false))?;
//! let header = run_record::RunHeader {
//!     software: "example".into(),
//!     ..Default::default()
//! };
//! let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
//! let recorded = runtime.block_on(async {
//!     let gauges = plan.open().await?;
//!     let companions = plan.companions();
//!     let settings = analyser::Settings::default();
//!     let recorder =
//!         Recorder::start(folder.path(), &header, plan.dialect(), settings, companions)?;
//!     recorder
//!         .record(gauges, Marks::default(), Arc::new(Alone), pending(), || false)
//!         .await
//! })?;
//! assert_eq!(recorded.readings, 2);
//! assert!(recorded.run.folder.join("trace.csv").is_file());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod asked;
mod clock;
mod companions;
mod disk_room;
mod error;
mod flush;
mod gauges;
mod judge;
mod line_quality;
mod operator;
mod recording;
mod stop_requests;
mod time_line;
pub mod unattended;
mod watchdog;

pub use companions::{Companions, PUMP_SIDE_NAME};
pub use disk_room::free_bytes;
pub use error::RecorderError;
pub use gauges::{GaugeChoice, Gauges, Plan, PumpSideChoice, ScaleChoice, Who};
pub use line_quality::LineQuality;
pub use operator::{Marks, Operator, TimedMarks};
pub use recording::{Ending, Recorded, Recorder};
pub use stop_requests::{StopRequests, asked_to_stop};
