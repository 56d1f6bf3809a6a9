//! Reading any CSV that has a time and a pressure column.

mod cells;
mod clock;
mod columns;
mod layout;
pub(crate) mod names;
mod row;
mod stamp;
mod table;
mod text;

pub(crate) use table::TableReader;
