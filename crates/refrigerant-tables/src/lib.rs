//! Saturation of refrigerants: at which pressure they boil, and how dense liquid and vapour
//! are there.
//!
//! The numbers are a table in this crate, written by `tables/make.py` with the reference
//! library CoolProp 8.0.0, from −40 to 60 °C in steps of 5 K (or to a tenth of a kelvin
//! below the critical point, with closer steps there). Between them is interpolated. At
//! temperatures drawn at random for every substance the result agrees with the library
//! within 0.1 %, and within 0.5 % in the last 5 K below a critical point
//! (`tests/reference.rs`; the worst that was measured is 0.006 %).
//!
//! A blend has two pressures at one temperature: its liquid begins to boil at the bubble
//! point and its vapour begins to condense at the dew point. All its numbers are those of the
//! nominal composition, which is that of the liquid in a full cylinder; vapour that
//! is drawn from a cylinder has another composition. Blends for which the library has no
//! published interaction of every pair of parts are not in the table, and are refused by name.
//!
//! ```
//! use refrigerant_tables::Substance;
//!
//! let isobutane = Substance::named("R600a")?;
//! let at_20 = isobutane.saturation_at(20.0)?;
//! // CoolProp 8.0.0
//! assert!((at_20.bubble_pa / 302_200.0 - 1.0).abs() < 1e-3);
//! assert!((at_20.liquid_kg_m3 / 556.86 - 1.0).abs() < 1e-3);
//! // the other way round
//! assert!((isobutane.dew_temperature_c(at_20.dew_pa)? - 20.0).abs() < 1e-3);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What this crate does not do
//! No I/O, no units but those in the names: °C, Pa absolute, kg/m³. It does not guess which
//! refrigerant was meant, and does not reach beyond its table.

mod error;
mod interpolated;
mod saturation;
mod state;
mod substance;
mod table;

pub use error::{NoTable, OutsideTable};
pub use saturation::Saturation;
pub use substance::Substance;
