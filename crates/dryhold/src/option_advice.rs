//! Which option of the command line gives what a foreign CSV does not say.
//!
//! The libraries say what is missing as data; only here it is tied to an option.

use foreign_csv::{ColumnUnit, ImportProblem, Missing, RequiredColumn, TallyProblem};
use run_record::{RecordError, Summary};
use vacuum::{PressureUnit, UnitBasis, UnitWord};

/// The error in one line, with the options that settle it.
pub(crate) fn record_error(error: &RecordError) -> String {
    let advice = error.import_problem().map(import_advice);
    format!("{error}{}", advice.unwrap_or_default())
}

/// How a record was read, for a person to confirm.
pub(crate) fn notes(summary: &Summary) -> Vec<String> {
    let column = summary.column_unit.as_ref().map(column_note);
    column.into_iter().chain(summary.notes.clone()).collect()
}

fn column_note(column: &ColumnUnit) -> String {
    match column.unit.basis {
        UnitBasis::Option => format!("{column}, as --pressure-unit says"),
        UnitBasis::Stated | UnitBasis::Dialect => column.to_string(),
    }
}

/// What follows the text of the problem; empty where no option helps.
fn import_advice(problem: &ImportProblem) -> String {
    match problem {
        ImportProblem::Missing(missing) => missing_advice(missing),
        ImportProblem::AmbiguousTime { .. } => {
            ", or say --time-unit mm:ss or --time-unit hh:mm".to_owned()
        }
        ImportProblem::TimesMixed { .. } => {
            ", or name another column with --time-column".to_owned()
        }
        ImportProblem::Rows(TallyProblem::NotUnderstood { .. }) => {
            ", or name the right columns with --time-column and --pressure-column".to_owned()
        }
        _ => String::new(),
    }
}

fn missing_advice(missing: &Missing) -> String {
    match missing {
        Missing::Several(all) => several_advice(all),
        Missing::Column { column, .. } => format!(". Name it with {}", option_of(*column)),
        Missing::NamedColumn { column, .. } => format!(". Correct {}", option_of(*column)),
        Missing::WhichPressure { .. } => {
            format!(". Choose one with {}", option_of(RequiredColumn::Pressure))
        }
        Missing::PressureUnit { .. } => {
            format!(": say it with --pressure-unit ({})", PressureUnit::LISTED)
        }
        Missing::AbsoluteUnit {
            word: UnitWord::Ambiguous(Some(unit)),
            ..
        } => format!(
            ": say --pressure-unit \"{unit}\" if the gauge reads 0 at full vacuum; a gauge that \
             reads 0 in open air cannot judge a vacuum"
        ),
        Missing::AbsoluteColumn { given, .. } => format!(
            ", and --pressure-unit {given} does not change what was measured: set the gauge to \
             micron, Torr, Pa or mbar, counted from full vacuum, and record again"
        ),
        _ => String::new(),
    }
}

/// All options that are missing, in one sentence that can be typed off.
fn several_advice(all: &[Missing]) -> String {
    let mut options: Vec<String> = Vec::new();
    let mut add = |option: &str| {
        if !options.iter().any(|known| known == option) {
            options.push(option.to_owned());
        }
    };
    for missing in all {
        match missing {
            Missing::Column { column, .. } | Missing::NamedColumn { column, .. } => {
                add(&format!("{} COLUMN", option_of(*column)));
            }
            Missing::WhichPressure { .. } => {
                add(&format!("{} COLUMN", option_of(RequiredColumn::Pressure)));
            }
            Missing::AbsoluteUnit {
                word: UnitWord::Ambiguous(Some(unit)),
                ..
            } => add(&format!("--pressure-unit \"{unit}\"")),
            _ => add("--pressure-unit UNIT"),
        }
    }
    // without a column nobody knows its unit
    let open = |m: &Missing| {
        matches!(
            m,
            Missing::Column {
                column: RequiredColumn::Pressure,
                ..
            }
        )
    };
    if all.iter().any(open) {
        add("--pressure-unit UNIT");
    }
    let unit = match options.iter().any(|o| o.ends_with("UNIT")) {
        true => format!(" (UNIT: {})", PressureUnit::LISTED),
        false => String::new(),
    };
    format!(". Give {}{unit}", options.join(" "))
}

const fn option_of(column: RequiredColumn) -> &'static str {
    match column {
        RequiredColumn::Time => "--time-column",
        RequiredColumn::Pressure => "--pressure-column",
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use run_record::{ImportOptions, Source};

    use super::*;

    fn open(table: &str, options: &ImportOptions) -> Result<Summary, String> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("invented.csv");
        fs::write(&path, table).unwrap();
        let read = || {
            let mut source = Source::open(&path, options)?;
            while source.next_entry()?.is_some() {}
            Ok(source.summary())
        };
        read().map_err(|e: RecordError| {
            let text = record_error(&e);
            let (_, text) = text.split_once("invented.csv: ").unwrap();
            text.to_owned()
        })
    }

    fn asked(table: &str) -> String {
        open(table, &ImportOptions::default()).unwrap_err()
    }

    fn with_unit(unit: PressureUnit) -> ImportOptions {
        ImportOptions {
            pressure_unit: Some(unit),
            ..ImportOptions::default()
        }
    }

    #[test]
    fn what_is_missing_names_the_option_that_gives_it() {
        assert_eq!(
            asked("t,pressure\n0,500\n"),
            "the unit of pressure column \"pressure\" is not stated: say it with --pressure-unit \
             (micron, Torr, Pa, kPa, MPa, mbar, \"bar abs\", \"inHg abs\", psia or atm)"
        );
        assert_eq!(
            asked("t,P near (mbar),P far (mbar)\n0,1,2\n"),
            "several columns could be the pressure: \"P near (mbar)\", \"P far (mbar)\". \
             Choose one with --pressure-column"
        );
        assert_eq!(
            asked("t,foo\n1,2\n"),
            "no pressure column was recognised; columns seen: \"t\", \"foo\". Name it with \
             --pressure-column"
        );
        let wrong = ImportOptions {
            time_column: Some("then".into()),
            ..ImportOptions::default()
        };
        assert_eq!(
            open("t,p_pa\n1,2\n", &wrong).unwrap_err(),
            "there is no column \"then\"; columns seen: \"t\", \"p_pa\". Correct --time-column"
        );
    }

    #[test]
    fn everything_that_is_missing_is_one_line_with_all_options() {
        assert_eq!(
            asked("foo,baz\n1,2\n2,3\n"),
            "no pressure column was recognised; no time column was recognised; columns seen: \
             \"foo\", \"baz\". Give --pressure-column COLUMN --time-column COLUMN \
             --pressure-unit UNIT (UNIT: micron, Torr, Pa, kPa, MPa, mbar, \"bar abs\", \"inHg abs\", \
             psia or atm)"
        );
        let text = asked("foo,pressure (psi)\n1,2\n2,3\n");
        assert!(
            text.ends_with("Give --time-column COLUMN --pressure-unit \"psia\""),
            "{text}"
        );
        let text = asked("time,p_pa\n00:01,9\n00:02,8\n");
        assert!(
            text.ends_with("--time-unit mm:ss or --time-unit hh:mm"),
            "{text}"
        );
    }

    #[test]
    fn a_unit_of_both_kinds_of_pressure_names_the_absolute_one() {
        for (unit, answer) in [("psi", "psia"), ("bar", "bar abs"), ("inHg", "inHg abs")] {
            for table in [
                format!("t,pressure ({unit})\n0,0.0\n1,0.0\n"),
                format!("t,p\n0,0.0 {unit}\n1,0.0 {unit}\n"),
                format!("t,p,unit\n0,0.0,{unit}\n1,0.0,{unit}\n"),
            ] {
                let text = asked(&table);
                let option = format!(": say --pressure-unit \"{answer}\" if the gauge reads 0");
                assert!(text.contains(&option), "{table}: {text}");
            }
        }
        let text = open("t,p (psig)\n0,0.0\n1,0.0\n", &with_unit(PressureUnit::Psi)).unwrap_err();
        assert!(
            text.contains(
                "counts from the air around the gauge, and --pressure-unit psia does not"
            ),
            "{text}"
        );
        // no option helps here
        assert!(!asked("t,vacuum (inHg)\n0,29.9\n").contains("--"));
    }

    #[test]
    fn columns_that_make_no_sense_may_be_the_wrong_ones() {
        let mixed: String = (0..400).map(|i| format!("{},5\n", i * 7919 % 97)).collect();
        let text = asked(&format!("t,p_pa\n{mixed}"));
        assert!(text.contains("with --time-column"), "{text}");
        let text = asked("t,p_pa\n0,1\n1,x\n2,y\n3,2\n");
        assert!(
            text.ends_with("name the right columns with --time-column and --pressure-column"),
            "{text}"
        );
    }

    #[test]
    fn a_unit_given_by_option_is_noted_first() {
        let summary = open("time,P\n0,0.667\n", &with_unit(PressureUnit::Millibar)).unwrap();
        assert_eq!(
            notes(&summary),
            [
                "pressure column \"P\" read as mbar, as --pressure-unit says",
                "time column has no unit: read as seconds"
            ]
        );
        let summary = open("t_s,P (mbar)\n0,0.667\n", &ImportOptions::default()).unwrap();
        assert_eq!(
            notes(&summary),
            ["pressure column \"P (mbar)\" read as mbar"]
        );
    }
}
