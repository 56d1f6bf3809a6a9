//! What the records of a shop say of its pumps, hose sets and gauges.
//!
//! Facts of runs go in ([`Run`]), with what was noted about the parts ([`Note`]); hours on
//! the oil, trends, limits and warnings come out. Everything here is a pure function.
//!
//! ```
//! use rig_history::{Note, NoteKind, Run, oil_hours};
//!
//! let run = |began_s: f64, hours: f64| Run {
//!     pump: Some("pump 1".into()),
//!     pumped_h: Some(hours),
//!     ..Run::began(began_s)
//! };
//! let runs = [run(0.0, 2.0), run(90_000.0, 1.5), run(180_000.0, 0.25)];
//! let change = Note::of(50_000.0, "Pump 1", NoteKind::OilChange, "");
//! let found = oil_hours(&runs, &[change], "pump 1", f64::INFINITY);
//! assert_eq!((found.hours, found.since_s), (1.75, Some(50_000.0)));
//! ```
//!
//! # What this crate does not do
//! No I/O, no clock, no words. It judges no test: it says what is usual for a rig.

mod compared;
mod facts;
mod oil;
mod oil_kind;
mod overview;
mod pumping;
mod share;
mod theil_sen;
mod usual;
mod warnings;

pub use compared::{Agreement, e_n};
pub use facts::{Beside, Note, NoteKind, Run, same_name};
pub use oil::{OilHours, oil_hours};
pub use oil_kind::{OilKind, carried_over};
pub use overview::{GaugeNow, HoseNow, LastTest, Overview, PumpNow, overview};
pub use pumping::pumped_s;
pub use share::{RigShare, share};
pub use theil_sen::{Line, theil_sen};
pub use usual::history;
pub use warnings::{NextJob, Warning, warnings};
