//! A gauge with several sensors: one channel read, or all of them, each in its
//! own unit and range.

use sensor_reader::{Decoded, Decoder, Dialect, Sample};
use vacuum::{Pressure, Sensed};

fn samples(dialect: &Dialect, bytes: &[u8], size: usize) -> Vec<Sample> {
    let mut decoder = Decoder::new(dialect);
    let mut out = Vec::new();
    for chunk in bytes.chunks(size) {
        decoder.push(chunk, &mut out);
    }
    decoder.finish(&mut out);
    out.into_iter()
        .filter_map(|d| match d {
            Decoded::Sample(s) => Some(s),
            _ => None,
        })
        .collect()
}

/// Channel, state and pressure as a person reads them.
fn told(samples: &[Sample]) -> Vec<(String, String)> {
    samples
        .iter()
        .map(|s| {
            let what = match s.sensed {
                Sensed::Measured(p) => format!("{:.3} Pa", p.pa()),
                Sensed::Over(bound) => {
                    format!("over {:?}", bound.map(|p| p.pa().round()))
                }
                Sensed::Under(bound) => {
                    format!("under {:?}", bound.map(|p| p.pa().round()))
                }
                Sensed::Fault => "fault".into(),
                Sensed::Gap => "gap".into(),
            };
            (s.channel.as_deref().unwrap_or("none").into(), what)
        })
        .collect()
}

fn pairs(wanted: &[(&str, &str)]) -> Vec<(String, String)> {
    let own = |(a, b): &(&str, &str)| ((*a).to_owned(), (*b).to_owned());
    wanted.iter().map(own).collect()
}

/// What the sample capture says on both channels, written by hand beside it.
const BOTH: [(&str, &str); 9] = [
    ("2", "512.300 Pa"),
    ("1", "7.000 Pa"),
    ("2", "66.700 Pa"),
    ("1", "fault"),
    ("2", "over None"),
    ("2", "under None"),
    ("2", "fault"),
    ("2", "gap"),
    ("2", "3.500 Pa"),
];

#[test]
fn the_sample_gives_one_channel_or_all() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/dialects");
    let bytes = std::fs::read(folder.join("channel-tagged-fields.capture")).unwrap();
    let one = Dialect::builtin("channel-tagged-fields").unwrap();
    assert_eq!(one.channel(), Some("2"));
    assert!(one.further_channels().is_empty());
    let all = one.recording_all().unwrap();
    let beside = all.further_channels();
    assert_eq!(beside.len(), 1);
    assert_eq!(
        (beside[0].tag(), beside[0].place()),
        ("1", Some("pump side"))
    );
    for size in [1, 5, 4096] {
        assert_eq!(
            told(&samples(&all, &bytes, size)),
            pairs(&BOTH),
            "by {size}"
        );
        let judged: Vec<_> = BOTH.into_iter().filter(|(c, _)| *c == "2").collect();
        assert_eq!(
            told(&samples(&one, &bytes, size)),
            pairs(&judged),
            "by {size}"
        );
    }
    // the same by a key of the file
    let written = one
        .source()
        .replace("# record = \"all\"", "record = \"all\"");
    let written = Dialect::from_toml(&written, "mine.toml").unwrap();
    assert_eq!(told(&samples(&written, &bytes, 4096)), pairs(&BOTH));
}

const BARE: &str = r#"name = "bare"
channel = "A"
record = "all"
[line]
pattern = '^(?<channel>[A-Z])=(?<value>[0-9.]+|OL)$'
[value]
unit = "Pa"
[states]
OL = "over"
[bounds]
over = "1000 Pa"
[channels]
B = { place = "pump side", unit = "mbar", over = "20 mbar", under = "0.001 mbar" }
A = { unit = "micron" }
"#;

#[test]
fn every_channel_has_its_own_unit_and_range() {
    let dialect = Dialect::from_toml(BARE, "bare.toml").unwrap();
    let said = b"A=500\nB=0.5\nC=9\nB=OL\nA=OL\nB=0.0005\nB=30\n";
    let wanted = [
        ("A", "66.661 Pa"),
        ("B", "50.000 Pa"),
        ("B", "over Some(2000.0)"),
        ("A", "over Some(1000.0)"),
        ("B", "under Some(0.0)"),
        ("B", "over Some(2000.0)"),
    ];
    assert_eq!(told(&samples(&dialect, said, 3)), pairs(&wanted));
    // the accessors speak of the judged channel
    let unit = dialect.fixed_unit().unwrap();
    assert_eq!(unit, vacuum::PressureUnit::Micron);
    assert_eq!(dialect.over_bound(), Pressure::from_pa(1000.0).ok());
}

#[test]
fn units_may_stand_with_the_channels_alone() {
    let bare = BARE.replace("[value]\nunit = \"Pa\"\n", "");
    Dialect::from_toml(&bare, "bare.toml").unwrap();
    let missing = bare.replace("unit = \"mbar\", ", "");
    let error = Dialect::from_toml(&missing, "bare.toml")
        .unwrap_err()
        .to_string();
    assert!(error.contains("no unit"), "{error}");
}

#[test]
fn mistakes_are_told_with_their_line() {
    let error = |from: &str, to: &str| {
        assert!(BARE.contains(from));
        let text = BARE.replace(from, to);
        Dialect::from_toml(&text, "bare.toml")
            .unwrap_err()
            .to_string()
    };
    for (from, to, part) in [
        ("channel = \"A\"\n", "", "no channel is chosen"),
        ("record = \"all\"", "record = \"both\"", "bare.toml, line 3"),
        (
            "B = { place = \"pump side\", ",
            "b = { place = \"\", ",
            "where the sensor sits",
        ),
        ("B = {", "\" \" = {", "cannot be listed"),
        ("unit = \"mbar\"", "unit = \"psig\"", "barometer"),
        ("unit = \"mbar\"", "units = \"mbar\"", "unknown field"),
        ("A = { unit", "b = { unit", "name each channel once"),
    ] {
        let error = error(from, to);
        assert!(error.contains(part), "{to}: {error}");
    }
    let alone = BARE.lines().take_while(|l| !l.starts_with("[channels]"));
    let alone: String = alone.map(|l| format!("{l}\n")).collect();
    let error = Dialect::from_toml(&alone, "bare.toml")
        .unwrap_err()
        .to_string();
    assert!(error.contains("no further channel"), "{error}");
    let plain = Dialect::builtin("number-unit-line").unwrap();
    let error = plain.recording_all().unwrap_err().to_string();
    assert!(error.contains("[channels]"), "{error}");
}
