//! How many digits numbers and times have in JSON.

use serde::{Serialize, Serializer};

/// A number at six significant digits; `null` when not finite.
#[derive(Clone, Copy)]
pub(super) struct Number(pub(super) f64);

/// A time, s, at whole milliseconds; `null` when not finite.
#[derive(Clone, Copy)]
pub(super) struct Seconds(pub(super) f64);

/// A number at six significant digits, as every pressure and rate in JSON has them.
///
/// ```
/// assert_eq!(report::six_digits(123.456_789), 123.457);
/// ```
#[must_use]
pub fn six_digits(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        whole_or_decimal(six_digits(self.0), serializer)
    }
}

impl Serialize for Seconds {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let rounded = (self.0 * 1000.0).round() / 1000.0;
        whole_or_decimal(rounded, serializer)
    }
}

/// Writes 500 as `500`, not `500.0`.
fn whole_or_decimal<S: Serializer>(value: f64, serializer: S) -> Result<S::Ok, S::Error> {
    if !value.is_finite() {
        return serializer.serialize_none();
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole and well inside the range"
    )]
    if value.fract() == 0.0 && value.abs() < 1e15 {
        return serializer.serialize_i64(value as i64);
    }
    serializer.serialize_f64(value)
}
