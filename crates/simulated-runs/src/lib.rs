//! Simulated runs whose truth is known, to measure an analyser on.
//!
//! Each function draws the run of a seed; the same seed always gives the same run.
//! [`bench_case`] draws a system, a gauge and a conduct for the plant of [`rehearsal`],
//! [`alike_case`] the same once more on another day;
//! [`formula_case`] puts a run together from closed formulas and shares nothing with the
//! plant; [`held_up_case`] has only pull-downs that stall; [`valve_case`] asks only when
//! the valve was shut; [`pressure_test_case`] is a pressure test with gas, [`blank_off_case`] one of pump and hoses
//! alone. [`write_csv`] writes a run as a table.
//!
//! ```
//! let case = simulated_runs::formula_case(4);
//! assert_eq!(case, simulated_runs::formula_case(4));
//! assert!(case.truth.verdict_acceptable.contains(&case.truth.verdict));
//! ```
//!
//! # What this crate does not do
//! It shares no formula with the analyser and does not know that one exists. No program
//! contains it: everything here is invented, and no run of it is evidence of anything.

mod blank_off;
mod cases;
mod formula;
mod held_up;
mod pressure_test;
mod table;
mod valve;

pub use blank_off::{BlankOffCase, RigStory, blank_off_case, blank_off_ending_at};
pub use cases::{Case, Hints, alike_case, bench_case};
pub use formula::formula_case;
pub use held_up::{HeldUp, held_up_case};
pub use pressure_test::{PressureStory, PressureTestCase, pressure_test_case};
pub use table::write_csv;
pub use valve::{ValveCase, valve_case};
