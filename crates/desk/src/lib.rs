//! Many records as one table, for whoever checks claims: seals checked, judged anew by this
//! version, compared with what the shop said, and with what a clerk should look at.
//!
//! # What it never does
//! Print, parse a command line, draw a page, or change a record.

mod across;
mod alone;
mod cache;
mod caught;
mod curve;
mod facts;
mod flag;
mod reading;
mod repair;
mod row;
mod rows;
mod rule;
mod said;
mod seal;
mod walk;

pub use across::{RepeatDays, flag_across};
pub use cache::Cache;
pub use curve::CurveInBins;
pub use flag::{Flag, FlagCode};
pub use reading::{Measure, row_of};
pub use row::{Round, Row, RowKind, Said, SealState};
pub use rows::{Making, rows_of};
pub use walk::{Thing, part_of, walk};
