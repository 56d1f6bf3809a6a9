//! Reading any CSV that has a time and a pressure column.

mod cells;
mod clock;
mod columns;
mod encoding;
mod layout;
pub(crate) mod names;
mod newest_first;
mod options;
mod order;
mod row;
mod sample;
mod stamp;
mod table;
mod text;
mod words;

pub(crate) use table::TableReader;

pub use options::{ImportOptions, TimeUnit, parse_pressure_unit};
