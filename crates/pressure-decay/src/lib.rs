//! Judges a pressure test: dry gas in, supply shut, wait, and how much gas is left?
//!
//! [`PressureDecay`] takes readings one by one, keeps a bounded memory of them, and says at
//! any moment what they show ([`PressureDecay::findings`]).
//!
//! ```
//! use findings::Verdict;
//! use pressure_decay::{PressureDecay, Setup};
//! use vacuum::{AllowedLoss, Pressure, Reading};
//!
//! let mut test = PressureDecay::new(Setup {
//!     volume_l: Some(2.0),
//!     limit: Some(AllowedLoss::Throughput { pa_m3_per_s: 0.02 }),
//!     shut_at_s: Some(0.0),
//!     ..Setup::default()
//! });
//! for second in 0..3600 {
//!     // 11 bar that loses gas at a tenth of it in an hour, less as the pressure falls
//!     let pa = 11e5 * (-f64::from(second) / 36_000.0).exp() + f64::from(second % 7) * 20.0;
//!     let mut reading = Reading::measured(f64::from(second), Pressure::from_pa(pa)?);
//!     reading.temperature_c = Some(20.0 + f64::from(second % 3) * 0.01);
//!     test.push(&reading);
//! }
//! let found = test.findings();
//! assert_eq!(found.verdict, Verdict::Fail);
//! let lost = found.decay.expect("an hour of readings").lost_per_hour;
//! assert!(lost.low < 0.1 && 0.1 < lost.high);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The method, in short
//! The amount of gas is p·V/(Z·R·T). Its logarithm is regressed on time (the mass-point
//! form of ANSI/ANS-56.8, in which a test passes on the upper 95 % limit of the loss, not
//! on the fit). What else moves it is known to some extent only, and is part of the
//! covariance of the readings: the heat of filling that goes, the thermometer that lags
//! or sits where the gas is not, what it cannot see, the barometer under a gauge that
//! counts from it, the steps and the noise of the gauge. `METHOD.md` beside this crate says each with its
//! size and reason.
//!
//!
//! # What this crate does not do
//! No I/O, no clock, no words. It does not judge an evacuation.

mod acts;
mod closed;
mod findings_of;
mod gas_amount;
mod live;
mod memory;
mod posterior;
mod series;
mod setup;
mod smooth;
mod supply;
mod wander;

pub use memory::PressureDecay;
pub use setup::{GaugeZero, Known, Setup};
