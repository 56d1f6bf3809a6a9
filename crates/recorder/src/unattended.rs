//! What a board decides that records by itself: when a run begins and ends, which runs
//! stay, whether there is room for another.

mod begin;
mod end;
mod retention;
mod until;

pub use begin::Begin;
pub use end::{End, Limits};
pub use retention::{Retention, Room};
pub use until::{until_full, until_over};
