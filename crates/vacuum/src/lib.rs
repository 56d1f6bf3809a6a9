//! The vocabulary of an evacuation, and the published formulas everything else
//! stands on.
//!
//! Nouns that two crates exchange ([`Pressure`], [`Reading`], [`Mark`], [`Job`],
//! [`Criteria`]) and formulas with a published source ([`air`], [`water`],
//! [`leak`], [`flow`], [`refrigerant`]).
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

pub mod air;
mod charging;
mod criteria;
pub mod flow;
pub mod gas;
mod job;
pub mod leak;
mod mark;
pub mod mass;
mod mass_unit;
mod pressure;
mod pressure_text;
mod reading;
mod record_unit;
pub mod refrigerant;
mod sheet;
pub mod temperature;
mod test_gas;
mod test_plan;
mod test_profile;
mod unit;
mod unit_word;
pub mod water;
mod weighing;

pub use charging::ChargingAct;
pub use criteria::{Criteria, CriteriaError, FurtherCriteria, RoundCriteria, Steady};
pub use job::{AccessSides, GaugeIdentity, GaugePrinciple, Job, PUMP_SIDE, is_pump_side};
pub use mark::{Mark, MarkKind};
pub use mass_unit::MassUnit;
pub use pressure::{Pressure, PressureError};
pub use pressure_text::DisplayPressure;
pub use reading::{Entry, Reading, ReadingState, Sensed};
pub use record_unit::{RecordUnit, UnitBasis};
pub use refrigerant::{COLD_LOW_SIDE_C, Refrigerant};
pub use sheet::{DayClock, Language, Paper, SheetChoices, SheetField, Zone};
pub use test_gas::TestGas;
pub use test_plan::{AllowedLoss, TestKind, TestPlan};
pub use test_profile::TestProfile;
pub use unit::PressureUnit;
pub use unit_word::{Remedy, UnitWord};
pub use weighing::{Mass, Steadiness, Weighed, Weighing};

/// Zero of the Celsius scale in kelvin (ITS-90, exact).
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// Molar gas constant, J/(mol·K) (SI 2019, exact product of two defined constants).
pub const GAS_CONSTANT_J_PER_MOL_K: f64 = 8.314_462_618_153_24;
