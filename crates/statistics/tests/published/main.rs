//! Fits against published values and another implementation.
//!
//! - `strd`: certified values of the NIST Statistical Reference Datasets.
//! - `against_scipy`: the same fits by SciPy, numbers made by `scipy_reference.py`.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

mod against_scipy;
mod strd;

#[track_caller]
fn assert_near(what: &str, value: f64, wanted: f64, relative: f64) {
    let error = ((value - wanted) / wanted).abs();
    assert!(
        error <= relative,
        "{what}: {value} against {wanted}, relative error {error:.1e}, allowed {relative:.0e}"
    );
}
