//! What to weigh out so that the nameplate charge ends in the system.
//!
//! A [`Plan`] goes in: refrigerant, nameplate charge, room temperature, hoses and what they
//! hold, scale, cylinder. A [`Weighing`] comes out: what hoses keep, what to weigh out, how
//!
//! ```
//! use charge::{Hose, Plan, work_out};
//! use refrigerant_tables::Substance;
//!
//! let isobutane = Substance::named("R-600a")?;
//! let plan = Plan {
//!     hoses: vec![Hose::read("4.8:0.9:liquid")?],
//!     ..Plan::new(isobutane, 58.0, 20.0)
//! };
//! let found = work_out(&plan)?;
//! // CoolProp 8.0.0: 16.29 mL of 556.86 kg/m³
//! assert!((found.left_g - 9.07).abs() < 0.01);
//! assert!((found.weigh_out_g - 67.07).abs() < 0.01);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What this crate does not do
//! No I/O, no clock, no words but those of its errors: the sentences are in `wording`. It
//! reads no scale.
//!

mod cylinder;
mod hose;
mod limits;
mod order;
mod plan;
mod scale;
mod warning;
mod weighing;

pub use cylinder::{
    ChargingCylinder, SAFE_FILL_C, SAFE_FILL_SHARE, SafeFill, dial_error, level_fall_ml,
};
pub use hose::{Contents, Held, Hose, HoseError, Manifold};
pub use limits::{Appliance, ChargeLimit, charge_limits};
pub use order::ChargingStep;
pub use plan::{DrawIn, Plan, Refused, usual_tolerance_g};
pub use scale::{ScaleFit, scale_standard_g};
pub use warning::Warning;
pub use weighing::{DrawnIn, InSystem, Spread, Standing, Weighing, work_out};
