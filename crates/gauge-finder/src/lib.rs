//! Finding out what a gauge speaks, with a person or without one: what was heard is
//! shown; where no dialect fits, one is proposed from the numbers in it, tried on what
//! comes next, and kept; what it reads is held against the air outside.
//!
//! # What it never does
//! Send anything unless asked to, guess which number is the pressure or which unit it has
//! where nobody said so, or write a file that was not asked for.
//!
//! # Example
//! ```no_run
//! use gauge_finder::{Search, find};
//! use sensor_reader::Address;
//!
//! # async fn example() -> Result<(), Box<dyn std::error::Error>> {
//! let search = Search::at(Address::parse("/dev/ttyUSB0")?);
//! find(&search, None::<&mut console::Questions<std::io::Stderr>>).await?;
//! # Ok(()) }
//! ```

mod air;
mod asking;
mod choice;
mod error;
mod fields;
mod layout;
mod proposal;
mod search;
mod shown;
mod wanted;

pub use error::FinderError;
pub use search::find;
pub use wanted::Search;
