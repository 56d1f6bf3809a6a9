//! The bounded memory of a run, whatever its length and whatever kind of test it is.
//!
//! Readings go in one by one. What stays are blocks of readings, fine when recent and
//! coarser with age ([`History`]); stretches without a measurement ([`Outages`]); when the
//! target was reached ([`TargetStretches`]). From the blocks come the noise and the step of
//! the gauge ([`gauge_noise()`]) and a smoothed curve ([`log_bins()`]).
//!
//! ```
//! use run_memory::{History, gauge_noise};
//!
//! let mut history = History::default();
//! for i in 0..600 {
//!     // a gauge with steps of 1 micron that flickers
//!     let micron = 200.0 + f64::from(i * 7_919 % 101 % 4);
//!     history.push(f64::from(i), micron, None);
//! }
//! let blocks = history.blocks();
//! assert_eq!(blocks.len(), 600);
//! assert_eq!(gauge_noise(&*blocks).step_micron, Some(1.0));
//! ```
//!
//! # What this crate does not do
//! It judges nothing and knows no kind of test. No I/O, no clock; times are those of the
//! readings, in s of the run, and never go backwards.

mod gauge_noise;
mod history;
mod log_bins;
mod outage;
mod target_stretches;

pub use gauge_noise::{GaugeNoise, StepTable, gauge_noise};
pub use history::{Block, History};
pub use log_bins::{LogBin, log_bins, log_bins_of_points, noise_of, turns};
pub use outage::{Outage, Outages};
pub use target_stretches::TargetStretches;
