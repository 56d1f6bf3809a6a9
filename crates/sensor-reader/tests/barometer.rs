//! A line that carries the barometer beside a pressure that counts from the air.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

use sensor_reader::{Decoded, Decoder, Dialect};
use vacuum::Pressure;

const DIALECT: &str = r#"
name = "with-barometer"
description = "for this test"

[port]
baud = 9600

[line]
pattern = '''^(?<value>-?[0-9]+\.[0-9]) (?<unit>kPa (?:abs|gauge)) (?:(?<barometer>[0-9.]+) hPa|-)$'''
"#;

/// Pa, `None` for a line left out.
fn decoded(dialect: &Dialect, text: &str) -> Vec<Option<f64>> {
    let mut out = Vec::new();
    Decoder::new(dialect).push(text.as_bytes(), &mut out);
    out.into_iter()
        .filter(|d| !matches!(d, Decoded::Sequence(_)))
        .map(|d| match d {
            Decoded::Sample(sample) => Some(sample.pressure().unwrap().pa()),
            _ => None,
        })
        .collect()
}

fn assert_pa(got: &[Option<f64>], wanted: &[Option<f64>]) {
    assert_eq!(got.len(), wanted.len(), "{got:?}");
    for (got, wanted) in got.iter().zip(wanted) {
        let close = match (got, wanted) {
            (Some(got), Some(wanted)) => (got - wanted).abs() < 0.01,
            (got, wanted) => got == wanted,
        };
        assert!(close, "{got:?} against {wanted:?}");
    }
}

/// By hand: gauge pressure and barometer are added up.
#[test]
fn the_barometer_of_the_line_makes_its_pressure_absolute() {
    let dialect = Dialect::from_toml(DIALECT, "test").unwrap();
    assert!(dialect.carries_barometer() && dialect.may_count_from_air());
    let text = "1000.0 kPa gauge -\n\
                1000.0 kPa gauge 1003.2 hPa\n\
                1000.0 kPa gauge 990.0 hPa\n\
                1000.0 kPa gauge -\n\
                1000.0 kPa abs 990.0 hPa\n\
                -20.0 kPa gauge 1000.0 hPa\n\
                1000.0 kPa gauge 12.0 hPa\n";
    let wanted = [
        // before a barometer came nobody knows the air
        None,
        Some(1_100_320.0),
        Some(1_099_000.0),
        // the last one that came
        Some(1_099_000.0),
        Some(1_000_000.0),
        Some(80_000.0),
        // no place on land has 12 hPa: the last that can be
        Some(1_100_000.0),
    ];
    assert_pa(&decoded(&dialect, text), &wanted);
}

/// What somebody gave counts until the gauge tells its own.
#[test]
fn a_barometer_that_was_given_counts_until_one_comes() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("d.toml");
    std::fs::write(&file, DIALECT).unwrap();
    let air = Pressure::from_pa(95_000.0).unwrap();
    let dialect = Dialect::load_under_pressure(file.to_str().unwrap(), air).unwrap();
    let text = "500.0 kPa gauge -\n500.0 kPa gauge 1000.0 hPa\n500.0 kPa gauge -\n";
    let wanted = [Some(595_000.0), Some(600_000.0), Some(600_000.0)];
    assert_pa(&decoded(&dialect, text), &wanted);
}
