//! Values published outside this project.
//!
//! Every assertion names its source and how far we got to it:
//! *seen* (read in the document named), *restatement* (read in a restatement
//! or an implementation of it), *computed* (from the formula stated or with the
//! reference library named), *from memory* (not confirmed).

mod criteria;
mod flow;
mod leak;
mod out_leak;
mod refrigerant;
mod test_gases;
mod units;
mod water;

/// Asserts that two numbers agree within a relative tolerance.
#[track_caller]
fn assert_rel(actual: f64, expected: f64, tolerance: f64) {
    let error = (actual / expected - 1.0).abs();
    assert!(
        error <= tolerance,
        "{actual} instead of {expected}: relative error {error:.2e} above {tolerance:.0e}"
    );
}

/// Asserts that two numbers agree within an absolute tolerance.
#[track_caller]
fn assert_abs(actual: f64, expected: f64, tolerance: f64) {
    let error = (actual - expected).abs();
    assert!(
        error <= tolerance,
        "{actual} instead of {expected}: error {error:.2e} above {tolerance:.0e}"
    );
}

/// A pressure in micron, for tests.
#[track_caller]
fn micron(value: f64) -> vacuum::Pressure {
    vacuum::Pressure::from_micron(value).expect("a pressure")
}

/// A pressure in pascal, for tests.
#[track_caller]
fn pascal(value: f64) -> vacuum::Pressure {
    vacuum::Pressure::from_pa(value).expect("a pressure")
}
