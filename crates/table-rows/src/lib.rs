//! What every reader of a text table needs: numbers read fast and exactly, rows
//! counted, rows left out with the reason, cells that can be shown in a message, and cells that
//! a spreadsheet would run.
//!
//! ```
//! use table_rows::{Tally, excerpt, short_number};
//!
//! let mut tally = Tally::default();
//! for (row, cell) in ["512.5", "511.9", "51?.2"].iter().enumerate() {
//!     tally.row();
//!     match short_number(cell.as_bytes(), b'.') {
//!         Some(_) => tally.used(),
//!         None => tally.reject(row as u64 + 1, || {
//!             format!("\"{}\" is not a number", excerpt(cell.as_bytes()))
//!         }),
//!     }
//! }
//! tally.check_end()?;
//! assert_eq!((tally.rows(), tally.used_rows(), tally.rejected()), (3, 2, 1));
//! assert_eq!(tally.rejected_rows()[0].row, 3);
//! # Ok::<(), table_rows::TallyProblem>(())
//! ```
//!
//! # What this crate never does
//! It opens no file, knows no column, and corrects nothing.

mod excerpt;
mod formula;
mod number;
mod tally;

pub use excerpt::excerpt;
pub use formula::begins_a_formula;
pub use number::short_number;
pub use tally::{RejectedRow, Tally, TallyProblem};
