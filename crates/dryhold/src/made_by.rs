//! Who made what this program makes.

/// Name and version printed on everything this program judges.
pub(crate) const MADE_BY: &str = concat!("dryhold ", env!("CARGO_PKG_VERSION"));
