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

/// A temperature in °C: a number, or a text with its unit (`ambient_c = "70 F"`).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(transparent)]
pub(super) struct Celsius(pub(super) f64);

impl<'de> Deserialize<'de> for Celsius {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let typed = match toml::Value::deserialize(deserializer)? {
            toml::Value::Integer(n) => return Ok(Self(n as f64)),
            toml::Value::Float(x) => return Ok(Self(x)),
            toml::Value::String(typed) => typed,
            _ => String::new(),
        };
        let read = vacuum::temperature::read(&typed);
        read.map(|t| Self(t.celsius)).ok_or_else(|| {
            serde::de::Error::custom(
                "a temperature is expected here: a number in °C, or a text with its unit like \
                 \"70 F\"",
            )
        })
    }
}

pub(super) fn text(value: Option<Text>) -> Option<String> {
    value.map(|t| t.0).filter(|t| !t.trim().is_empty())
}

pub(super) fn wire_text(value: Option<&String>) -> Option<Text> {
    value.cloned().map(Text)
}
