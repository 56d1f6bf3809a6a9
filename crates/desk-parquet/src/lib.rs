//! The table of a desk as Parquet files, for whoever asks questions of a thousand records
//! with the tools of statistics: one file of records, one of rounds, one of traces.
//!
//! Everything here is behind the feature `parquet`; without it this crate is empty, and
//! nothing of it is built.
//!
//! # The files
//! Columns have types (text, 64-bit floating point, time stamps in UTC, lists), and units
//! stand in their names. Absent knowledge is null. `path` is what joins the files.
//!
//! | file | one row is | columns that are no plain text or number |
//! |---|---|---|
//! | `write_rows` | a record | `started` time stamp; `readable` true or false; `reasons`, `flags` lists of codes; `evidence` list of (`flag`, `words`, `with`); `curve_log_micron` list of thousandths of log10 of the pressure in micron, in equal bins over `curve_span_s` |
//! | `write_rounds` | a pull-down and the hold after it | `started` time stamp; `round` from 1 on; `is_last` |
//! | `write_traces` | all readings of a record | `readings` list of (`t_s`, `micron`) |
//!
//! `made_by`, `partial` and `personal_data` stand in the key-value metadata of each file.
//! Without personal data the columns `technician` and `customer` are not in the file.
//!
//! # What it never does
//! Judge, read a record, or keep more than some thousand rows in memory.

#![cfg(feature = "parquet")]

mod columns;
mod file;
mod rounds;
mod rows;
mod traces;

pub use file::{FileOptions, ParquetError, beside};
pub use rounds::write_rounds;
pub use rows::write_rows;
pub use traces::{Trace, write_traces};
