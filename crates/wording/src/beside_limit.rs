//! Pressures beside a limit: no rounding takes one to the other side of it.

use crate::{Voice, numbers::Shown};

impl Voice {
    /// A measured pressure beside a limit that it was held against, micron: as
    /// [`Voice::pressure`], with as many digits more as it takes to read on which side of
    /// the limit it lies, eight at most.
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!(voice.pressure_beside(500.4, 500.0), "500.4 micron");
    /// assert_eq!(voice.pressure_beside(523.4, 500.0), "523 micron");
    /// ```
    #[must_use]
    pub fn pressure_beside(&self, micron: f64, limit_micron: f64) -> String {
        let equal = (micron - limit_micron).abs() <= 1e-9 * limit_micron.abs();
        if equal || !micron.is_finite() || micron <= 0.0 {
            return self.pressure(micron);
        }
        let limit = self.limit_shown(limit_micron);
        let is_above = micron > limit_micron;
        // what is read is compared, in the digits of both units
        let tells = |shown: &Shown, digits: usize| {
            let sides = |value: f64, limit: f64| match is_above {
                true => rounded_to(value, digits) > limit,
                false => rounded_to(value, digits) < limit,
            };
            let unit = self.unit_micron();
            *shown != limit
                && sides(micron, limit_micron)
                && (!self.has_both()
                    || (shown.chosen != limit.chosen
                        && sides(micron / unit, rounded_to(limit_micron / unit, 3))))
        };
        let usual = self.pressure_shown(micron);
        if tells(&usual, if micron < 99.5 { 2 } else { 3 }) {
            return usual.into();
        }
        let mut shown = usual;
        for digits in 3..=8 {
            let text = self.plain(micron, digits);
            shown = self.beside_micron(micron, &text, digits, "");
            if tells(&shown, digits) {
                break;
            }
        }
        shown.into()
    }
}

/// `value` with so many significant digits.
fn rounded_to(value: f64, digits: usize) -> f64 {
    let text = format!("{:.*e}", digits.saturating_sub(1), value);
    text.parse().unwrap_or(value)
}
