//! A plain generator of curves that shares nothing with the rehearsal: formulas for the
//! pressure, autoregressive gauge noise, lag and rounding.

use analyser::{Analyser, Settings, Stall};
use vacuum::{Mark, MarkKind, Pressure, Reading};

/// Reproducible uniform and normal numbers (a 64-bit congruential generator with
/// the multiplier of Knuth's MMIX; from memory).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn range(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub(crate) fn log_range(&mut self, low: f64, high: f64) -> f64 {
        (self.range(low.ln(), high.ln())).exp()
    }

    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[(self.unit() * from.len() as f64) as usize % from.len()]
    }

    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }
}

/// A gauge: sampling, relative and absolute noise, correlation, lag, rounding.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gauge {
    pub(crate) interval_s: f64,
    pub(crate) relative: f64,
    pub(crate) absolute: f64,
    pub(crate) remembers: f64,
    pub(crate) lag_s: f64,
    /// Step in micron, or two significant digits when 0.
    pub(crate) step: f64,
    pub(crate) bursts: f64,
}

impl Gauge {
    pub(crate) fn draw(dice: &mut Dice, noisiest: f64) -> Self {
        Self {
            interval_s: dice.pick(&[0.2, 0.5, 1.0, 2.0, 5.0, 10.0]),
            relative: dice.log_range(0.002, noisiest),
            absolute: dice.log_range(0.1, 1.0),
            remembers: dice.pick(&[0.0, 0.5, 0.9]),
            lag_s: dice.log_range(0.1, 8.0),
            step: dice.pick(&[0.1, 1.0, 1.0, 5.0]),
            bursts: dice.pick(&[0.0, 0.0, 0.001]),
        }
    }

    pub(crate) fn shows(
        &self,
        true_micron: impl Fn(f64) -> f64,
        end_s: f64,
        dice: &mut Dice,
    ) -> Vec<(f64, f64)> {
        let (mut felt, mut wander, mut t) = (true_micron(0.0), 0.0, 0.0);
        let mut out = Vec::new();
        let fresh = (1.0 - self.remembers * self.remembers).sqrt();
        while t < end_s {
            // the sensor follows in steps of at most 0.2 s
            let n = (self.interval_s / 0.2).ceil();
            for i in 1..=n as u32 {
                let at = t + self.interval_s * f64::from(i) / n;
                felt +=
                    (true_micron(at) - felt) * (1.0 - (-self.interval_s / n / self.lag_s).exp());
            }
            t += self.interval_s;
            wander = self.remembers * wander + fresh * dice.normal();
            let sd = self.absolute.hypot(self.relative * felt);
            let mut p = (felt + sd * wander).max(1.0);
            if dice.unit() < self.bursts {
                p *= dice.range(1.3, 3.0);
            }
            let step = if self.step > 0.0 {
                self.step
            } else {
                10_f64.powf(p.log10().floor() - 1.0)
            };
            out.push((t, (p / step).round() * step));
        }
        out
    }
}

pub(crate) fn stalls_of(readings: &[(f64, f64)], marks: &[(f64, MarkKind)]) -> Vec<Stall> {
    let mut analyser = Analyser::new(Settings {
        ambient_c: Some(21.0),
        ..Settings::default()
    });
    let mut marks = marks.iter().peekable();
    for &(t, p) in readings {
        while let Some(&(elapsed_s, kind)) = marks.next_if(|m| m.0 <= t) {
            let note = String::new();
            analyser.push_mark(&Mark {
                elapsed_s,
                kind,
                note,
            });
        }
        let p = Pressure::from_micron(p).expect("a pressure");
        analyser.push_reading(&Reading::measured(t, p));
    }
    let findings = analyser.findings();
    let pulldowns = findings.rounds.iter().filter_map(|r| r.pulldown.as_ref());
    pulldowns.flat_map(|p| p.stalls.clone()).collect()
}

/// A good gauge, once a second.
pub(crate) const GOOD: Gauge = Gauge {
    interval_s: 1.0,
    relative: 0.003,
    absolute: 0.5,
    remembers: 0.5,
    lag_s: 0.5,
    step: 1.0,
    bursts: 0.0,
};
