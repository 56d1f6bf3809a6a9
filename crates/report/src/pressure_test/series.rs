//! The lines of a pressure test, and what its loss makes of them.

use layout::{Bin, Trace, strokes};
use vacuum::{PressureUnit, ZERO_CELSIUS_K};

use super::{TestSheet, trace::REFERENCE_K};

/// Points (s, value) of the pieces of a line.
pub(super) type Pieces = Vec<Vec<(f64, f64)>>;

/// Measured pressure between two times, bar absolute.
pub(super) fn raw(sheet: &TestSheet<'_>, times: (f64, f64), columns: u32) -> Pieces {
    let pieces = strokes::pieces(sheet.trace.pressure(), &[], times, columns);
    each(pieces, bar_of_micron)
}

fn bar_of_micron(micron: f64) -> f64 {
    micron * PressureUnit::Micron.pa() / PressureUnit::Bar.pa()
}

/// The pressure at the first temperature of the hold, bar absolute; empty without one.
pub(super) fn corrected(sheet: &TestSheet<'_>, times: (f64, f64), columns: u32) -> Pieces {
    if first_c(sheet).is_none() {
        return Vec::new();
    }
    let pieces = strokes::pieces(sheet.trace.corrected(), &[], times, columns);
    each(pieces, |pa| at_first(sheet, pa))
}

/// The temperature, °C.
pub(super) fn temperature(sheet: &TestSheet<'_>, times: (f64, f64), columns: u32) -> Pieces {
    strokes::pieces(sheet.trace.temperature(), &[], times, columns)
}

fn each(mut pieces: Pieces, value: impl Fn(f64) -> f64) -> Pieces {
    for point in pieces.iter_mut().flatten() {
        point.1 = value(point.1);
    }
    pieces
}

fn first_c(sheet: &TestSheet<'_>) -> Option<f64> {
    sheet.findings.decay.and_then(|d| d.start_c)
}

/// A pressure that was kept at the reference, at the first temperature of the hold, bar
/// absolute.
fn at_first(sheet: &TestSheet<'_>, reference_pa: f64) -> f64 {
    let kelvin = first_c(sheet).map_or(REFERENCE_K, |c| c + ZERO_CELSIUS_K);
    let pa = sheet
        .trace
        .gas()
        .pressure_at(reference_pa, REFERENCE_K, kelvin);
    pa / PressureUnit::Bar.pa()
}

/// Share of the gas beyond which no line of the loss is drawn: a leak slows down as the
/// pressure falls, by one law or another, and is plain to see.
const MOST_LOST: f64 = 0.25;
/// Share of the settled hold whose readings say where the interval of the loss begins.
const BEGINNING: f64 = 0.08;

/// What the loss that was found makes of the pressure: falls from one point on. Losses are
/// shares of the gas in a second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fan {
    /// Where they begin, s.
    pub(super) from_s: f64,
    /// Where they end, s.
    pub(super) to_s: f64,
    /// Pressure at the beginning, bar absolute.
    pub(super) from_bar: f64,
    /// The loss that was found, where its interval leaves no doubt that there is one.
    pub(super) found: Option<f64>,
    /// Its 95 % interval.
    pub(super) interval: Option<(f64, f64)>,
    /// The loss that is allowed, where it is known.
    pub(super) allowed: Option<f64>,
}

impl Fan {
    /// Pressure at a time with this loss, bar absolute: the logarithm of the amount of gas
    /// falls along a straight line, as the judge takes it.
    pub(super) fn bar(&self, share: f64, at_s: f64) -> f64 {
        self.from_bar * (-share * (at_s - self.from_s)).exp()
    }

    /// Every loss that is drawn.
    pub(super) fn shares(&self) -> impl Iterator<Item = f64> {
        let ends = self.interval.map(|(low, high)| [low, high]);
        let ends = ends.into_iter().flatten();
        ends.chain(self.found).chain(self.allowed)
    }

    /// From the settled hold on; `None` without one, without measurements in it, or where
    /// nothing shows that the gas was closed in.
    ///
    /// The line of a loss goes through the middle of the corrected readings, as a straight
    /// line of least squares does; an interval around none begins where they begin.
    pub(super) fn of(sheet: &TestSheet<'_>) -> Option<Self> {
        let decay = sheet.findings.decay.filter(|_| sheet.is_closed())?;
        let from_s = decay.settled_at_s.unwrap_or(decay.shut_at_s);
        let to_s = decay.end_s;
        let share = decay.lost_per_hour.scaled(1.0 / 3_600.0);
        let drawn = share.high * (to_s - from_s) < MOST_LOST;
        let found = (drawn && share.low > 0.0).then_some(share.value);
        let until = match found {
            Some(_) => to_s,
            None => from_s + BEGINNING * (to_s - from_s),
        };
        let (at_s, bar) = mean(sheet, from_s, until).or_else(|| mean(sheet, from_s, to_s))?;
        let from_bar = match found {
            Some(found) => bar * (found * (at_s - from_s)).exp(),
            None if drawn => bar,
            None => decay.start_bar_abs,
        };
        // Pa·m³/s to a share of the gas in a second
        let allowed = decay.loss_pa_m3_per_s.and_then(|loss| {
            let pv = (loss.high - loss.low) / (share.high - share.low);
            let allowed = sheet.findings.criteria.allowed_pa_m3_per_s?;
            Some(allowed / pv).filter(|share| share.is_finite())
        });
        Some(Self {
            from_s,
            to_s,
            from_bar,
            found,
            interval: drawn.then_some((share.low, share.high)),
            allowed,
        })
    }
}

/// Mean time, s, and mean pressure, bar absolute, between two times; corrected where there is
/// a temperature.
fn mean(sheet: &TestSheet<'_>, from_s: f64, to_s: f64) -> Option<(f64, f64)> {
    let (trace, bar): (&Trace, &dyn Fn(f64) -> f64) = match first_c(sheet) {
        Some(_) => (sheet.trace.corrected(), &|pa| at_first(sheet, pa)),
        None => (sheet.trace.pressure(), &bar_of_micron),
    };
    let (mut count, mut time, mut level) = (0.0, 0.0, 0.0);
    let inside = |bin: &&Bin| bin.first_s >= from_s && bin.last_s <= to_s;
    for bin in trace.bins().iter().filter(inside) {
        count += 1.0;
        time += 0.5 * (bin.first_s + bin.last_s);
        level += bar(0.5 * (bin.first_micron + bin.last_micron));
    }
    (count > 0.0 && to_s > from_s).then(|| (time / count, level / count))
}
