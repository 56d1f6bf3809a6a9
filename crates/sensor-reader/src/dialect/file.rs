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
    pub(super) measures: Option<Spanned<String>>,
    #[serde(default)]
    pub(super) port: PortTable,
    pub(super) poll: Option<Spanned<PollTable>>,
    pub(super) line: Option<Spanned<LineTable>>,
    pub(super) frame: Option<Spanned<FrameTable>>,
    pub(super) modbus: Option<Spanned<ModbusTable>>,
    pub(super) fields: Option<Spanned<FieldsTable>>,
    #[serde(default)]
    pub(super) value: ValueTable,
    pub(super) curve: Option<Spanned<CurveTable>>,
    pub(super) channel: Option<Spanned<String>>,
    pub(super) record: Option<Spanned<String>>,
    #[serde(default)]
    pub(super) channels: BTreeMap<Spanned<String>, Spanned<ChannelTable>>,
    #[serde(default)]
    pub(super) units: BTreeMap<String, Spanned<String>>,
    #[serde(default)]
    pub(super) states: BTreeMap<Spanned<String>, Spanned<String>>,
    #[serde(default)]
    pub(super) state_bits: Vec<Spanned<StateBitsTable>>,
    #[serde(default)]
    pub(super) bounds: BoundsTable,
    pub(super) checksum: Option<Spanned<ChecksumTable>>,
    pub(super) sequence: Option<Spanned<SequenceTable>>,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct ChannelTable {
    pub(super) place: Option<Spanned<String>>,
    pub(super) unit: Option<Spanned<String>>,
    pub(super) over: Option<Spanned<String>>,
    pub(super) under: Option<Spanned<String>>,
}

/// Name of a field to its place; what a place looks like depends on the framing.
pub(super) type FieldsTable = BTreeMap<Spanned<String>, Spanned<toml::Value>>;

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct PortTable {
    pub(super) baud: Option<Spanned<i64>>,
    pub(super) data_bits: Option<Spanned<i64>>,
    pub(super) parity: Option<Spanned<String>>,
    pub(super) stop_bits: Option<Spanned<i64>>,
    pub(super) flow_control: Option<Spanned<String>>,
    pub(super) address: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PollTable {
    pub(super) send: Spanned<String>,
    pub(super) every_ms: Option<Spanned<i64>>,
    pub(super) expect: Option<Spanned<String>>,
    pub(super) then_send: Option<Spanned<String>>,
    #[serde(default)]
    pub(super) echo: bool,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct LineTable {
    pub(super) pattern: Option<Spanned<String>>,
    pub(super) delimiter: Option<Spanned<String>>,
    pub(super) field_count: Option<Spanned<i64>>,
    pub(super) line_bytes: Option<Spanned<i64>>,
    pub(super) begins: Option<Spanned<String>>,
    pub(super) terminator: Option<Spanned<String>>,
    pub(super) max_bytes: Option<Spanned<i64>>,
    pub(super) clock: Option<Spanned<String>>,
    pub(super) seconds_per_count: Option<Spanned<f64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FrameTable {
    pub(super) sync: Spanned<String>,
    pub(super) end: Option<Spanned<String>>,
    pub(super) length: Spanned<i64>,
    pub(super) clock: Option<Spanned<String>>,
    pub(super) seconds_per_count: Option<Spanned<f64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ModbusTable {
    pub(super) registers: Option<Spanned<String>>,
    pub(super) every_ms: Option<Spanned<i64>>,
    pub(super) clock: Option<Spanned<String>>,
    pub(super) seconds_per_count: Option<Spanned<f64>>,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct ValueTable {
    pub(super) unit: Option<Spanned<String>>,
    pub(super) decimal: Option<Spanned<String>>,
    pub(super) thousands: Option<Spanned<String>>,
    pub(super) written: Option<Spanned<String>>,
    pub(super) scale: Option<Spanned<f64>>,
    pub(super) exponent_offset: Option<Spanned<i64>>,
    pub(super) exponent_signs: Option<Spanned<Vec<String>>>,
    pub(super) state_written: Option<Spanned<String>>,
    pub(super) temperature_unit: Option<Spanned<String>>,
    pub(super) temperature_scale: Option<Spanned<f64>>,
    pub(super) temperature_written: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SequenceTable {
    pub(super) modulus: Spanned<i64>,
    pub(super) written: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CurveTable {
    pub(super) kind: Spanned<String>,
    pub(super) signal: Option<Spanned<Vec<f64>>>,
    pub(super) a: Option<Spanned<f64>>,
    pub(super) b: Option<Spanned<f64>>,
    pub(super) points: Option<Spanned<Vec<(f64, f64)>>>,
    pub(super) between: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StateBitsTable {
    pub(super) mask: Spanned<i64>,
    pub(super) equals: Option<Spanned<i64>>,
    pub(super) means: Spanned<String>,
}

#[derive(Deserialize, Default, Clone)]
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
    pub(super) after: Option<Spanned<String>>,
    pub(super) before: Option<Spanned<String>>,
    pub(super) from: Option<Spanned<i64>>,
    pub(super) to: Option<Spanned<i64>>,
}
