//! Every dialect of a scale against its capture and what a person or a script that shares no
//! code with the reader wrote down for it, and the decoder's promises on any bytes.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

use std::path::{Path, PathBuf};

use proptest::prelude::*;
use scale_reader::{ScaleDialect, weighing};
use sensor_reader::{Decoded, Decoder, Dialect, DialectError};
use vacuum::{Mass, Sensed, Weighed};

fn sample(name: &str, ending: &str) -> PathBuf {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/scales");
    samples.join(format!("{name}.{ending}"))
}

fn decode<'b>(scale: &ScaleDialect, chunks: impl IntoIterator<Item = &'b [u8]>) -> Vec<Decoded> {
    let mut decoder = Decoder::new(scale.dialect());
    let mut out = Vec::new();
    for chunk in chunks {
        assert_eq!(decoder.push(chunk, &mut out), chunk.len());
    }
    decoder.finish(&mut out);
    out
}

/// State, mass and tare as an expectation writes them.
fn said(decoded: &Decoded) -> (String, Option<f64>, Option<f64>) {
    match decoded {
        Decoded::Rejected(_) => ("rejected".into(), None, None),
        Decoded::Busy { .. } => ("busy".into(), None, None),
        Decoded::Sample(sample) => {
            assert_eq!(sample.sensed, Sensed::Gap, "a scale gives no pressure");
            let weighing = weighing(sample, 0.0).unwrap();
            let (mass, tare) = match weighing.weighed {
                Weighed::Mass { mass, tare, .. } => (Some(mass.g()), tare.map(Mass::g)),
                _ => (None, None),
            };
            (weighing.word().into(), mass, tare)
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_capture_gives_the_expected_masses() {
    assert_eq!(ScaleDialect::builtin_names().len(), 2);
    for name in ScaleDialect::builtin_names() {
        let scale = ScaleDialect::load(name).unwrap();
        assert_eq!(scale.dialect().name(), name);
        assert!(!scale.dialect().description().is_empty());
        let expected = std::fs::read_to_string(sample(name, "expected.csv")).unwrap();
        let expected: Vec<&str> = expected.lines().skip(1).collect();
        let bytes = std::fs::read(sample(name, "capture")).unwrap();
        let whole = decode(&scale, [bytes.as_slice()]);
        assert_eq!(whole.len(), expected.len(), "{name}: {whole:#?}");
        for (row, (line, decoded)) in expected.iter().zip(&whole).enumerate() {
            let at = format!(
                "{name}.expected.csv row {} \"{line}\": {decoded:?}",
                row + 2
            );
            let cells: Vec<&str> = line.split(',').collect();
            let [state, mass, tare] = cells.as_slice() else {
                panic!("three columns wanted: {at}")
            };
            let (word, found_mass, found_tare) = said(decoded);
            assert_eq!(word, *state, "{at}");
            for (found, wanted) in [(found_mass, mass), (found_tare, tare)] {
                let wanted: Option<f64> = (!wanted.is_empty()).then(|| wanted.parse().unwrap());
                assert_eq!(found.is_some(), wanted.is_some(), "{at}");
                let apart = found.unwrap_or(0.0) - wanted.unwrap_or(0.0);
                assert!(apart.abs() < 1e-6, "{at}");
            }
        }
        for size in [1, 2, 3, 7, 64] {
            assert_eq!(
                decode(&scale, bytes.chunks(size)),
                whole,
                "{name} by {size}"
            );
        }
    }
}

#[test]
fn a_scale_is_never_taken_for_a_gauge_nor_a_gauge_for_a_scale() {
    let text = std::fs::read_to_string(sample("weight-word-line", "toml")).unwrap();
    let path = sample("weight-word-line", "toml");
    let refused = Dialect::load(path.to_str().unwrap()).unwrap_err();
    assert!(
        matches!(refused, DialectError::IsAScale { .. }),
        "{refused}"
    );
    assert!(refused.to_string().contains("--scale-dialect"), "{refused}");
    let gauge = Dialect::builtin("number-unit-line").unwrap();
    let refused = ScaleDialect::from_toml(gauge.source(), "gauge.toml").unwrap_err();
    assert!(
        matches!(refused, DialectError::NotAScale { .. }),
        "{refused}"
    );
    let unknown = ScaleDialect::load("no-such-scale").unwrap_err().to_string();
    assert!(unknown.contains("weight-word-line"), "{unknown}");
    // without its first word it is no dialect at all
    let gauge = text.replace("measures = \"mass\"\n", "");
    let refused = ScaleDialect::from_toml(&gauge, "x.toml").unwrap_err();
    assert!(refused.to_string().contains("measures"), "{refused}");
}

#[test]
fn what_a_dialect_of_a_scale_may_not_say_is_refused_with_its_line() {
    let start = "name = 'x'\nmeasures = 'mass'\n[line]\npattern = '^(?<value>[0-9]+)$'\n";
    for (rest, wanted) in [
        ("", "no unit"),
        ("[value]\nunit = 'micron'\n", "no unit of mass"),
        (
            "[value]\nunit = 'g'\n[bounds]\nover = '5 Pa'\n",
            "over has no place",
        ),
        (
            "[value]\nunit = 'g'\n[channels]\n1 = {}\n",
            "[channels] has no place",
        ),
        (
            "[value]\nunit = 'g'\n[units]\nx = 'bar'\n",
            "no unit of mass",
        ),
    ] {
        let text = format!("{start}{rest}");
        let refused = ScaleDialect::from_toml(&text, "x.toml").unwrap_err();
        assert!(refused.to_string().contains(wanted), "{wanted}: {refused}");
    }
    assert!(ScaleDialect::from_toml(&format!("{start}[value]\nunit = 'g'\n"), "x.toml").is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Whatever comes: nothing stops the reader, the same comes out however it is cut, and
    /// what is kept inside is bounded.
    #[test]
    fn any_bytes_are_borne(
        which in 0_usize..2,
        bytes in prop::collection::vec(
            prop_oneof![any::<u8>(), prop::sample::select(b"<>#;+-0123456789.gkozlb SDHLXW\r\n".to_vec())],
            0..600),
        cut in 1_usize..40,
    ) {
        let scale = ScaleDialect::load(ScaleDialect::builtin_names()[which]).unwrap();
        let whole = decode(&scale, [bytes.as_slice()]);
        prop_assert_eq!(decode(&scale, bytes.chunks(cut)), whole);
        let mut decoder = Decoder::joining(scale.dialect());
        let mut out = Vec::new();
        for chunk in bytes.chunks(cut) {
            decoder.push(chunk, &mut out);
            prop_assert!(decoder.held_bytes() <= Decoder::most_held_bytes(scale.dialect()));
        }
        for decoded in &out {
            if let Decoded::Sample(sample) = decoded {
                prop_assert!(sample.pressure().is_none());
                let weighing = weighing(sample, 0.0).unwrap();
                prop_assert!(weighing.on_scale_g().is_none_or(f64::is_finite));
            }
        }
    }

    /// What a scale says is what is read, in every unit; a line that says that all is not
    /// well never gives a mass.
    #[test]
    fn lines_say_what_is_read(
        tenths in -99_999_i64..99_999,
        tare in 0_i64..99_999,
        unit in prop::sample::select(vec![("g", 1.0), ("kg", 1e3), ("oz", 28.349_523_125), ("lb", 453.592_37)]),
        word in prop::sample::select(vec!["steady", "settling", "beyond", "lifted", "failed", "x"]),
    ) {
        let scale = ScaleDialect::load("weight-word-line").unwrap();
        let number = |tenths: i64| {
            let sign = if tenths < 0 { "-" } else { "" };
            format!("{sign}{}.{}", tenths.abs() / 10, tenths.abs() % 10)
        };
        let (unit, in_g) = unit;
        let line = format!("#{} {unit} {word} tare {}\r\n", number(tenths), number(tare));
        let read = decode(&scale, [line.as_bytes()]);
        prop_assert_eq!(read.len(), 1);
        let (state, mass, tare_g) = said(&read[0]);
        match word {
            "steady" | "settling" if (tenths as f64 / 10.0 * in_g).abs() <= 1e6
                && tare as f64 / 10.0 * in_g <= 1e6 => {
                prop_assert_eq!(state, if word == "steady" { "stable" } else { "moving" });
                prop_assert!((mass.unwrap() - tenths as f64 / 10.0 * in_g).abs() < 1e-6);
                prop_assert!((tare_g.unwrap() - tare as f64 / 10.0 * in_g).abs() < 1e-6);
            }
            _ => prop_assert_eq!((mass, tare_g), (None, None)),
        }
    }
}
