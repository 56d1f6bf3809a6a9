//! The shape of a dialect file, and of nothing else.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FileShape {
    pub(super) name: Spanned<String>,
    #[serde(default)]
    pub(super) description: String,
    pub(super) speaks: Option<Spanned<String>>,
    #[serde(default)]
    pub(super) port: PortTable,
    pub(super) line: LineTable,
    #[serde(default)]
    pub(super) value: ValueTable,
    #[serde(default)]
    pub(super) units: BTreeMap<String, Spanned<String>>,
    #[serde(default)]
    pub(super) states: BTreeMap<Spanned<String>, Spanned<String>>,
    #[serde(default)]
    pub(super) bounds: BoundsTable,
    pub(super) checksum: Option<Spanned<ChecksumTable>>,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct PortTable {
    pub(super) baud: Option<Spanned<i64>>,
    pub(super) data_bits: Option<Spanned<i64>>,
    pub(super) parity: Option<Spanned<String>>,
    pub(super) stop_bits: Option<Spanned<i64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LineTable {
    pub(super) pattern: Spanned<String>,
    pub(super) terminator: Option<Spanned<String>>,
    pub(super) max_bytes: Option<Spanned<i64>>,
    pub(super) clock: Option<Spanned<String>>,
    pub(super) seconds_per_count: Option<Spanned<f64>>,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct ValueTable {
    pub(super) unit: Option<Spanned<String>>,
    pub(super) decimal: Option<Spanned<String>>,
    pub(super) thousands: Option<Spanned<String>>,
    pub(super) temperature_unit: Option<Spanned<String>>,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct BoundsTable {
    pub(super) over: Option<Spanned<String>>,
    pub(super) under: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ChecksumTable {
    pub(super) kind: Spanned<String>,
    pub(super) written: Option<Spanned<String>>,
    pub(super) byte_order: Option<Spanned<String>>,
    #[serde(default)]
    pub(super) after: String,
    #[serde(default)]
    pub(super) before: String,
}
