//! Text as people write it into `job.toml`, and keys that mean nothing there.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// Keys of a table that are not known, for instance misspelt ones.
pub(super) type Unknown = BTreeMap<String, toml::Value>;

/// Text, also when the person wrote a number or a date without quotation marks
/// (`id = 4711`, `calibrated_on = 2026-01-15`).
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub(super) struct Text(pub(super) String);

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(Self(match toml::Value::deserialize(deserializer)? {
            toml::Value::String(s) => s,
            toml::Value::Integer(n) => n.to_string(),
            toml::Value::Float(x) => x.to_string(),
            toml::Value::Datetime(d) => d.to_string(),
            toml::Value::Boolean(b) => b.to_string(),
            toml::Value::Array(_) | toml::Value::Table(_) => {
                return Err(serde::de::Error::custom("a text is expected here"));
            }
        }))
    }
}

pub(super) fn text(value: Option<Text>) -> Option<String> {
    value.map(|t| t.0).filter(|t| !t.trim().is_empty())
}

pub(super) fn wire_text(value: Option<&String>) -> Option<Text> {
    value.cloned().map(Text)
}
