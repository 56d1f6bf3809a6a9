//! A gauge, a cable or a stranger that means no good: what it says reaches a
//! screen and a memory, and must not take either over.

use sensor_reader::{Decoded, Decoder, Dialect, Rejected};

/// What is rejected of these bytes.
fn rejected(dialect: &Dialect, bytes: &[u8]) -> Vec<Rejected> {
    let mut out = Vec::new();
    let mut decoder = Decoder::new(dialect);
    decoder.push(bytes, &mut out);
    decoder.finish(&mut out);
    out.into_iter()
        .filter_map(|decoded| match decoded {
            Decoded::Rejected(rejected) => Some(rejected),
            _ => None,
        })
        .collect()
}

#[test]
fn what_a_gauge_says_does_not_drive_the_screen() {
    // found by fuzzing: a check value behind which a carriage return got lost
    for (name, line) in [
        (
            "polled-confirmed-line",
            &b"N 1.0E-3 mbar 64\r\x1B[2J\r\n"[..],
        ),
        ("channel-tagged-fields", b"!2;5;Pa;\x1B[2J;0E\n"),
        ("channel-tagged-fields", b"!2;5;\x1B[2J;OK;3B\n"),
        ("decimal-comma-line", b"5,0 Pa\xC2\x9BJ\n"),
    ] {
        let dialect = Dialect::builtin(name).unwrap();
        let out = rejected(&dialect, line);
        let [rejected] = out.as_slice() else {
            panic!("{name}: {out:?}");
        };
        let told = rejected.to_string();
        assert!(!told.chars().any(char::is_control), "{told:?}");
        assert!(
            told.contains("\\u{1b}") || told.contains("\\u{9b}"),
            "{told}"
        );
    }
    // nor fill it
    let dialect = Dialect::builtin("number-unit-line").unwrap();
    let line = format!("5 {}\n", "furlong".repeat(30));
    let told = rejected(&dialect, line.as_bytes())[0].to_string();
    assert!(told.len() < 300, "{told}");
}

#[test]
fn what_is_kept_inside_is_bounded_however_long_nothing_is_whole() {
    for name in Dialect::builtin_names() {
        let dialect = Dialect::builtin(name).unwrap();
        let most = Decoder::most_held_bytes(&dialect);
        assert!((9..=1000).contains(&most), "{name}: {most} bytes");
        let mut held = 0;
        for rubbish in [&b"7"[..], b"\xAA\x55\x02M", b"!2;512.3", b"0751231020"] {
            let mut decoder = Decoder::joining(&dialect);
            for _ in 0..2000 {
                decoder.push(rubbish, &mut Vec::new());
                held = held.max(decoder.held_bytes());
            }
            decoder.finish(&mut Vec::new());
            assert_eq!(decoder.held_bytes(), 0, "{name}");
        }
        assert!((1..=most).contains(&held), "{name}: {held} bytes");
    }
}
