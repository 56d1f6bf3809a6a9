//! The dialects in `samples/dialects/`, carried inside the library.

macro_rules! embed {
    ($($name:literal),* $(,)?) => {
        [$((
            $name,
            concat!($name, ".toml"),
            include_str!(concat!("../../../../samples/dialects/", $name, ".toml")),
        )),*]
    };
}

/// Name, file name and text, in alphabetical order.
const BUILTIN: [(&str, &str, &str); 21] = embed![
    "channel-tagged-fields",
    "clocked-comma-fields",
    "converter-milliamps-table",
    "converter-volts-log-linear",
    "decimal-comma-line",
    "fixed-width-status-code",
    "hex-counts-line",
    "labelled-fields-crc",
    "modbus-float-registers",
    "modbus-scaled-registers",
    "modbus-transmitter-registers",
    "node-line",
    "node-pressure-line",
    "number-only-line",
    "number-unit-line",
    "polled-confirmed-line",
    "polled-mantissa-exponent",
    "pressure-temperature-line",
    "sync-frame-float-crc",
    "sync-frame-mantissa-exponent",
    "sync-frame-scaled-integer",
];

/// File name and text of a built-in dialect.
pub(super) fn find(name: &str) -> Option<(&'static str, &'static str)> {
    BUILTIN
        .iter()
        .find(|(known, ..)| *known == name)
        .map(|(_, file, text)| (*file, *text))
}

/// The names, in alphabetical order.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    BUILTIN.iter().map(|(name, ..)| *name)
}
