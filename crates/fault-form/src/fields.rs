//! The one list of what can be said of an appliance.

use fault::{Cabinet, Frost, Meet, Onset, Sound, SuctionLine, Trace};

/// What an answer has to be.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kind {
    Refrigerant,
    Pressure,
    /// °C where no unit stands behind it.
    Temperature,
    /// W or A.
    Draw,
    YesNo,
    /// One of some words.
    Choice(fn() -> Vec<&'static str>),
    /// Above 0 and at most so much, in the unit of the key.
    Number(u32),
    Date,
    Text,
}

/// One thing that can be said.
#[derive(Debug)]
pub struct Field {
    /// Its name: `--key` as an option; in files with `_` for `-`.
    pub key: &'static str,
    /// What stands for its value in a help text.
    pub value: &'static str,
    /// The question, or what it is.
    pub question: &'static str,
    /// Whether a person is asked for it.
    pub asked: bool,
    /// Whether it is an option of the command line.
    pub option: bool,
    pub(crate) kind: Kind,
}

const fn asked(
    key: &'static str,
    value: &'static str,
    kind: Kind,
    question: &'static str,
) -> Field {
    Field {
        key,
        value,
        question,
        asked: true,
        option: true,
        kind,
    }
}

const fn given(
    key: &'static str,
    value: &'static str,
    kind: Kind,
    question: &'static str,
) -> Field {
    Field {
        asked: false,
        ..asked(key, value, kind, question)
    }
}

const fn in_file(key: &'static str, kind: Kind, question: &'static str) -> Field {
    Field {
        option: false,
        ..given(key, "TEXT", kind, question)
    }
}

macro_rules! words_of {
    ($name:ident, $kind:ty) => {
        fn $name() -> Vec<&'static str> {
            <$kind>::ALL.iter().map(|x| x.word()).collect()
        }
    };
}

words_of!(cabinets, Cabinet);
words_of!(frosts, Frost);
words_of!(lines, SuctionLine);
words_of!(sounds, Sound);
words_of!(meets, Meet);
words_of!(onsets, Onset);
words_of!(traces, Trace);

use Kind::{Choice, Date, Draw, Number, Pressure, Refrigerant, Temperature, Text, YesNo};

/// Everything that can be said, in the order in which it is asked: first what costs nothing
/// and is outside the sealed system.
pub const FIELDS: [Field; 40] = [
    asked(
        "refrigerant",
        "NAME",
        Refrigerant,
        "Refrigerant on the nameplate, for instance R-600a",
    ),
    asked(
        "cabinet",
        "KIND",
        Choice(cabinets),
        "Kind of appliance: refrigerator, fridge-freezer or freezer (condenser without a fan), \
         fan-cooler or fan-freezer",
    ),
    asked(
        "ambient-c",
        "T",
        Temperature,
        "Temperature of the room, °C (75F will do too)",
    ),
    asked(
        "supply-good",
        "yes|no",
        YesNo,
        "Are supply voltage, plug and controls in order?",
    ),
    asked(
        "door-closes",
        "yes|no",
        YesNo,
        "Do doors close, are gaskets tight, does the light go out?",
    ),
    asked(
        "condenser-clean",
        "yes|no",
        YesNo,
        "Is the condenser clean, can its air move?",
    ),
    asked("fans-turn", "yes|no", YesNo, "Do all fans turn?"),
    asked(
        "evaporator-free",
        "yes|no",
        YesNo,
        "Are evaporator and vents free of ice and goods, does defrost work?",
    ),
    asked(
        "compressor-runs",
        "yes|no",
        YesNo,
        "Does the compressor start and run?",
    ),
    asked(
        "runs-all-the-time",
        "yes|no",
        YesNo,
        "Does it run all the time?",
    ),
    asked(
        "cabinet-c",
        "T",
        Temperature,
        "Temperature in the cabinet (the freezer, if it has one), °C",
    ),
    given(
        "cabinet-set-c",
        "T",
        Temperature,
        "Temperature that it should have, °C",
    ),
    asked(
        "draw",
        "W|A",
        Draw,
        "Electrical draw after half an hour, for instance 95 W or 0.8 A",
    ),
    asked(
        "nameplate-draw",
        "W|A",
        Draw,
        "Electrical draw on the nameplate, in the same unit",
    ),
    given(
        "known-good-draw",
        "W|A",
        Draw,
        "Electrical draw when it was in order, in the same unit",
    ),
    asked(
        "condenser-in-c",
        "T",
        Temperature,
        "Pipe into the condenser, °C",
    ),
    asked(
        "condenser-out-c",
        "T",
        Temperature,
        "Pipe out of the condenser, at its end, °C",
    ),
    asked(
        "frost",
        "WHERE",
        Choice(frosts),
        "Frost on the evaporator: none, inlet-only, part or full",
    ),
    asked(
        "suction-line",
        "HOW",
        Choice(lines),
        "Suction line at the compressor: warm, cold or frosted",
    ),
    asked(
        "sound",
        "WHAT",
        Choice(sounds),
        "What is heard where the capillary tube ends: nothing, gas or liquid",
    ),
    asked(
        "better-after-standing",
        "yes|no",
        YesNo,
        "Does it cool again for a while after it was warm and switched off?",
    ),
    given(
        "barometer-hpa",
        "P",
        Number(1_100),
        "Barometer, hPa (1013 where nobody says)",
    ),
    asked(
        "suction",
        "P",
        Pressure,
        "Suction pressure after half an hour, for instance \"-0.3 bar gauge\" or \"60 kPa\"",
    ),
    asked(
        "discharge",
        "P",
        Pressure,
        "Discharge pressure then, for instance \"4.2 bar gauge\"",
    ),
    asked(
        "pressures-meet",
        "HOW",
        Choice(meets),
        "How do both pressures meet after it stops: fast, usual, slow or never?",
    ),
    asked(
        "rest-pressure",
        "P",
        Pressure,
        "Pressure after hours of rest",
    ),
    asked(
        "rest-c",
        "T",
        Temperature,
        "Temperature of the whole appliance then, °C",
    ),
    asked(
        "onset",
        "HOW",
        Choice(onsets),
        "How did the trouble come: since-service, slowly or suddenly?",
    ),
    asked(
        "last-service",
        "DATE",
        Date,
        "Day of the last service, for instance 2026-05-14",
    ),
    asked(
        "opened-before",
        "yes|no",
        YesNo,
        "Was the sealed system opened and charged then?",
    ),
    asked(
        "leak-trace",
        "WHERE",
        Choice(traces),
        "Oil, bubbles, leak detector: nowhere, low-side or high-side",
    ),
    asked(
        "nameplate-g",
        "G",
        Number(100_000),
        "Charge on the nameplate, g",
    ),
    asked(
        "charge-found-g",
        "G",
        Number(100_000),
        "Charge that was recovered and weighed, g",
    ),
    asked(
        "volume-l",
        "V",
        Number(10_000),
        "Volume of the sealed system, L",
    ),
    given(
        "missing-g",
        "G",
        Number(100_000),
        "Missing refrigerant, g, where it is known otherwise",
    ),
    given(
        "months",
        "N",
        Number(1_200),
        "Months since it was charged, where it is known otherwise",
    ),
    given(
        "seen-on",
        "DATE",
        Date,
        "Day of these readings [default: today]",
    ),
    given(
        "hold-min",
        "MIN",
        Number(2_880),
        "Hold that is planned, min [default: 10]",
    ),
    in_file("about", Text, "A remark"),
    in_file("truth", Text, "What is wrong with an invented appliance"),
];

/// The field of a key, however it is joined.
#[must_use]
pub fn field(key: &str) -> Option<&'static Field> {
    let key = key.trim().replace('_', "-").to_lowercase();
    FIELDS.iter().find(|field| field.key == key)
}

/// The key that may have been meant.
pub(crate) fn near(key: &str) -> Option<&'static str> {
    let key: String = key.chars().take(40).collect::<String>().replace('_', "-");
    let all = FIELDS
        .iter()
        .map(|f| (strsim::osa_distance(f.key, &key), f.key));
    let (errors, found) = all.min()?;
    (errors <= 3).then_some(found)
}
