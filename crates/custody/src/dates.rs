//! Dates as the lines about seals print them.

use chrono::{DateTime, Utc};

/// Date and time as they are printed.
pub fn stamp(at: DateTime<Utc>) -> String {
    at.format("%Y-%m-%d %H:%M:%S UTC").to_string()
}
