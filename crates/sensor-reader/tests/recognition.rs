//! Which dialect is it? On the sample captures, blind.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

use std::path::Path;

use sensor_reader::{
    Dialect, Parity,
    listen::{Conclusion, Recogniser},
};

fn capture(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/dialects")
        .join(format!("{name}.capture"));
    std::fs::read(path).unwrap()
}

fn hear(bytes: &[u8]) -> sensor_reader::listen::Hearing {
    let mut recogniser = Recogniser::new();
    bytes.chunks(11).for_each(|c| recogniser.push(c));
    recogniser.hearing()
}

#[test]
fn every_sample_capture_puts_its_own_dialect_first() {
    // the captures are full of deliberate faults, so the share is below 90 %
    let all = Dialect::builtin_names().into_iter();
    for name in all.filter(|name| !Dialect::builtin(name).unwrap().asks()) {
        let hearing = hear(&capture(name));
        let first = &hearing.candidates[0];
        assert_eq!(first.dialect.name(), name, "{:#?}", hearing.candidates);
        assert!(first.share > 0.4, "{name}: {}", first.share);
        assert!(!first.generic);
    }
}

fn lines(f: impl Fn(u32) -> String) -> Vec<u8> {
    (0..12).map(f).collect::<String>().into_bytes()
}

#[test]
fn clean_streams_are_recognised() {
    for (bytes, name) in [
        (
            lines(|i| format!("{}.5 micron\r\n", 900 - i)),
            "number-unit-line",
        ),
        (lines(|i| format!("{}\r\n", 900 - i)), "number-only-line"),
        (
            lines(|i| format!("0,{} mbar; 21,4 C\r\n", 900 - i)),
            "decimal-comma-line",
        ),
        (
            lines(|i| format!("@{i}.0,{}.5,micron,,ok\r\n", 900 - i)),
            "clocked-comma-fields",
        ),
    ] {
        // joined in the middle of a line
        let hearing = hear(&bytes[3..]);
        assert_eq!(
            hearing.conclusion,
            Conclusion::Recognised,
            "{name}: {hearing:#?}"
        );
        assert_eq!(hearing.candidates[0].dialect.name(), name);
        assert_eq!(hearing.data_bits, 8);
        let assumed = hearing.candidates[0].assumed_unit.is_some();
        assert_eq!(assumed, name == "number-only-line", "{name}");
    }
}

/// Two sensors in one line: the one that is in its range is put first, and the other does
/// not make it doubtful.
#[test]
fn of_two_sensors_in_a_line_the_one_that_measures_is_recognised() {
    // the check value as the firmware's crate computes it is checked elsewhere; this one is
    // CRC-16, polynomial 1021, start FFFF, bit by bit
    let sealed = |text: String| {
        let crc = text.bytes().fold(0xFFFF_u16, |crc, byte| {
            (0..8).fold(crc ^ u16::from(byte) << 8, |c, _| {
                if c & 0x8000 == 0 {
                    c << 1
                } else {
                    c << 1 ^ 0x1021
                }
            })
        });
        format!("{text}{crc:04X}\n")
    };
    for (high, vacuum, name) in [
        ("<1 kPa abs under", "501.2 micron 23.1 ok", "node-line"),
        ("1.2 kPa abs ok", "9001 micron 23.1 ok", "node-line"),
        (
            "1101.3 kPa abs ok",
            ">25000 micron 23.1 over",
            "node-pressure-line",
        ),
        (
            "1101.3 kPa abs ok",
            "- micron 23.1 fault",
            "node-pressure-line",
        ),
    ] {
        let hearing = hear(&lines(|i| {
            sealed(format!("N2 {high} 1003.2 hPa {i} {i}.000 {vacuum} "))
        }));
        assert_eq!(hearing.conclusion, Conclusion::Recognised, "{hearing:#?}");
        assert_eq!(hearing.candidates[0].dialect.name(), name);
    }
}

/// Wherever one begins to listen in the capture, which has every state of both sensors.
#[test]
fn of_two_sensors_the_one_that_measures_is_recognised_from_any_line_on() {
    let text = String::from_utf8(capture("node-pressure-line")).unwrap();
    let rows: Vec<&str> = text.split_inclusive('\n').collect();
    for first in 0..rows.len() {
        let from_there = rows.iter().cycle().skip(first);
        // as many as a port is listened to at least
        let heard: String = from_there.take(9).copied().collect();
        let hearing = hear(heard.as_bytes());
        assert_eq!(hearing.conclusion, Conclusion::Recognised, "line {first}");
        let best = hearing.candidates[0].dialect.name();
        assert_eq!(best, "node-pressure-line", "from line {first} on");
    }
}

#[test]
fn a_shape_nobody_described_is_read_by_its_unit() {
    let hearing = hear(&lines(|i| {
        format!("ch1 vac {}.5 mTorr batt 87%\r\n", 900 - i)
    }));
    let first = &hearing.candidates[0];
    assert!(first.generic);
    assert_eq!(hearing.conclusion, Conclusion::Recognised);
    let micron = first.example.pressure().unwrap().micron();
    assert!((micron - 889.5).abs() < 1e-6, "{micron}");
    // and the file to keep is a valid dialect that reads the same
    let port = sensor_reader::PortSettings::default();
    let kept = Dialect::from_toml(&first.to_toml(port), "kept.toml").unwrap();
    let mut out = Vec::new();
    sensor_reader::Decoder::new(&kept).push(b"ch1 vac 10.5 mTorr batt 87%\n", &mut out);
    assert!(matches!(
        out.as_slice(),
        [sensor_reader::Decoded::Sample(_)]
    ));
}

/// Sets the top bit so that every byte has the wanted parity, as a port set to
/// eight bits hears a gauge that sends seven and a parity bit.
fn with_parity(bytes: &[u8], even: bool) -> Vec<u8> {
    let flip = |b: &u8| (b.count_ones() % 2 == 1) == even;
    bytes
        .iter()
        .map(|b| if flip(b) { b | 0x80 } else { *b })
        .collect()
}

#[test]
fn seven_bits_and_parity_are_noticed() {
    let plain = lines(|i| format!("{}.5 micron\r\n", 900 - i));
    for (even, parity) in [(true, Parity::Even), (false, Parity::Odd)] {
        let hearing = hear(&with_parity(&plain, even));
        assert_eq!((hearing.data_bits, hearing.parity), (7, parity));
        assert_eq!(hearing.conclusion, Conclusion::Recognised);
        assert_eq!(hearing.candidates[0].dialect.name(), "number-unit-line");
    }
}

#[test]
fn honest_when_unsure() {
    assert_eq!(hear(b"").conclusion, Conclusion::Silence);
    let two = hear(b"500.0 micron\r\n500.0 micron\r\n");
    assert!(
        matches!(two.conclusion, Conclusion::Unsure { .. }),
        "{two:?}"
    );
    // pseudo-random bytes, as a wrong speed gives them
    let mut x = 1_u32;
    let noise: Vec<u8> = (0..4000)
        .map(|_| {
            x = x.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (x >> 24) as u8
        })
        .collect();
    let hearing = hear(&noise);
    assert!(
        !matches!(hearing.conclusion, Conclusion::Recognised),
        "{hearing:?}"
    );
    let text = hear(&lines(|i| format!("status {i} nominal\r\n")));
    assert!(
        matches!(&text.conclusion, Conclusion::NotUnderstood { why } if why.contains("readable")),
        "{text:?}"
    );
}

#[test]
fn two_dialects_that_read_other_values_from_the_same_lines_are_called_unsure() {
    // a bare number may be micron, or pascal as this one has it
    let other = Dialect::from_toml(
        "name = \"bare-pascal\"\n[line]\npattern = '^(?<value>[0-9]+)$'\n[value]\nunit = \"Pa\"\n",
        "other.toml",
    )
    .unwrap();
    let mut recogniser = Recogniser::new();
    recogniser.add(&other);
    recogniser.push(&lines(|i| format!("{}\r\n", 900 - i)));
    let hearing = recogniser.hearing();
    assert!(
        matches!(&hearing.conclusion, Conclusion::Unsure { why } if why.contains("other values")),
        "{hearing:#?}"
    );
}

#[test]
fn pressures_far_above_the_air_are_not_believed() {
    let hearing = hear(&lines(|i| format!("{} kPa\r\n", 900 - i)));
    assert!(
        matches!(&hearing.conclusion, Conclusion::Unsure { why } if why.contains("pressures")),
        "{hearing:#?}"
    );
    assert_eq!(hearing.candidates[0].plausible_share, 0.0);
}
