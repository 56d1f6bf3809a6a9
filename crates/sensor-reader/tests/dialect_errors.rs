//! What a technician reads when a dialect file is wrong: file, line, what is
//! wrong, what to do.

use sensor_reader::{Clock, Dialect, DialectError, Parity};

const GOOD: &str = r#"name = "mine"
[port]
baud = 2400
data_bits = 7
parity = "odd"
stop_bits = 2
[line]
pattern = '''^(?<seconds>\d+) (?<value>\S+)$'''
clock = "device"
seconds_per_count = 0.001
[value]
unit = "mbar"
[bounds]
over = "100 mbar"
under = "0.001 mbar"
"#;

#[test]
fn everything_that_is_set_is_kept() {
    let dialect = Dialect::from_toml(GOOD, "mine.toml").unwrap();
    assert_eq!(dialect.name(), "mine");
    assert_eq!(dialect.port().to_string(), "2400 7O2");
    assert_eq!(dialect.port().parity, Parity::Odd);
    assert_eq!(dialect.clock(), Clock::Device);
    assert_eq!(dialect.over_bound().map(|p| p.mbar().round()), Some(100.0));
    let mut out = Vec::new();
    sensor_reader::Decoder::new(&dialect).push(b"1500 2.5\n", &mut out);
    let [sensor_reader::Decoded::Sample(sample)] = out.as_slice() else {
        panic!("{out:?}");
    };
    assert_eq!(sample.device_s, Some(1.5));
}

/// Replaces `from` by `to` in the good file and expects an error on `line`
/// that contains `parts`.
fn check(from: &str, to: &str, line: Option<usize>, parts: &[&str]) {
    assert!(GOOD.contains(from), "{from}");
    let text = GOOD.replace(from, to);
    let error = Dialect::from_toml(&text, "mine.toml").expect_err(to);
    let DialectError::Invalid { line: found, .. } = &error else {
        panic!("{error}");
    };
    let message = error.to_string();
    assert_eq!(*found, line, "{to}: {message}");
    assert!(message.starts_with("mine.toml"), "{message}");
    assert!(!message.contains('\n'), "{message}");
    for part in parts {
        assert!(message.contains(part), "{to}: {message}");
    }
}

#[test]
fn faults_name_line_and_remedy() {
    check(
        "baud = 2400",
        "baud = 0",
        Some(3),
        &["baud = 0", "1 to 4000000"],
    );
    check("baud = 2400", "baud = \"fast\"", Some(3), &["invalid type"]);
    check("baud = 2400", "bauds = 2400", Some(3), &["bauds", "baud"]);
    check("data_bits = 7", "data_bits = 9", Some(4), &["5 to 8"]);
    check("\"odd\"", "\"mark\"", Some(5), &["\"even\""]);
    check("(?<value>", "(?<valu>", Some(8), &["valu", "temperature"]);
    check("(?<value>", "(", Some(8), &["(?<value>...)"]);
    check("\\S+)", "\\S+", Some(8), &["unclosed group"]);
    check("(?<seconds>", "(?:", Some(9), &["clock = \"host\""]);
    check("0.001\n", "-1.0\n", Some(10), &["milliseconds"]);
    check("\"mbar\"", "\"psig\"", Some(12), &["barometer"]);
    check("\"mbar\"", "\"inHg\"", Some(12), &["inHg abs"]);
    check("\"mbar\"", "\"furlong\"", Some(12), &["micron"]);
    check("\"100 mbar\"", "\"100\"", Some(14), &["25000 micron"]);
    check("\"100 mbar\"", "\"0.0001 mbar\"", Some(14), &["exchange"]);
    check("[value]\nunit = \"mbar\"", "", Some(8), &["no unit"]);
    check("name = \"mine\"", "name = \"\"", Some(1), &["empty"]);
    check("name = \"mine\"", "name = mine", Some(1), &[]);
    check("name = \"mine\"", "", None, &["name"]);
    check(
        "[port]",
        "speaks = \"songs\"\n[port]",
        Some(2),
        &["\"lines\""],
    );
    check(
        "[bounds]",
        "[states]\nOL = \"high\"\n[bounds]",
        Some(14),
        &["\"over\""],
    );
    check(
        "[bounds]",
        "[states]\nOL = \"over\"\nol = \"under\"\n[bounds]",
        Some(15),
        &["twice"],
    );
    check(
        "[bounds]",
        "[checksum]\nkind = \"sum-8\"\n[bounds]",
        Some(13),
        &["(?<checksum>...)"],
    );
    check(
        "(?<value>\\S+)",
        "(?<value>\\S+)(?<checksum>.)",
        Some(8),
        &["[checksum]"],
    );
    check(
        "unit = \"mbar\"",
        "unit = \"mbar\"\nthousands = \".\"",
        Some(13),
        &["thousands"],
    );
}

#[test]
fn names_and_paths_that_do_not_exist() {
    let error = Dialect::load("no-such-dialect").unwrap_err().to_string();
    assert!(
        error.contains("number-unit-line") && error.contains(".toml"),
        "{error}"
    );
    let error = Dialect::load("no/such/file.toml").unwrap_err().to_string();
    assert!(error.contains("no/such/file.toml"), "{error}");
}
