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
const BUILTIN: [(&str, &str, &str); 6] = embed![
    "clocked-comma-fields",
    "decimal-comma-line",
    "fixed-width-status-code",
    "labelled-fields-crc",
    "number-only-line",
    "number-unit-line",
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
