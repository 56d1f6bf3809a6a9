//! The scale as a feed keeps it.

use findings::Charge;

/// The scale as it is shown.
#[derive(Debug, Default)]
pub(in crate::feed) struct Scale {
    /// A scale is recorded.
    pub(in crate::feed) is_there: bool,
    pub(in crate::feed) shown: Option<String>,
    pub(in crate::feed) charge: Option<Charge>,
    pub(in crate::feed) told: Vec<(&'static str, i64)>,
}
