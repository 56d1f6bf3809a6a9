//! What a technician reads when a dialect file is wrong: file, line, what is
//! wrong, what to do.

#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

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
fn a_quoted_text_does_not_break_the_line() {
    // found by fuzzing
    check(
        "\"mbar\"",
        "\"micr\\n\\u001B[2J\"",
        Some(12),
        &["micr\\n\\u{1b}[2J"],
    );
    let name = "x".repeat(10_000);
    let error = Dialect::from_toml(&format!("{GOOD}[states]\nOL = \"{name}\"\n"), "mine.toml");
    assert!(error.unwrap_err().to_string().len() < 1000);
}

#[test]
fn what_is_no_toml_is_told_with_its_line() {
    // found by fuzzing: such a mistake has a place but no length
    for (text, line) in [
        ("[bounds]\nover = \u{0}512.3", 2),
        ("name = 'a'\n[line]\n= 3\n", 3),
        ("= 3\n", 1),
    ] {
        let error = Dialect::from_toml(text, "mine.toml").unwrap_err();
        let DialectError::Invalid { line: found, .. } = &error else {
            panic!("{error}");
        };
        assert_eq!(*found, Some(line), "{error}");
    }
    // what is nowhere in the file has no line
    let error = Dialect::from_toml("description = 'a'\n", "mine.toml").unwrap_err();
    assert!(
        matches!(error, DialectError::Invalid { line: None, .. }),
        "{error}"
    );
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
fn a_count_needs_its_field_and_its_end() {
    let (name, key) = ("node-line", "modulus = 65536");
    spoil(name, key, "modulus = 1", &["2 to 4294967296"]);
    let roman = format!("written = \"roman\"\n{key}");
    spoil(name, key, &roman, &["written", "\"hex\""]);
    let source = Dialect::builtin(name).unwrap().source().to_owned();
    for (from, to, part) in [
        ("[sequence]\nmodulus = 65536", "", "write [sequence]"),
        ("(?<sequence>", "(?:", "name the field"),
    ] {
        let text = source.replace(from, to);
        let error = Dialect::from_toml(&text, "mine.toml").expect_err(to);
        assert!(error.to_string().contains(part), "{error}");
    }
    spoil(
        "modbus-scaled-registers",
        "[states]",
        "[sequence]\nmodulus = 10\n[states]",
        &["[sequence] has no place"],
    );
}

/// Every built-in dialect with one thing changed: the error must name the line
/// on which the change stands.
fn spoil(name: &str, from: &str, to: &str, parts: &[&str]) {
    let good = Dialect::builtin(name).unwrap();
    assert_eq!(good.source().matches(from).count(), 1, "{name}: {from}");
    let before = &good.source()[..good.source().find(from).unwrap()];
    let wanted = before.matches('\n').count() + 1;
    let text = good.source().replace(from, to);
    let error = Dialect::from_toml(&text, "mine.toml").expect_err(to);
    let message = error.to_string();
    assert!(
        message.starts_with(&format!("mine.toml, line {wanted}: ")),
        "{to} on line {wanted}: {message}"
    );
    assert!(!message.contains('\n'), "{message}");
    for part in parts {
        assert!(message.contains(part), "{to}: {message}");
    }
}

#[test]
fn queries_that_cannot_be_sent() {
    let name = "polled-confirmed-line";
    spoil(
        name,
        r"'READ\r'",
        r"'READ\q'",
        &[r"\q", r"\x and two hex digits"],
    );
    spoil(name, r"'READ\r'", r"'READ\xZ1'", &["is not a byte"]);
    spoil(name, r"'READ\r'", "''", &["send is empty"]);
    spoil(name, r"'READ\r'", "'{address}'", &["address = ", "[port]"]);
    spoil(name, "every_ms = 1000", "every_ms = 1", &["20 to 60000"]);
    let name = "polled-mantissa-exponent";
    spoil(name, "\"07\"", "\"\"", &["05"]);
    let toml = Dialect::builtin(name)
        .unwrap()
        .source()
        .replace("{address}", "07");
    let error = Dialect::from_toml(&toml, "mine.toml")
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("line 8") && error.contains("used nowhere"),
        "{error}"
    );
}

#[test]
fn places_that_do_not_exist() {
    let name = "channel-tagged-fields";
    spoil(name, "value = 2", "value = 6", &["from 1 to 5"]);
    spoil(name, "value = 2", "value = [2, 3]", &["counted from 1"]);
    spoil(name, "value = 2", "valu = 2", &["valu", "exponent_sign"]);
    spoil(name, "\"hardware\"", "\"rts\"", &["\"software\""]);
    spoil(
        name,
        "delimiter = \";\"",
        "delimiter = ''",
        &["delimiter is empty"],
    );
    spoil(name, "\"busy\"", "\"asleep\"", &["\"off\"", "\"busy\""]);
    let name = "polled-mantissa-exponent";
    spoil(name, "[11, 11]", "[11, 12]", &["1 to 11"]);
    spoil(name, "[3, 6]", "[6, 3]", &["first and the last byte"]);
    spoil(
        name,
        "[\"0\", \"1\"]",
        "[\"0\", \"0\"]",
        &["minus and for plus"],
    );
    let name = "sync-frame-float-crc";
    spoil(
        name,
        "{ at = 7, as = \"f32\", order = \"dcba\" }",
        "{ at = 7, as = \"f64\" }",
        &["\"f32\""],
    );
    spoil(
        name,
        "{ at = 7, as = \"f32\", order = \"dcba\" }",
        "{ at = 7, as = \"f32\", order = \"ba\" }",
        &["letters abcd"],
    );
    spoil(
        name,
        "{ at = 13 }",
        "{ at = 14 }",
        &["behind the frame of 14"],
    );
    spoil(name, "{ at = 13 }", "{ place = 13 }", &["place", "order"]);
    spoil(name, "length = 14", "length = 2", &["holds nothing"]);
    spoil(name, "to = 12", "to = 15", &["3 to 14"]);
    spoil(name, "from = 3", "after = \"x\"", &["are for lines"]);
    spoil(name, "\"frames\"", "\"tunes\"", &["\"modbus-rtu\""]);
    let short = Dialect::builtin("sync-frame-mantissa-exponent").unwrap();
    let short = short
        .source()
        .replace(r"end = '\x03'", "")
        .replace("x02M", "x02");
    let error = Dialect::from_toml(&short, "mine.toml")
        .unwrap_err()
        .to_string();
    assert!(error.contains("single sync byte"), "{error}");
}

#[test]
fn keys_that_say_a_thing_twice_or_belong_elsewhere() {
    for (key, part) in [
        ("delimiter = ','", "delimiter has no place"),
        ("begins = 'I'", "begins has no place"),
        ("line_bytes = 9", "line_bytes has no place"),
    ] {
        let source = Dialect::builtin("converter-milliamps-table").unwrap();
        let text = source.source().replace("[line]", &format!("[line]\n{key}"));
        let error = Dialect::from_toml(&text, "mine.toml")
            .expect_err(key)
            .to_string();
        assert!(
            error.starts_with("mine.toml, line 8: ") && error.contains(part),
            "{error}"
        );
    }
    spoil(
        "channel-tagged-fields",
        "field_count = 5",
        "line_bytes = 5",
        &["field_count"],
    );
    let framed = Dialect::builtin("sync-frame-float-crc").unwrap();
    let text = framed.source().replace("speaks = \"frames\"", "");
    let error = Dialect::from_toml(&text, "mine.toml")
        .unwrap_err()
        .to_string();
    assert!(error.contains("[frame] has no place"), "{error}");
}

#[test]
fn curves_that_are_none() {
    let name = "converter-volts-log-linear";
    spoil(name, "\"log-linear\"", "\"cubic\"", &["\"table\""]);
    spoil(
        name,
        "signal = [1.0, 9.5]",
        "signal = [9.5, 1.0]",
        &["lowest"],
    );
    spoil(name, "a = 1.0", "a = 0.0", &["means the same"]);
    let name = "converter-milliamps-table";
    spoil(name, "[8.0, 10.0]", "[8.0, 1000.0]", &["rise or fall"]);
    spoil(name, "[8.0, 10.0]", "[3.0, 10.0]", &["x must rise"]);
    let volts = Dialect::builtin("converter-volts-log-linear").unwrap();
    let unguarded = volts.source().replace("signal = [1.0, 9.5]", "");
    let error = Dialect::from_toml(&unguarded, "mine.toml")
        .unwrap_err()
        .to_string();
    assert!(error.contains("reads as a deep vacuum"), "{error}");
}

#[test]
fn registers_and_bits_that_cannot_be() {
    let name = "modbus-float-registers";
    spoil(name, "\"5\"", "\"248\"", &["1 to 247"]);
    spoil(
        name,
        "{ register = 102, as = \"u16\" }",
        "{ register = 102, as = \"u8\" }",
        &["\"u16\""],
    );
    spoil(name, "\"holding\"", "\"coils\"", &["\"input\""]);
    spoil(name, "0x0002", "0", &["mask"]);
    let far = Dialect::builtin(name)
        .unwrap()
        .source()
        .replace("register = 103", "register = 300");
    let error = Dialect::from_toml(&far, "mine.toml")
        .unwrap_err()
        .to_string();
    assert!(error.contains("125 at most"), "{error}");
    spoil(
        "hex-counts-line",
        "equals = 0x30",
        "equals = 0x31",
        &["outside of the mask"],
    );
    spoil(
        "hex-counts-line",
        "\"signed-hex\"",
        "\"octal\"",
        &["\"hex\""],
    );
    let tagged = Dialect::builtin("channel-tagged-fields").unwrap();
    let mixed = tagged.source().replace("channel = \"2\"", "");
    let error = Dialect::from_toml(&mixed, "mine.toml")
        .unwrap_err()
        .to_string();
    assert!(error.contains("no channel is chosen"), "{error}");
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
