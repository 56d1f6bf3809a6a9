//! Judges a blank-off test: pump, hoses and gauge pull against a plug or a shut valve. How
//! low do they get, do they keep it, and are they as good as they were?
//!
//! [`BlankOff`] takes readings and marks one by one, and says at any moment what they show
//! ([`BlankOff::findings`]).
//!
//! ```
//! use blank_off::{BlankOff, Setup};
//! use findings::Verdict;
//! use vacuum::{Criteria, Entry, Mark, MarkKind, Pressure, Reading};
//!
//! let mut test = BlankOff::new(Setup {
//!     criteria: Criteria { hold_min: 10.0, ..Criteria::rig_half_hour() },
//!     ..Setup::default()
//! });
//! for second in 0..1_520 {
//!     let t = f64::from(second);
//!     // down to 40 micron, shut off after 15 min, 1 micron/min from there on
//!     let pumped = 40.0 + 700_000.0 * (-t.min(900.0) / 20.0).exp();
//!     let micron = pumped + (t - 900.0).max(0.0) / 60.0 + f64::from(second % 3) * 0.1;
//!     test.take(&Entry::Reading(Reading::measured(t, Pressure::from_micron(micron)?)));
//!     if second == 900 {
//!         let kind = MarkKind::PumpSideShut;
//!         test.take(&Entry::Mark(Mark { elapsed_s: t, kind, note: String::new() }));
//!     }
//! }
//! let found = test.findings();
//! assert_eq!(found.verdict, Verdict::Pass);
//! let floor = found.floor.expect("a quarter of an hour of pumping").micron;
//! assert!(floor.low <= 40.1 && 40.1 <= floor.high);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The method, in short
//! The fall is taken for a floor and up to two stores that give off gas at rates which fall
//! exponentially, averaged over all pairs of rates; what moves the readings otherwise is
//! part of their covariance. The floor is the pressure that another 20 minutes of pumping
//! would reach. What happens after isolation is judged by [`analyser`], as in any hold.
//! `METHOD.md` beside this crate says it in full.
//!
//! # What this crate does not do
//! No I/O, no clock, no words. It does not know where earlier tests come from: what they
//! were like is given to it ([`Setup::history`]).

mod floor;
mod judged;
mod mean_rise;
mod setup;
mod stretch;
mod test;

pub use setup::Setup;
pub use test::BlankOff;
