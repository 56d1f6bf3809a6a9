//! The data of a job: which fields there are, what is asked for and checked, the document
//! that holds the answers, and what is remembered of a shop from job to job.
//!
//! A [`Dialogue`] asks field by field over any pair of lines in and text out; [`memory`]
//! keeps what belongs to the shop, and fills what a job leaves open; [`last_gauge`] keeps where
//! the gauge was connected last.
//!
//! # What it never does
//! Read a keyboard, parse a command line, or guess: what is not understood is asked again.
//!
//! # Example
//! ```
//! let template = job_form::document::template();
//! assert!(template.contains("refrigerant"));
//! assert!(template.parse::<toml::Table>().is_ok());
//! ```

mod cautions;
mod check;
mod dialogue;
pub mod document;
mod error;
mod fields;
pub mod last_gauge;
pub mod memory;
mod review;
mod shop_logo;
mod system;

pub use cautions::before_start;
pub use dialogue::{Dialogue, listed};
pub use document::Document;
pub use error::MemoryError;
pub use shop_logo::{ShopLogo, beside};
