//! Judges an evacuation from its readings. (in work)
pub mod findings;
pub use findings::*;
