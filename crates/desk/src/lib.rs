//! Many records as one table, for whoever checks claims: seals checked, judged anew by this
//! version, compared with what the shop said, and with what a clerk should look at.
//!
//! # What it never does
//! Print, parse a command line, draw a page, or change a record.

mod across;
mod alone;
mod cache;
mod caught;
mod choose;
mod columns;
mod csv_file;
mod curve;
mod cut;
mod facts;
mod flag;
mod json_lines;
mod lines;
mod listing;
mod reading;
mod repair;
mod row;
mod rows;
mod rule;
mod run_table;
mod said;
mod seal;
mod walk;

pub use across::{RepeatDays, flag_across, without_flags_across};
pub use cache::Cache;
pub use choose::{Condition, SortBy};
pub use columns::{COLUMNS, Cell, Column};
pub use csv_file::write_csv;
pub use curve::CurveInBins;
pub use flag::{Flag, FlagCode};
pub use json_lines::{read_json_lines, write_json_lines};
pub use lines::{closing_line, table_lines};
pub use listing::{Wanted, listed};
pub use reading::{Measure, row_of};
pub use row::{Round, Row, RowKind, Said, SealState};
pub use rows::{Making, rows_of};
pub use run_table::{Listed, closing_words, run_table};
pub use walk::{Thing, part_of, walk};
