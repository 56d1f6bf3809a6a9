//! Numbers as people read them: units, only the digits they deserve, and the marks
//! of the language. The one place where they are written.
//!
//! Which form when:
//!
//! | form | for | reads |
//! |---|---|---|
//! | [`Voice::pressure`] | a measured pressure | "262 micron", "34.9 Pa (262 micron)" |
//! | [`Voice::rough_pressure`] | a pressure known to two digits | "9,100 micron" |
//! | [`Voice::small_pressure`] | a step, a noise | "0.5 micron" |
//! | [`Voice::limit`] | a limit, as it was set | "1,250 micron" |
//! | [`Voice::reading`] | the newest reading, live: as the gauge shows it | "18,764 micron" |
//! | [`Voice::rate`] | a rate of rise | "10 micron/min" |
//! | [`Voice::estimate`] | a value with its 95 % interval | "1.20 min (95 %: 1.00 to 1.40)" |
//! | [`Voice::plain`], [`Voice::significant`], [`Voice::decimals`], [`Voice::count`] | numbers without a unit | "12.6", "1,206" |

use findings::Estimate;
use vacuum::{Language, PressureUnit};

use crate::{Voice, say};

/// Marks that a language puts into numbers.
struct Marks {
    /// Before the decimals.
    decimal: char,
    /// Between thousands.
    thousands: char,
}

/// Decimal and grouping marks: Unicode CLDR, `numbers/symbols` of `en`, `de` and `fr`.
/// For `es` CLDR has a point between thousands; a space that does not break is what
/// the SI Brochure (9th edition, §5.4.4) and Spanish orthography ask for, and no
/// reader takes it for a decimal mark.
const fn marks(language: Language) -> Marks {
    let (decimal, thousands) = match language {
        Language::English => ('.', ','),
        Language::German => (',', '.'),
        Language::Spanish | Language::French => (',', '\u{202F}'),
    };
    Marks { decimal, thousands }
}

/// Least power of ten that is written out in plain numbers, and in pressures, whose
/// larger units make small ones of them.
const PLAIN_FROM: i32 = -3;
const PRESSURE_FROM: i32 = -5;

/// A pressure in the unit chosen, and in micron where that is another one.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// "66.7 Pa".
    pub chosen: String,
    /// "500 micron".
    pub micron: Option<String>,
}

impl From<Shown> for String {
    /// "66.7 Pa (500 micron)".
    fn from(shown: Shown) -> Self {
        match shown.micron {
            Some(micron) => format!("{} ({micron})", shown.chosen),
            None => shown.chosen,
        }
    }
}

/// An estimate in words, its ends to the same last place.
struct Interval {
    value: String,
    low: String,
    high: String,
    /// " × 10⁻⁶", or nothing.
    power: String,
}

impl Voice {
    /// `value` with `digits` significant digits; powers of ten outside 0.001 … 10
    /// million.
    #[must_use]
    pub fn significant(&self, value: f64, digits: usize) -> String {
        self.digits(value, digits, PLAIN_FROM)
    }

    fn digits(&self, value: f64, digits: usize, plain_from: i32) -> String {
        if !value.is_finite() {
            return say!(self, "unknown");
        }
        if value == 0.0 {
            return "0".to_owned();
        }
        let exponent = exponent_of(value, digits);
        if !(plain_from..7).contains(&exponent) {
            let mantissa = self.decimals(value / 10_f64.powi(exponent), digits - 1);
            return format!("{mantissa} × 10{}", raised(exponent));
        }
        self.rounded(value, exponent + 1 - i32::try_from(digits).unwrap_or(3))
    }

    /// `value` rounded to the power of ten `place`.
    fn rounded(&self, value: f64, place: i32) -> String {
        if let Ok(places) = usize::try_from(-place) {
            self.decimals(value, places)
        } else {
            let unit = 10_f64.powi(place);
            self.decimals((value / unit).round() * unit, 0)
        }
    }

    /// `value` with a fixed number of decimals and marks between thousands.
    #[must_use]
    pub fn decimals(&self, value: f64, places: usize) -> String {
        let marks = marks(self.language);
        let text = format!("{:.places$}", half_away(value, places));
        let (sign, rest) = text
            .strip_prefix('-')
            .map_or(("", text.as_str()), |rest| ("−", rest));
        let (whole, fraction) = rest.split_once('.').unwrap_or((rest, ""));
        let mut out = String::from(sign);
        for (i, c) in whole.chars().enumerate() {
            if i > 0 && (whole.len() - i).is_multiple_of(3) {
                out.push(marks.thousands);
            }
            out.push(c);
        }
        if !fraction.is_empty() {
            out.push(marks.decimal);
            out.push_str(fraction);
        }
        // "−0.00" is no number to show anybody
        if out.starts_with('−') && !out.chars().any(|c| c.is_ascii_digit() && c != '0') {
            out.remove(0);
        }
        out
    }

    /// `value` with at most `digits` significant digits and no trailing zeros.
    #[must_use]
    pub fn plain(&self, value: f64, digits: usize) -> String {
        self.trimmed(self.significant(value, digits))
    }

    fn trimmed(&self, text: String) -> String {
        let decimal = marks(self.language).decimal;
        if text.contains(decimal) && !text.contains('×') {
            let trimmed = text.trim_end_matches('0');
            trimmed.trim_end_matches(decimal).to_owned()
        } else {
            text
        }
    }

    /// A count.
    #[must_use]
    pub fn count(&self, count: u64) -> String {
        #[expect(clippy::cast_precision_loss, reason = "counts of rows are below 2^53")]
        self.decimals(count as f64, 0)
    }

    /// True when pressures are given in another unit and in micron.
    #[must_use]
    pub fn has_both(&self) -> bool {
        self.unit != PressureUnit::Micron
    }

    /// Micron in one of the chosen unit.
    #[must_use]
    pub fn unit_micron(&self) -> f64 {
        self.unit.pa() / PressureUnit::Micron.pa()
    }

    /// Both ways of showing a pressure, to so many digits; whole micron from 10 up,
    /// for hardly a gauge on a system shows tenths.
    fn shown(&self, micron: f64, digits: usize) -> Shown {
        let whole = if micron < 99.5 {
            micron
        } else {
            micron.round()
        };
        self.beside_micron(micron, &self.significant(whole, digits), digits, "")
    }

    /// A pressure in the chosen unit with so many digits beside what is shown of it in
    /// micron; `per` follows either unit.
    pub(crate) fn beside_micron(
        &self,
        micron: f64,
        shown: &str,
        digits: usize,
        per: &str,
    ) -> Shown {
        let in_micron = format!("{shown} micron{per}");
        if !self.has_both() {
            return Shown {
                chosen: in_micron,
                micron: None,
            };
        }
        let value = self.digits(micron / self.unit_micron(), digits, PRESSURE_FROM);
        Shown {
            chosen: format!("{value} {}{per}", self.unit.symbol()),
            micron: Some(in_micron),
        }
    }

    /// A measured pressure on two lines: three significant digits, two below 100
    /// micron.
    #[must_use]
    pub fn pressure_shown(&self, micron: f64) -> Shown {
        self.shown(micron, if micron < 99.5 { 2 } else { 3 })
    }

    /// A measured pressure of so many micron: "262 micron", "34.9 Pa (262 micron)".
    ///
    /// ```
    /// let voice = wording::Voice {
    ///     unit: vacuum::PressureUnit::Pascal,
    ///     ..wording::Voice::default()
    /// };
    /// assert_eq!(voice.pressure(262.0), "34.9 Pa (262 micron)");
    /// ```
    #[must_use]
    pub fn pressure(&self, micron: f64) -> String {
        self.pressure_shown(micron).into()
    }

    /// A pressure that is known to two digits only.
    #[must_use]
    pub fn rough_pressure(&self, micron: f64) -> String {
        self.shown(micron, 2).into()
    }

    /// A step or a noise, below a micron too: "0.5 micron".
    #[must_use]
    pub fn small_pressure(&self, micron: f64) -> String {
        let in_micron = format!("{} micron", self.plain(micron, 2));
        if !self.has_both() {
            return in_micron;
        }
        let value = self.trimmed(self.digits(micron / self.unit_micron(), 2, PRESSURE_FROM));
        format!("{value} {} ({in_micron})", self.unit.symbol())
    }

    /// A live reading of so many micron, as a gauge shows it: no tenths from 10 micron up,
    /// every digit of a whole number.
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!(voice.reading(18_764.2), "18,764 micron");
    /// assert_eq!(voice.reading(42.6), "43 micron");
    /// assert_eq!(voice.reading(4.257), "4.26 micron");
    /// ```
    #[must_use]
    pub fn reading(&self, micron: f64) -> String {
        let shown = self.reading_number(micron);
        self.beside_micron(micron, &shown, 3, "").into()
    }

    /// The same in micron, the number alone: for large figures and columns of a table.
    #[must_use]
    pub fn reading_number(&self, micron: f64) -> String {
        // a gauge below its zero shows zero
        match micron {
            m if m <= 0.0 => "0".to_owned(),
            m if m < 9.95 || !m.is_finite() => self.significant(m, 3),
            m => self.decimals(m, 0),
        }
    }

    /// A limit as it was set, on two lines.
    #[must_use]
    pub fn limit_shown(&self, micron: f64) -> Shown {
        self.beside_micron(micron, &self.plain(micron, 6), 3, "")
    }

    /// A limit as it was set: "1,250 micron", "167 Pa (1,250 micron)".
    #[must_use]
    pub fn limit(&self, micron: f64) -> String {
        self.limit_shown(micron).into()
    }

    /// "9,000 to 90 micron", with the chosen unit before it.
    #[must_use]
    pub fn pressures(&self, from_micron: f64, to_micron: f64) -> String {
        let ends = [from_micron, to_micron].map(|p| self.pressure_shown(p));
        self.shown_range(ends, "")
    }

    /// Two rates of rise: "0.8 to 1.4 micron/min", with the chosen unit before it.
    #[must_use]
    pub fn rates(&self, low_micron_per_min: f64, high_micron_per_min: f64) -> String {
        let ends = [low_micron_per_min, high_micron_per_min].map(|r| self.rate_shown(r, 2));
        self.shown_range(ends, "/min")
    }

    /// From one to the other; `per` follows either unit.
    fn shown_range(&self, [from, to]: [Shown; 2], per: &str) -> String {
        let range = |from: &str, to: &str, unit: &str| {
            let unit = format!("{unit}{per}");
            say!(
                self,
                "range",
                low = from.trim_end_matches(&unit).trim_end(),
                high = to
            )
        };
        let chosen = range(&from.chosen, &to.chosen, self.unit.symbol());
        match (from.micron, to.micron) {
            (Some(from), Some(to)) => format!("{chosen} ({})", range(&from, &to, "micron")),
            _ => chosen,
        }
    }

    /// A tick of a pressure axis in the chosen unit.
    #[must_use]
    pub fn tick(&self, value: f64) -> String {
        self.trimmed(self.digits(value, 9, PRESSURE_FROM))
    }

    /// A rate of rise: "10 micron/min", "1.3 Pa/min (10 micron/min)".
    #[must_use]
    pub fn rate(&self, micron_per_min: f64, digits: usize) -> String {
        self.rate_shown(micron_per_min, digits).into()
    }

    /// The same, its parts apart.
    #[must_use]
    pub fn rate_shown(&self, micron_per_min: f64, digits: usize) -> Shown {
        let shown = self.significant(micron_per_min, digits);
        self.beside_micron(micron_per_min, &shown, digits, "/min")
    }

    /// An estimate with its 95 % interval: "1.20 min (95 %: 1.00 to 1.40)".
    ///
    /// The interval gets two significant digits of its half width, and value and
    /// ends share the last place (the practice of the GUM, JCGM 100:2008 §7.2.6).
    #[must_use]
    pub fn estimate(&self, e: &Estimate, unit: &str) -> String {
        match self.interval(e, i32::MIN, PLAIN_FROM) {
            Ok(i) => say!(
                self,
                "estimate",
                value = i.value + &i.power,
                unit = unit,
                low = i.low,
                high = i.high + &i.power
            ),
            Err(value) => format!("{value} {unit}"),
        }
    }

    /// An estimated pressure with its 95 % interval, whole micron at the finest.
    #[must_use]
    pub fn estimated_pressure(&self, e: &Estimate) -> String {
        self.estimate_in_both(e, "", 0)
    }

    /// An estimated rate of rise with its 95 % interval.
    #[must_use]
    pub fn estimated_rate(&self, e: &Estimate) -> String {
        self.estimate_in_both(e, "/min", i32::MIN)
    }

    /// `finest` is the power of ten of the last place of micron at the finest.
    fn estimate_in_both(&self, e: &Estimate, per: &str, finest: i32) -> String {
        let unit = format!("{}{per}", self.unit.symbol());
        let in_micron = self.interval(e, finest, PLAIN_FROM);
        if !self.has_both() {
            return match in_micron {
                Ok(i) => say!(
                    self,
                    "estimate",
                    value = i.value + &i.power,
                    unit = unit,
                    low = i.low,
                    high = i.high + &i.power
                ),
                Err(value) => format!("{value} {unit}"),
            };
        }
        let micron = match in_micron {
            Ok(i) => i.value + &i.power,
            Err(value) => value,
        };
        let micron = format!("{micron} micron{per}");
        match self.interval(&e.scaled(1.0 / self.unit_micron()), i32::MIN, PRESSURE_FROM) {
            Ok(i) => say!(
                self,
                "estimate-both",
                value = i.value + &i.power,
                unit = unit,
                micron = micron,
                low = i.low,
                high = i.high + &i.power
            ),
            Err(value) => format!("{value} {unit} ({micron})"),
        }
    }

    /// `Err` has the value alone, where there is no interval.
    fn interval(&self, e: &Estimate, finest: i32, plain_from: i32) -> Result<Interval, String> {
        let half = 0.5 * (e.high - e.low);
        if !(half.is_finite() && half > 0.0 && e.value.is_finite()) {
            return Err(self.digits(e.value, 3, plain_from));
        }
        let largest = e.value.abs().max(e.low.abs()).max(e.high.abs());
        let top = exponent_of(largest, 3);
        let scale = if (plain_from..7).contains(&top) {
            0
        } else {
            top
        };
        let factor = 10_f64.powi(scale);
        let last = exponent_of(half / factor, 2) - 1;
        // no more than three digits, however narrow the interval: the gauge's own
        // calibration is no better
        let last = last.max(exponent_of(largest / factor, 3) - 2).max(finest);
        let show = |value: f64| self.rounded(value / factor, last);
        Ok(Interval {
            value: show(e.value),
            low: show(e.low),
            high: show(e.high),
            power: if scale == 0 {
                String::new()
            } else {
                format!(" × 10{}", raised(scale))
            },
        })
    }
}

/// `value` with a half in the place after the last moved away from zero: the formatter
/// takes it to the even neighbour, and 4.5 would read 4.
fn half_away(value: f64, places: usize) -> f64 {
    let factor = 10_f64.powi(i32::try_from(places).unwrap_or(i32::MAX));
    let scaled = value * factor;
    // beyond, there are no halves to move
    match scaled.is_finite() && scaled.abs() < 1e15 {
        true => scaled.round() / factor,
        false => value,
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

#[cfg(test)]
mod tests;
