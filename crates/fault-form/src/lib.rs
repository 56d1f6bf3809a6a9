//! What is asked of an appliance before it is cut open, what is said of it, and the question
//! that its hold closes.
//!
//! [`FIELDS`] is the one list of what can be said: options, keys of a file and questions all
//! come from it ([`FaultOptions`], [`read`], [`ask`]). A [`Draft`] takes them, [`Draft::finish`] makes a [`Case`], which
//! [`lines`] and [`json`] tell of. [`LeakQuestion`] is what is left for the hold
//! ([`LeakQuestion::close`]). [`REHEARSALS`] are invented appliances.
//!
//! # What this crate does not do
//! Weigh signs or know a formula (that is the crate `fault`), print, read a keyboard or a
//! clock. Its sentences are English; what a sheet says of the closed question is in
//! `wording`, in every language.

mod ask;
mod case;
mod close;
mod draft;
mod error;
mod fields;
mod file;
mod json;
mod options;
mod rehearsals;
mod settle;
mod text;
mod words;

pub use ask::ask;
pub use case::Case;
pub use close::LeakQuestion;
pub use draft::Draft;
pub use error::FormError;
pub use fields::{FIELDS, Field, field};
pub use file::{read, text_of};
pub use json::json;
pub use options::{FaultOptions, answer};
pub use rehearsals::{REHEARSALS, Rehearsal, rehearsal};
pub use words::lines;
