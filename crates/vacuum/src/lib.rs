//! The vocabulary of an evacuation, and the published formulas everything else
//! stands on.
//!
//! Nouns that two crates exchange ([`Pressure`], [`Reading`], [`Mark`], [`Job`],
//! [`Criteria`]) and formulas with a published source ([`water`], [`leak`],
//! [`flow`], [`refrigerant`]).
//!
//! ```
//! use vacuum::{Pressure, PressureUnit};
//!
//! let target: Pressure = "500 micron".parse()?;
//! assert!((target.pa() - 66.6612).abs() < 1e-4);
//! assert_eq!(target.display(PressureUnit::Millibar).to_string(), "0.667 mbar");
//! # Ok::<(), vacuum::PressureError>(())
//! ```
//!
//! # What this crate does not do
//! No I/O, no clock, no serialisation, no async, no judging. File and JSON
//! shapes live in the crates that read and write them.

mod criteria;
pub mod flow;
pub mod gas;
mod job;
pub mod leak;
mod mark;
pub mod mass;
mod pressure;
mod pressure_text;
mod reading;
mod record_unit;
pub mod refrigerant;
mod sheet;
mod unit;
mod unit_word;
pub mod water;

pub use criteria::{Criteria, CriteriaError};
pub use job::{AccessSides, GaugeIdentity, Job, PUMP_SIDE, is_pump_side};
pub use mark::{Mark, MarkKind};
pub use pressure::{Pressure, PressureError};
pub use pressure_text::DisplayPressure;
pub use reading::{Entry, Reading, ReadingState, Sensed};
pub use record_unit::{RecordUnit, UnitBasis};
pub use refrigerant::Refrigerant;
pub use sheet::{DayClock, Language, Paper, SheetChoices, SheetField, Zone};
pub use unit::PressureUnit;
pub use unit_word::{Remedy, UnitWord};

/// Zero of the Celsius scale in kelvin (ITS-90, exact).
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// Molar gas constant, J/(mol·K) (SI 2019, exact product of two defined constants).
pub const GAS_CONSTANT_J_PER_MOL_K: f64 = 8.314_462_618_153_24;
