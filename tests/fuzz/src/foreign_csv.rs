//! The import of any CSV.
//!
//! Input: what a person says about the file (units, columns), then the file.
//!
//! Promises: readings or one line of error; time never goes backwards; pressures
//! are finite and not negative; every row is used or rejected; read twice, it
//! says the same; the file is not altered. Memory and time are held down by the
//! limits of the fuzzer.

use foreign_csv::{ImportOptions, TimeUnit};
use vacuum::PressureUnit;

use super::{
    choices::Choices,
    entries::{assert_told, read},
    scratch,
};

/// Checks one input.
pub fn check(data: &[u8]) {
    let mut choices = Choices::new(data);
    let options = options(choices.byte());
    let text = choices.rest();
    scratch::in_folder(|folder| {
        let path = folder.join("foreign.csv");
        scratch::put(&path, text);
        let once = read(&path, &options);
        let again = read(&path, &options);
        match (once, again) {
            (Ok(once), Ok(again)) => assert_eq!(once, again),
            (Err(once), Err(again)) => {
                assert_told(&once);
                assert_eq!(once.to_string(), again.to_string());
            }
            (one, other) => panic!("{one:?}, then {other:?}"),
        }
        assert!(
            std::fs::read(&path).is_ok_and(|kept| kept == text),
            "the file was altered"
        );
    });
}

/// 0 says nothing.
fn options(choice: u8) -> ImportOptions {
    let pressure_unit = match choice & 3 {
        0 => None,
        1 => Some(PressureUnit::Micron),
        2 => Some(PressureUnit::Millibar),
        _ => Some(PressureUnit::Pascal),
    };
    let time_unit = match (choice >> 2) & 3 {
        0 => None,
        1 => Some(TimeUnit::Second),
        2 => Some(TimeUnit::Millisecond),
        _ => Some(TimeUnit::Minute),
    };
    let column = |bits: u8| match bits & 3 {
        0 => None,
        1 => Some("1".to_owned()),
        2 => Some("2".to_owned()),
        _ => Some("time".to_owned()),
    };
    ImportOptions {
        time_column: column(choice >> 4),
        time_unit,
        // both readings of two numbers, by options that are otherwise alike
        two_part: (choice & 0b1000 != 0).then_some(foreign_csv::TwoPart::MinutesSeconds),
        pressure_column: column(choice >> 6),
        pressure_unit,
        ..ImportOptions::default()
    }
}
