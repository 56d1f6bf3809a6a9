//! The table `[scale]` of `job.toml`.

use serde::{Deserialize, Serialize};

/// What a run knows of its scale: the table `[scale]` of `job.toml`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ScaleUsed {
    /// Name of its dialect.
    pub dialect: Option<String>,
    /// Where it was connected, as given.
    pub port: Option<String>,
    /// What the hoses were reckoned to keep, g, if it was said: more than the charge is to
    /// leave the cylinder by so much.
    pub left_in_hoses_g: Option<f64>,
}

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct WireScale {
    #[serde(skip_serializing_if = "Option::is_none")]
    dialect: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    port: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    left_in_hoses_g: Option<f64>,
}

impl From<WireScale> for ScaleUsed {
    fn from(wire: WireScale) -> Self {
        Self {
            dialect: wire.dialect,
            port: wire.port,
            // what cannot be is not known
            left_in_hoses_g: wire.left_in_hoses_g.filter(|g| (0.0..=1e6).contains(g)),
        }
    }
}

impl From<&ScaleUsed> for WireScale {
    fn from(scale: &ScaleUsed) -> Self {
        Self {
            dialect: scale.dialect.clone(),
            port: scale.port.clone(),
            left_in_hoses_g: scale.left_in_hoses_g,
        }
    }
}
