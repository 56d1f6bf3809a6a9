//! Many records as one table, for whoever checks claims: seals checked, judged anew by this
//! version, compared with what the shop said, and with what a clerk should look at.
//!
//! # What it never does
//! Print, parse a command line, draw a page, or change a record.

mod curve;
mod flag;
mod row;

pub use curve::CurveInBins;
pub use flag::{Flag, FlagCode};
pub use row::{Round, Row, RowKind, Said, SealState};
