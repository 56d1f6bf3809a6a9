//! Numbers as people read them: units, and only the digits they deserve.

use analyser::Estimate;

/// `value` with `digits` significant digits and commas between thousands;
/// powers of ten outside 0.001 … 10 million.
pub(crate) fn significant(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return "unknown".to_owned();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let exponent = exponent_of(value, digits);
    if !(-3..7).contains(&exponent) {
        let mantissa = value / 10_f64.powi(exponent);
        return format!(
            "{} × 10{}",
            decimals(mantissa, digits - 1),
            raised(exponent)
        );
    }
    let places = i32::try_from(digits).unwrap_or(3) - 1 - exponent;
    if let Ok(places) = usize::try_from(places) {
        decimals(value, places)
    } else {
        let unit = 10_f64.powi(-places);
        decimals((value / unit).round() * unit, 0)
    }
}

/// Power of ten of the first digit after rounding to `digits`.
fn exponent_of(value: f64, digits: usize) -> i32 {
    // the formatter rounds first, so that 9.996 counts as 10.0
    let text = format!("{:.*e}", digits.saturating_sub(1), value);
    text.rsplit('e')
        .next()
        .and_then(|e| e.parse().ok())
        .unwrap_or(0)
}

fn raised(exponent: i32) -> String {
    const DIGITS: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    let mut out = String::new();
    if exponent < 0 {
        out.push('⁻');
    }
    for digit in exponent.unsigned_abs().to_string().bytes() {
        out.push(DIGITS[usize::from(digit - b'0') % 10]);
    }
    out
}

/// `value` with a fixed number of decimals and commas between thousands.
fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let (sign, rest) = text
        .strip_prefix('-')
        .map_or(("", text.as_str()), |rest| ("−", rest));
    let (whole, fraction) = rest.split_once('.').unwrap_or((rest, ""));
    let mut out = String::from(sign);
    for (i, c) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) && whole.len() > 3 {
            out.push(',');
        }
        out.push(c);
    }
    if !fraction.is_empty() {
        out.push('.');
        out.push_str(fraction);
    }
    // "−0.00" is no number to show anybody
    if out.starts_with('−') && !out.chars().any(|c| c.is_ascii_digit() && c != '0') {
        out.remove(0);
    }
    out
}

/// A measured pressure: three significant digits, but no tenths of a micron
/// from 10 micron up, which hardly a gauge on a system can show: "262 micron".
pub(crate) fn micron(value: f64) -> String {
    let shown = if value < 99.5 {
        significant(value, 2)
    } else {
        significant(value.round(), 3)
    };
    format!("{shown} micron")
}

/// A limit as it was set: "1,250 micron".
pub(crate) fn limit(value: f64) -> String {
    format!("{} micron", plain(value, 6))
}

/// `value` with at most `digits` significant digits and no trailing zeros.
pub(crate) fn plain(value: f64, digits: usize) -> String {
    let text = significant(value, digits);
    if text.contains('.') && !text.contains('×') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// An estimate with its 95 % interval: "1.20 micron/min (95 %: 1.00 to 1.40)".
///
/// The interval gets two significant digits of its half width, and value and
/// ends share the last place (the practice of the GUM, JCGM 100:2008 §7.2.6).
pub(crate) fn estimate(e: &Estimate, unit: &str) -> String {
    estimate_to(e, unit, i32::MIN)
}

/// An estimated pressure with its 95 % interval, whole micron at the finest.
pub(crate) fn estimated_micron(e: &Estimate) -> String {
    estimate_to(e, "micron", 0)
}

/// `finest` is the power of ten of the last place at the finest.
fn estimate_to(e: &Estimate, unit: &str, finest: i32) -> String {
    let half = 0.5 * (e.high - e.low);
    if !(half.is_finite() && half > 0.0 && e.value.is_finite()) {
        return format!("{} {unit}", significant(e.value, 3));
    }
    let largest = e.value.abs().max(e.low.abs()).max(e.high.abs());
    let top = exponent_of(largest, 3);
    let scale = if (-3..7).contains(&top) { 0 } else { top };
    let factor = 10_f64.powi(scale);
    let last = exponent_of(half / factor, 2) - 1;
    // no more than three digits, however narrow the interval: the gauge's own
    // calibration is no better
    let last = last.max(exponent_of(largest / factor, 3) - 2).max(finest);
    let show = |value: f64| {
        let value = value / factor;
        if let Ok(places) = usize::try_from(-last) {
            decimals(value, places)
        } else {
            let unit = 10_f64.powi(last);
            decimals((value / unit).round() * unit, 0)
        }
    };
    let power = if scale == 0 {
        String::new()
    } else {
        format!(" × 10{}", raised(scale))
    };
    format!(
        "{}{power} {unit} (95 %: {} to {}{power})",
        show(e.value),
        show(e.low),
        show(e.high)
    )
}

/// A length of time: "45 s", "12.5 min", "3 h 20 min".
pub(crate) fn duration(seconds: f64) -> String {
    if !seconds.is_finite() {
        "unknown".to_owned()
    } else if seconds < 99.5 {
        format!("{} s", plain((seconds).round(), 3))
    } else if seconds < 3.0 * 3600.0 {
        format!("{} min", plain((seconds / 6.0).round() / 10.0, 4))
    } else {
        let minutes = (seconds / 60.0).round();
        let hours = (minutes / 60.0).floor();
        format!("{} h {:02.0} min", plain(hours, 9), minutes - 60.0 * hours)
    }
}

/// A moment of the run: "0:30:05".
pub(crate) fn clock(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "unknown".to_owned();
    }
    let sign = if seconds < -0.5 { "−" } else { "" };
    let total = seconds.abs().round();
    let hours = (total / 3600.0).floor();
    let minutes = ((total - hours * 3600.0) / 60.0).floor();
    let rest = total - hours * 3600.0 - minutes * 60.0;
    format!("{sign}{hours:.0}:{minutes:02.0}:{rest:02.0}")
}

/// The start of a run, RFC 3339 in UTC, as people write it: "2026-03-14
/// 09:15:00 UTC". Anything else stays as it is.
pub(crate) fn utc(rfc3339: &str) -> String {
    let plain = rfc3339.get(..19).filter(|s| s.is_ascii());
    let zone = rfc3339.trim_start_matches(|c: char| c.is_ascii_digit() || "-T:.".contains(c));
    match plain {
        Some(plain) if matches!(zone, "Z" | "+00:00") => {
            format!("{} UTC", plain.replacen('T', " ", 1))
        }
        _ => rfc3339.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn e(value: f64, low: f64, high: f64) -> Estimate {
        Estimate { value, low, high }
    }

    #[test]
    fn digits() {
        for (value, digits, wanted) in [
            (262.34, 3, "262"),
            (18_764.0, 3, "18,800"),
            (9.996, 3, "10.0"),
            (0.0123, 2, "0.012"),
            (2.2e-6, 2, "2.2 × 10⁻⁶"),
            (9.9999e6, 3, "1.00 × 10⁷"),
            (-3.25, 2, "−3.2"),
            (0.0, 3, "0"),
            (f64::NAN, 3, "unknown"),
        ] {
            assert_eq!(significant(value, digits), wanted);
        }
        assert_eq!(limit(500.0), "500 micron");
        assert_eq!(limit(1250.0), "1,250 micron");
        assert_eq!(plain(2.50, 3), "2.5");
    }

    #[test]
    fn intervals_share_the_last_place() {
        for (input, wanted) in [
            (e(1.2, 1.0, 1.4), "1.20 u (95 %: 1.00 to 1.40)"),
            (e(812.3, 650.0, 1010.0), "810 u (95 %: 650 to 1,010)"),
            (
                e(2.2e-6, 1.9e-6, 2.5e-6),
                "2.20 × 10⁻⁶ u (95 %: 1.90 to 2.50 × 10⁻⁶)",
            ),
            (e(0.01, -0.06, 0.08), "0.010 u (95 %: −0.060 to 0.080)"),
            (e(5.0, 5.0, 5.0), "5.00 u"),
            (e(5.0, f64::NEG_INFINITY, 9.0), "5.00 u"),
            (
                e(123.456_789, 123.456_7, 123.456_9),
                "123 u (95 %: 123 to 123)",
            ),
        ] {
            assert_eq!(estimate(&input, "u"), wanted);
        }
    }

    #[test]
    fn pressures_get_no_digits_that_no_gauge_shows() {
        for (value, wanted) in [
            (47.0, "47 micron"),
            (99.4, "99 micron"),
            (99.7, "100 micron"),
            (262.34, "262 micron"),
            (16_636.0, "16,600 micron"),
            (3.26, "3.3 micron"),
            (0.0, "0 micron"),
        ] {
            assert_eq!(micron(value), wanted);
        }
        assert_eq!(
            estimated_micron(&e(306.5, 306.0, 309.7)),
            "306 micron (95 %: 306 to 310)"
        );
    }

    #[test]
    fn starts_of_runs() {
        assert_eq!(utc("2026-03-14T09:15:00Z"), "2026-03-14 09:15:00 UTC");
        let exact = "2026-11-25T10:25:40.534+00:00";
        assert_eq!(utc(exact), "2026-11-25 10:25:40 UTC");
        for odd in ["2026-03-14T09:15:00+02:00", "yesterday", "", "Ж2026-03-14"] {
            assert_eq!(utc(odd), odd);
        }
    }

    #[test]
    fn times() {
        assert_eq!(duration(45.2), "45 s");
        assert_eq!(duration(600.0), "10 min");
        assert_eq!(duration(754.0), "12.6 min");
        assert_eq!(duration(12_000.0), "3 h 20 min");
        assert_eq!(clock(1805.4), "0:30:05");
        assert_eq!(clock(36_000.0), "10:00:00");
    }
}
