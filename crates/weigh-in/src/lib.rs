//! Judges a weigh-in: the refrigerant cylinder stands on a scale and gets lighter; how much
//! went in, and how sure is that?
//!
//! [`WeighIn`] takes what the scale says and the acts that were stamped, one by one, keeps a
//! bounded memory of them, and says at any moment what they show ([`WeighIn::charge`]). Live
//! and over a record it is the same code.
//!
//! ```
//! use vacuum::{ChargingAct, Mark, MarkKind, Mass, Steadiness, Weighed, Weighing};
//! use weigh_in::{Setup, WeighIn};
//!
//! let mut weigh_in = WeighIn::new(Setup {
//!     nameplate_g: Some(58.0),
//!     ..Setup::default()
//! });
//! let act = |elapsed_s, act: ChargingAct| Mark {
//!     elapsed_s,
//!     kind: MarkKind::Note,
//!     note: act.remark().into(),
//! };
//! weigh_in.mark(&act(5.0, ChargingAct::WeighInBegins));
//! for tenth in 0..600_u32 {
//!     let elapsed_s = f64::from(tenth) / 10.0;
//!     let g = 4812.6 - (elapsed_s - 10.0).clamp(0.0, 29.1) * 2.0;
//!     let mass = Mass::from_g((g * 5.0).round() / 5.0).expect("a mass");
//!     weigh_in.push(&Weighing {
//!         elapsed_s,
//!         weighed: Weighed::Mass { mass, tare: None, steadiness: Steadiness::Unsaid },
//!     });
//! }
//! weigh_in.mark(&act(60.0, ChargingAct::WeighInEnds));
//! let charge = weigh_in.charge().expect("a weigh-in");
//! let charged = charge.charged_g.expect("it stood still before and after");
//! assert!(charged.low < 58.2 && 58.2 < charged.high);
//! assert!(charged.high - charged.low < 1.0);
//! ```
//!
//! # The method
//! A **rest** is a stretch in which the scale stands still: by its own word where it says so,
//! else because its values do. What left the cylinder is the mean of the last rest before the
//! cylinder was opened, less the mean of the last rest of the weigh-in. The standard
//! uncertainty of that difference has these parts, independent of each other:
//!
//! - the step of the scale, at each end: step/√12 (rectangular; JCGM 100:2008 (GUM),
//!   4.3.7). Averaging does not make it smaller, because a scale that stands still repeats
//!   the same step;
//! - what its values scatter in each rest, over the square root of the readings that are
//!   independent: two a second at most, for scales filter (common practice, no source);
//! - creep: half a step over half an hour, as a rectangular bound (what OIML R 76-1 allows
//!   of a legal scale, from memory); where both rests drift the same way by more than three
//!   standard errors, the smaller slope over the time between as well.
//!
//! The 95 % interval is 1.96 times their root sum of squares. What the scale's own
//! calibration is off is not in it: nothing here can know it.
//!
//! A scale that moves as no flow moves it was **touched**: upwards at all by more than
//! scatter and steps, or downwards faster than 50 g/s (common practice, no source: a hose of
//! a quarter inch passes less). A knock that is seen to come back costs nothing. What does not
//! come back may still lie on the scale, and refrigerant that flows meanwhile hides how much:
//! then no mass is said. Simulated weigh-ins (`tests/simulated.rs`) show how often that is
//! right.
//!
//! # What this crate does not do
//! No I/O, no clock, no words. It does not know what hoses keep: that is given.

mod disturbance;
mod judge;
mod rest;
mod steps;

pub use judge::{DEFAULT_TOLERANCE_G, Setup, WeighIn};
