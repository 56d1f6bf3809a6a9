//! Numbers read back from print, by nothing of the program's own.

/// A printed number.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Number {
    pub(crate) value: f64,
    /// One in the last place that is written.
    place: f64,
    /// Zeros before the decimal mark that may be there for want of digits.
    zeros: usize,
    /// Digits before the decimal mark, where nothing stands behind it.
    whole: Option<usize>,
    /// What stands behind it, up to the next number.
    behind: String,
}

/// Every number in `text`; none that is part of a name ("R-600a").
pub(crate) fn read(text: &str, decimal: char) -> Vec<Number> {
    let thousands = if decimal == '.' { ',' } else { '.' };
    let letters: Vec<char> = text.chars().collect();
    let mut found: Vec<Number> = Vec::new();
    let mut i = 0;
    while i < letters.len() {
        let before = i.checked_sub(1).map(|b| letters[b]);
        let is_name = before.is_some_and(|c| c.is_alphanumeric() || c == '-');
        if !letters[i].is_ascii_digit() || is_name {
            if let Some(last) = found.last_mut() {
                last.behind.push(letters[i]);
            }
            i += 1;
            continue;
        }
        let from = i;
        let is_in = |at: usize| {
            let digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
            digit(at) || (matches!(letters.get(at), Some('.' | ',' | ':')) && digit(at + 1))
        };
        while is_in(i) {
            i += 1;
        }
        let token: String = letters[from..i].iter().collect();
        let mut number = one(&token, decimal, thousands);
        if before == Some('−') {
            number.value = -number.value;
        }
        found.push(number);
    }
    // a power of ten belongs to the number before it, and to the low end of its range
    let mut at = 0;
    while at < found.len() {
        if at > 0 && found[at].value == 10.0 && found[at - 1].behind == " × " {
            let power = raised(&found[at].behind);
            let last = found.remove(at);
            let rest: String = last.behind.chars().filter(|c| !is_raised(*c)).collect();
            let number = &mut found[at - 1];
            number.value *= 10_f64.powi(power);
            number.place *= 10_f64.powi(power);
            number.behind = rest;
        } else {
            at += 1;
        }
    }
    found
}

/// A number, or a moment as h:mm:ss.
fn one(token: &str, decimal: char, thousands: char) -> Number {
    let plain = |value| Number {
        value,
        place: 1.0,
        zeros: 0,
        whole: None,
        behind: String::new(),
    };
    if token.contains(':') {
        let parts = token.split(':').map(|p| p.parse::<f64>().unwrap());
        return plain(parts.fold(0.0, |all, part| 60.0 * all + part));
    }
    let (whole, fraction) = token.split_once(decimal).unwrap_or((token, ""));
    for group in whole.split(thousands).skip(1) {
        assert_eq!(group.len(), 3, "{token} has no thousands of three digits");
    }
    let whole: String = whole.chars().filter(|c| *c != thousands).collect();
    let zeros = whole.len() - whole.trim_end_matches('0').len();
    Number {
        value: format!("{whole}.{fraction}").parse().unwrap(),
        place: 10_f64.powi(-i32::try_from(fraction.len()).unwrap()),
        zeros,
        whole: fraction.is_empty().then_some(whole.len()),
        behind: String::new(),
    }
}

const RAISED: [char; 11] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹', '⁻'];

fn is_raised(c: char) -> bool {
    RAISED.contains(&c)
}

fn raised(text: &str) -> i32 {
    let mut out = String::new();
    for c in text.chars().take_while(|c| is_raised(*c)) {
        let digit = RAISED.iter().position(|r| *r == c).unwrap();
        out.push_str(&if digit == 10 {
            "-".to_owned()
        } else {
            digit.to_string()
        });
    }
    out.parse().unwrap()
}

impl Number {
    /// One in the last place that counts, of a number of at least so many digits.
    fn unit(&self, digits: usize) -> f64 {
        let spare = self.whole.map_or(0, |n| n.saturating_sub(digits));
        self.place * 10_f64.powi(i32::try_from(self.zeros.min(spare)).unwrap())
    }
}

/// What a cell should say, number for number.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Expected {
    /// To at least so many digits.
    Value(f64, usize),
    /// Best value and ends, to the same last place.
    Estimate([f64; 3]),
    /// A length of time, s.
    Duration(f64),
    /// How long a hold lasted, s, rounded down; half a second is given.
    Held(f64),
    /// How long is needed, s, rounded up.
    ToGo(f64),
    /// A moment, s.
    Moment(f64),
}

/// Complains of every number of `text` that is not as expected, and of numbers too
/// many or too few.
pub(crate) fn differences(text: &str, decimal: char, expected: &[Expected]) -> Vec<String> {
    let mut numbers = read(text, decimal).into_iter();
    let mut out = Vec::new();
    let mut check = |printed: Option<f64>, wanted: f64, unit: f64| {
        // the JSON has six digits
        let most = 0.5 * unit * (1.0 + 1e-9) + 2e-6 * wanted.abs();
        if !printed.is_some_and(|p| (p - wanted).abs() <= most) {
            out.push(format!("“{text}”: {printed:?} for {wanted}, unit {unit}"));
        }
    };
    for one in expected {
        match one {
            Expected::Value(wanted, digits) => {
                let number = numbers.next();
                let unit = number.as_ref().map_or(0.0, |n| n.unit(*digits));
                check(number.map(|n| n.value), *wanted, unit);
            }
            Expected::Moment(wanted) => check(numbers.next().map(|n| n.value), *wanted, 1.0),
            Expected::Duration(wanted) | Expected::Held(wanted) | Expected::ToGo(wanted) => {
                // the middle of what rounds to what is printed
                let middle = |unit: f64| match one {
                    Expected::Held(_) => wanted + 0.5 - 0.5 * unit,
                    Expected::ToGo(_) => wanted + 0.5 * unit,
                    _ => *wanted,
                };
                let number = numbers.next();
                let behind = number.as_ref().map_or("", |n| n.behind.trim_start());
                let value = number.as_ref().map(|n| n.value);
                // whole seconds, tenths of minutes, whole minutes
                if behind.starts_with("h ") || behind == "h" {
                    let minutes = numbers.next().map_or(f64::NAN, |n| n.value);
                    let held = value.map(|h| 3600.0 * h + 60.0 * minutes);
                    check(held, middle(60.0), 60.0);
                } else if behind.starts_with("min") {
                    check(value.map(|m| 60.0 * m), middle(6.0), 6.0);
                } else {
                    let seconds = value.filter(|_| behind.starts_with('s'));
                    check(seconds, middle(1.0), 1.0);
                }
            }
            Expected::Estimate(wanted) => {
                let mut three: Vec<Number> = numbers.by_ref().take(3).collect();
                // the power stands behind the value and behind the upper end
                if let [value, low, _] = &mut three[..]
                    && value.place < 1e-4
                    && low.place > value.place
                {
                    let power = value.place / low.place;
                    low.value *= power;
                    low.place *= power;
                }
                let unit = three.iter().map(|n| n.unit(2)).fold(f64::MAX, f64::min);
                for (i, wanted) in wanted.iter().enumerate() {
                    check(three.get(i).map(|n| n.value), *wanted, unit);
                }
            }
        }
    }
    let more: Vec<f64> = numbers.map(|n| n.value).collect();
    if !more.is_empty() {
        out.push(format!("“{text}”: {more:?} too many"));
    }
    out
}

#[test]
fn numbers_are_read_as_people_read_them() {
    let values = |text: &str, decimal| -> Vec<f64> {
        let numbers = read(text, decimal).into_iter();
        numbers.map(|n| n.value).collect()
    };
    assert_eq!(values("1,070 micron, 2.5 of R-600a", '.'), [1070.0, 2.5]);
    assert_eq!(values("1.070 micron, 2,5 of R-600a.", ','), [1070.0, 2.5]);
    assert_eq!(values("at 0:40:05 (mark)", '.'), [2405.0]);
    assert_eq!(values("−0.2 to 1.20 × 10⁻⁶ Pa·m³/s", '.'), [-0.2, 1.20e-6]);
}

#[test]
fn half_a_unit_of_the_last_digit_is_the_limit() {
    let bad = |text: &str, expected| !differences(text, '.', &[expected]).is_empty();
    assert!(!bad("262 micron", Expected::Value(262.49, 3)));
    assert!(bad("262 micron", Expected::Value(262.51, 3)));
    assert!(!bad("1,070 micron", Expected::Value(1074.9, 3)));
    assert!(bad("1,070 micron", Expected::Value(1075.2, 3)));
    assert!(bad("500 micron", Expected::Value(501.0, 3)));
    assert!(!bad("12.6 min", Expected::Duration(754.0)));
    assert!(bad("12.6 min", Expected::Duration(760.0)));
    assert!(!bad("3 h 20 min", Expected::Duration(12_020.0)));
    assert!(bad("3 h 20 min", Expected::Duration(12_040.0)));
    assert!(!bad("9.9 min", Expected::Held(599.0)));
    assert!(bad("10 min", Expected::Held(599.0)));
    assert!(!bad("10 min", Expected::ToGo(599.0)));
    assert!(bad("10 min", Expected::ToGo(600.5)));
    assert!(bad("nothing", Expected::Value(1.0, 3)));
    let all = Expected::Estimate([1.12e-4, 1.03e-4, 1.21e-4]);
    assert!(!bad(
        "1.12 × 10⁻⁴ Pa·m³/s (1.03 to 1.21 × 10⁻⁴)",
        all.clone()
    ));
    assert!(bad("1.12 × 10⁻⁴ Pa·m³/s (1.05 to 1.21 × 10⁻⁴)", all));
    assert!(!differences("7 and 8", '.', &[Expected::Value(7.0, 3)]).is_empty());
}
