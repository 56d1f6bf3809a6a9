//! A curve as a short text: about one character a bin.
//!
//! Pressures are rounded to hundredths of a decade (2.3 %), less than a pixel of the largest
//! picture. Each bin is one digit of base 90: the step from the bin before, from −44 to 44
//! hundredths as 0 to 88. A larger step, and the first bin, is the digit 89, then the pressure
//! itself plus [`OFFSET`] as two digits. A digit is a printable ASCII character that neither
//! JSON nor HTML gives a meaning of its own.

use desk::CurveInBins;

const BASE: i32 = 90;
const LARGEST_STEP: i32 = 44;
const ABSOLUTE: i32 = 89;
/// Makes every hundredth of a decade that 16 bits hold positive.
const OFFSET: i32 = 3_277;

/// The digit of a value from 0 to 89.
fn digit(value: i32) -> char {
    // '#' and on, without '<' and '\'
    let code = 35 + value + i32::from(value >= 25) + i32::from(value >= 56);
    u8::try_from(code).map_or('~', char::from)
}

/// The pressures of a curve.
pub(crate) fn encoded(curve: &CurveInBins) -> String {
    let mut text = String::with_capacity(curve.log_micron.len() + 8);
    let mut before = None;
    for thousandths in &curve.log_micron {
        let now = (i32::from(*thousandths) + 5).div_euclid(10);
        match before.map(|before: i32| now - before) {
            Some(step) if step.abs() <= LARGEST_STEP => text.push(digit(step + LARGEST_STEP)),
            _ => {
                let absolute = now + OFFSET;
                text.extend([ABSOLUTE, absolute / BASE, absolute % BASE].map(digit));
            }
        }
        before = Some(now);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve(log_micron: &[i16]) -> CurveInBins {
        let curve = serde_json::json!({"span_s": 60.0, "log_micron": log_micron});
        serde_json::from_value(curve).expect("a curve")
    }

    /// The other way round, by a table of digits instead of a formula, as the page reads it.
    fn decoded(text: &str) -> Vec<i32> {
        let digits: Vec<char> = (35_u8..=126)
            .map(char::from)
            .filter(|c| !['<', '\\'].contains(c))
            .collect();
        let value = |c: char| digits.iter().position(|d| *d == c).expect("a digit") as i32;
        let mut letters = text.chars();
        let mut found: Vec<i32> = Vec::new();
        while let Some(letter) = letters.next() {
            let now = match (value(letter), found.last()) {
                (89, _) => {
                    let mut next = || value(letters.next().expect("a digit"));
                    next() * 90 + next() - 3_277
                }
                (step, before) => before.expect("a bin before") + step - 44,
            };
            found.push(now);
        }
        found
    }

    #[test]
    fn every_pressure_comes_back_to_half_a_hundredth_of_a_decade() {
        let all: Vec<i16> = (i16::MIN..=i16::MAX).step_by(7).collect();
        let steps = (0..512).map(|i: i16| 3_000 + 450 * (i % 3) - i);
        let ends = [i16::MAX, i16::MIN, 0, 439, 0, 445, 0, -439, 0, -446];
        for log_micron in [all, steps.collect(), ends.to_vec(), vec![]] {
            let curve = curve(&log_micron);
            let text = encoded(&curve);
            assert!(
                text.is_ascii() && !text.contains(['<', '\\', '"']),
                "{text}"
            );
            let back = decoded(&text);
            assert_eq!(back.len(), curve.log_micron.len());
            for (was, is) in curve.log_micron.iter().zip(back) {
                assert!((i32::from(*was) - 10 * is).abs() <= 5, "{was} {is}");
            }
        }
    }

    #[test]
    fn a_usual_curve_takes_one_character_a_bin() {
        let log_micron: Vec<i16> = (0..256).map(|i| 5_880 - 15 * i).collect();
        assert_eq!(encoded(&curve(&log_micron)).len(), 258);
    }
}
