//! Which runs are kept, and how they are spoken.

use vacuum::{Language, PressureUnit};

/// Run, language, unit, and whether a second gauge is beside.
pub(crate) const CASES: [(&str, Language, PressureUnit, bool); 9] = [
    ("pass_1h", Language::English, PressureUnit::Micron, false),
    ("leak_1h", Language::German, PressureUnit::Pascal, false),
    ("moisture_1h", Language::French, PressureUnit::Micron, false),
    ("stalls", Language::Spanish, PressureUnit::Millibar, false),
    (
        "gap_in_hold",
        Language::English,
        PressureUnit::Pascal,
        false,
    ),
    (
        "over_range_bound",
        Language::German,
        PressureUnit::Micron,
        true,
    ),
    (
        "three_rounds",
        Language::French,
        PressureUnit::Pascal,
        false,
    ),
    ("empty", Language::English, PressureUnit::Micron, false),
    ("both_1h", Language::English, PressureUnit::Micron, true),
];
