//! Units of a foreign CSV: stated, asked back, or said by an option.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::fs;

use foreign_csv::{ImportError, ImportOptions, ImportProblem, ImportSummary, TableReader};
use plain_file::Links;
use vacuum::{Entry, PressureUnit, UnitBasis};

fn read_with(
    table: &str,
    options: &ImportOptions,
) -> Result<(Vec<Entry>, ImportSummary), ImportError> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("invented.csv");
    fs::write(&path, table).unwrap();
    let mut source = TableReader::open(&path, Links::Follow, options)?;
    let mut entries = Vec::new();
    while let Some(entry) = source.next_entry()? {
        entries.push(entry);
    }
    Ok((entries, source.summary()))
}

/// What is said, and whether an option would settle it.
fn error_with(table: &str, options: &ImportOptions) -> (String, bool) {
    let error = read_with(table, options).unwrap_err();
    (
        error.to_string(),
        matches!(error.problem(), ImportProblem::Missing(_)),
    )
}

/// 0 is what a gauge that counts from the air around shows when the system stands
/// open, so a word used for both kinds of pressure is asked back, wherever it stands.
#[test]
fn a_unit_of_both_kinds_of_pressure_is_asked_back() {
    for (unit, answer) in [("psi", "psia"), ("bar", "bar abs"), ("inHg", "inHg abs")] {
        for table in [
            format!("t,pressure ({unit})\n0,0.0\n1,0.0\n"),
            format!("t,pressure {unit}\n0,0.0\n1,0.0\n"),
            format!("t;pressure\n(s);({unit})\n0;0.0\n1;0.0\n"),
            format!("t,p\n0,0.0 {unit}\n1,0.0 {unit}\n"),
            format!("t,p,unit\n0,0.0,{unit}\n1,0.0,{unit}\n"),
            format!("{unit},t\n0.0,0\n0.0,1\n"),
        ] {
            let (text, usage) = error_with(&table, &ImportOptions::default());
            assert!(usage, "{table}: {text}");
            assert!(
                text.contains("may count from full vacuum or from the air"),
                "{table}: {text}"
            );
        }
        // the answer is taken
        let options = ImportOptions {
            pressure_unit: foreign_csv::parse_pressure_unit(answer).ok(),
            ..ImportOptions::default()
        };
        let (_, summary) =
            read_with(&format!("t,pressure ({unit})\n0,0.1\n1,0.1\n"), &options).unwrap();
        assert_eq!(
            summary.unit.map(|u| u.basis),
            Some(UnitBasis::Option),
            "{unit}"
        );
    }
    let (text, usage) = error_with("t,pressure (in)\n0,0.0\n", &ImportOptions::default());
    assert!(usage && text.contains("set the gauge to micron"), "{text}");
}

#[test]
fn an_option_does_not_change_what_a_column_counts_from() {
    for unit in ["psia", "micron"] {
        let options = ImportOptions {
            pressure_unit: foreign_csv::parse_pressure_unit(unit).ok(),
            ..ImportOptions::default()
        };
        let (text, usage) = error_with("t,p (psig)\n0,0.0\n1,0.0\n", &options);
        assert!(usage && text.contains("counts from the air"), "{text}");
    }
}

#[test]
fn who_says_the_unit_is_kept() {
    let said = |table: &str, unit: Option<PressureUnit>| {
        let options = ImportOptions {
            pressure_unit: unit,
            ..ImportOptions::default()
        };
        let found = read_with(table, &options).unwrap().1.unit.unwrap();
        (found.unit, found.basis)
    };
    let (micron, torr) = (PressureUnit::Micron, PressureUnit::Torr);
    let stated = "t,p (micron)\n0,500\n";
    assert_eq!(said(stated, None), (micron, UnitBasis::Stated));
    assert_eq!(said(stated, Some(micron)), (micron, UnitBasis::Stated));
    assert_eq!(said(stated, Some(torr)), (torr, UnitBasis::Option));
    assert_eq!(said("t,p\n0,0.5\n", Some(torr)), (torr, UnitBasis::Option));
    assert_eq!(said("t,p\n0,0.5 Torr\n", None), (torr, UnitBasis::Stated));
    assert_eq!(
        said("t,p,unit\n0,0.5,Torr\n", None),
        (torr, UnitBasis::Stated)
    );
}
