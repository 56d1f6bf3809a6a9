//! What a gauge makes of the pressure: lag, noise that wanders, steps, a top.

use crate::draw::Draw;

/// How a gauge rounds.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Rounding {
    /// Not at all.
    Fine,
    /// To so many micron.
    Step(f64),
    /// To so many significant digits.
    Digits(i32),
}

/// What the gauge does above its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Top {
    /// Says that it is over.
    Flagged,
    /// Repeats its highest value.
    StandsStill,
}

/// A gauge.
#[derive(Debug, Clone)]
pub(crate) struct Gauge {
    pub(crate) interval_s: f64,
    pub(crate) lag_s: f64,
    /// Noise of a reading: relative to the pressure, and absolute, micron.
    pub(crate) relative: f64,
    pub(crate) absolute_micron: f64,
    /// Correlation of the noise from one second to the next.
    pub(crate) correlation: f64,
    pub(crate) rounding: Rounding,
    pub(crate) top_micron: f64,
    pub(crate) top: Top,
}

impl Gauge {
    pub(crate) fn draw(draw: &mut Draw) -> Self {
        let rounding = match draw.unit() {
            u if u < 0.45 => Rounding::Step(1.0),
            u if u < 0.60 => Rounding::Fine,
            u if u < 0.75 => Rounding::Step(0.1),
            u if u < 0.85 => Rounding::Step(5.0),
            _ => Rounding::Digits(3),
        };
        Self {
            interval_s: draw.pick(&[0.1, 0.5, 1.0, 1.0, 1.0, 2.0, 5.0, 10.0]),
            lag_s: draw.pick(&[0.0, 0.5, 1.0, 2.0, 4.0]),
            relative: draw.log_range(0.000_5, 0.01),
            absolute_micron: draw.log_range(0.05, 1.0),
            correlation: draw.pick(&[0.0, 0.0, 0.5, 0.8, 0.95]),
            rounding,
            top_micron: draw.pick(&[12_000.0, 20_000.0, 25_000.0, 760_000.0]),
            top: if draw.chance(0.5) {
                Top::Flagged
            } else {
                Top::StandsStill
            },
        }
    }

    /// Standard deviation of one reading at a pressure, micron, rounding included.
    pub(crate) fn noise_micron(&self, p: f64) -> f64 {
        let step = self.step_micron(p);
        (self.relative * p)
            .hypot(self.absolute_micron)
            .hypot(step / 12_f64.sqrt())
    }

    /// Smallest step at a pressure, micron; 0: none.
    pub(crate) fn step_micron(&self, p: f64) -> f64 {
        match self.rounding {
            Rounding::Fine => 0.0,
            Rounding::Step(s) => s,
            Rounding::Digits(n) => 10_f64.powi(p.max(1.0).log10().floor() as i32 + 1 - n),
        }
    }

    /// Reads `curve` (time in s, micron); `None` stands for a flagged over range.
    pub(crate) fn read(&self, curve: &[(f64, f64)], draw: &mut Draw) -> Vec<(f64, Option<f64>)> {
        let mut out = Vec::new();
        let (mut shown, mut last_t) = (curve[0].1, curve[0].0);
        let mut wander = draw.normal();
        let mut next = curve[0].0;
        for &(t, p) in curve {
            let dt = t - last_t;
            last_t = t;
            if self.lag_s > 0.0 {
                shown += (p - shown) * -(-dt / self.lag_s).exp_m1();
            } else {
                shown = p;
            }
            if t + 1e-9 < next {
                continue;
            }
            next += self.interval_s;
            let r = self.correlation.powf(self.interval_s.max(0.1));
            wander = r * wander + (1.0 - r * r).sqrt() * draw.normal();
            let sd = (self.relative * shown).hypot(self.absolute_micron);
            out.push((t, self.round(shown + sd * wander)));
        }
        out
    }

    fn round(&self, p: f64) -> Option<f64> {
        if p >= self.top_micron {
            return (self.top == Top::StandsStill).then_some(self.top_micron);
        }
        let (p, step) = (p.max(0.0), self.step_micron(p));
        Some(if step > 0.0 {
            (p / step).round() * step
        } else {
            p
        })
    }
}
