//! The same data, fitted by SciPy's `curve_fit` (MINPACK): see
//! `scipy_reference.py`, which made data and numbers (SciPy 1.17.1). Where SciPy
//! stops short of the minimum, Newton steps in 40 digits (mpmath) go on.

use statistics::saturating::{LinearPart, fit_saturating};

use crate::assert_near;

const CURVES: &str = include_str!("../reference/rise_curves.csv");
const MINIMA: &str = include_str!("../reference/polished_fits.csv");
const FITS: &str = include_str!("../reference/scipy_fits.csv");

fn rows(table: &str) -> impl Iterator<Item = Vec<&str>> {
    table.lines().skip(1).map(|line| line.split(',').collect())
}

fn number(field: &str) -> f64 {
    field.parse().unwrap()
}

fn beside(word: &str) -> LinearPart {
    match word {
        "line" => LinearPart::Line,
        "constant" => LinearPart::Constant,
        _ => LinearPart::Nothing,
    }
}

fn curve(case: &str) -> (Vec<f64>, Vec<f64>) {
    rows(CURVES)
        .filter(|row| row[0] == case)
        .map(|row| (number(row[1]), number(row[2])))
        .unzip()
}

/// SciPy stops when its own steps no longer pay: up to 1.4e-8 from the minimum in
/// these cases, see below.
const DIGITS: f64 = 1e-7;

#[test]
fn every_fit_agrees_with_scipy_in_values_errors_and_residuals() {
    let mut checked = 0;
    for row in rows(FITS) {
        let [
            case,
            which,
            constant,
            slope,
            height,
            height_se,
            rate,
            rate_se,
            rss,
        ] = row[..]
        else {
            panic!("nine columns wanted: {row:?}");
        };
        let (t, p) = curve(case);
        let length = t[t.len() - 1];
        let fit =
            fit_saturating(&t, &p, beside(which), (0.02 / length, 100.0 / length)).expect(case);
        assert_eq!(fit.constant.is_some(), !constant.is_empty(), "{case}");
        assert_eq!(fit.slope.is_some(), !slope.is_empty(), "{case}");
        for (what, value, wanted) in [
            ("constant", fit.constant, constant),
            ("slope", fit.slope, slope),
            ("height", Some(fit.height), height),
            ("height error", Some(fit.height_se), height_se),
            ("rate", Some(fit.rate), rate),
            ("rate error", Some(fit.rate_se), rate_se),
            ("residuals", Some(fit.rss), rss),
        ] {
            if let Some(value) = value {
                assert_near(&format!("{case}: {what}"), value, number(wanted), DIGITS);
                checked += 1;
            }
        }
    }
    assert_eq!(checked, 6 * 5 + 3 * 2 + 2, "values compared");
}

#[test]
fn every_fit_reaches_the_minimum_to_twelve_digits() {
    let mut checked = 0;
    for (fit, minimum) in rows(FITS).zip(rows(MINIMA)) {
        let case = fit[0];
        assert_eq!(case, minimum[0]);
        let (t, p) = curve(case);
        let length = t[t.len() - 1];
        let rates = (0.02 / length, 100.0 / length);
        let found = fit_saturating(&t, &p, beside(fit[1]), rates).expect(case);
        assert_near(case, found.height, number(minimum[1]), 1e-12);
        assert_near(case, found.rate, number(minimum[2]), 1e-12);
        checked += 1;
    }
    assert_eq!(checked, 6);
}

/// The range of rates is a range to search, not a start value: it may be four
/// decades wide.
#[test]
fn the_answer_does_not_depend_on_the_range_searched() {
    let (t, p) = curve("leak_and_moisture");
    let narrow = fit_saturating(&t, &p, LinearPart::Line, (5e-3, 5e-2)).unwrap();
    let wide = fit_saturating(&t, &p, LinearPart::Line, (1e-4, 1.0)).unwrap();
    assert_near("rate", wide.rate, narrow.rate, 1e-9);
    assert_near("height", wide.height, narrow.height, 1e-9);
}
