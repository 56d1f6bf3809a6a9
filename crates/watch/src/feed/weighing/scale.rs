//! The scale as a feed keeps it.

use findings::Charge;

/// The scale as it is shown.
#[derive(Debug, Default)]
pub(crate) struct Scale {
    /// A scale is recorded.
    pub(crate) is_there: bool,
    pub(crate) shown: Option<String>,
    pub(crate) charge: Option<Charge>,
    pub(crate) told: Vec<(&'static str, i64)>,
}
