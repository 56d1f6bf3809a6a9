//! Made-up runs with known truth, and ways to bend them.

use vacuum::{Entry, Mark, MarkKind, Pressure, Reading, Sensed};

/// Small reproducible generator (xorshift64*, S. Vigna, ACM TOMS 42 (2016) 30)
/// with normal deviates by Box and Muller.
pub(crate) struct Noise(u64);

impl Noise {
    pub(crate) fn new(seed: u64) -> Self {
        let mut noise = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..8 {
            noise.uniform();
        }
        noise
    }

    /// Between 0 and 1, never 0.
    pub(crate) fn uniform(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let top = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11;
        (top as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Mean 0, standard deviation 1.
    pub(crate) fn normal(&mut self) -> f64 {
        let (a, b) = (self.uniform(), self.uniform());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

/// How the gauge rounds.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Steps {
    None,
    Micron(f64),
    Digits(i32),
}

impl Steps {
    pub(crate) fn round(self, p: f64) -> f64 {
        match self {
            Self::None => p,
            Self::Micron(step) => (p / step).round() * step,
            Self::Digits(digits) => {
                let step = 10_f64.powi(p.max(1.0).log10().floor() as i32 + 1 - digits);
                (p / step).round() * step
            }
        }
    }
}

/// A pull-down and its hold, as they truly are and as the gauge shows them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scene {
    pub(crate) interval_s: f64,
    pub(crate) pull_s: f64,
    pub(crate) hold_s: f64,
    /// Pressure at isolation, micron.
    pub(crate) base_micron: f64,
    pub(crate) leak_micron_per_min: f64,
    /// Height in micron and time constant in s of what boils out.
    pub(crate) vapour: Option<(f64, f64)>,
    /// Height in micron and time constant in s of the fast jump.
    pub(crate) equalisation: Option<(f64, f64)>,
    /// Standard deviation over pressure.
    pub(crate) relative_noise: f64,
    /// Standard deviation, micron.
    pub(crate) noise_micron: f64,
    /// Correlation of the noise from reading to reading.
    pub(crate) correlation: f64,
    pub(crate) steps: Steps,
    /// Stamp the pump-side valve and the pump, in the right order.
    pub(crate) marked: bool,
    pub(crate) seed: u64,
}

impl Scene {
    /// A tight and dry system on a good gauge, held 15 minutes.
    pub(crate) fn tight(seed: u64) -> Self {
        Self {
            interval_s: 1.0,
            pull_s: 900.0,
            hold_s: 900.0,
            base_micron: 180.0,
            leak_micron_per_min: 0.0,
            vapour: None,
            equalisation: None,
            relative_noise: 0.003,
            noise_micron: 0.0,
            correlation: 0.0,
            steps: Steps::None,
            marked: true,
            seed,
        }
    }

    pub(crate) fn leaking(seed: u64, micron_per_min: f64) -> Self {
        Self {
            leak_micron_per_min: micron_per_min,
            ..Self::tight(seed)
        }
    }

    pub(crate) fn moist(seed: u64, height_micron: f64, tau_s: f64) -> Self {
        Self {
            vapour: Some((height_micron, tau_s)),
            ..Self::tight(seed)
        }
    }

    /// 150 micron in the 15 minutes of the hold, whatever the time constant.
    pub(crate) fn slow_moisture(seed: u64, tau_s: f64) -> Self {
        let scene = Self::tight(seed);
        Self::moist(seed, -150.0 / (-scene.hold_s / tau_s).exp_m1(), tau_s)
    }

    /// True pressure in micron, `t` seconds into the run.
    fn truth(&self, t: f64) -> f64 {
        if t < self.pull_s {
            return self.base_micron + 756_000.0 * (-t / 22.0).exp() + 4_000.0 * (-t / 90.0).exp();
        }
        let u = t - self.pull_s;
        let saturating =
            |term: Option<(f64, f64)>| term.map_or(0.0, |(b, tau)| -b * (-u / tau).exp_m1());
        self.base_micron
            + self.leak_micron_per_min * u / 60.0
            + saturating(self.vapour)
            + saturating(self.equalisation)
    }

    pub(crate) fn entries(&self) -> Vec<Entry> {
        let mut noise = Noise::new(self.seed);
        let count = ((self.pull_s + self.hold_s) / self.interval_s).round() as u32;
        let fresh = (1.0 - self.correlation * self.correlation).sqrt();
        let mut deviate = noise.normal();
        let mut out = Vec::with_capacity(count as usize + 3);
        let mut shut = !self.marked;
        for i in 0..=count {
            let t = f64::from(i) * self.interval_s;
            if !shut && t >= self.pull_s {
                out.push(mark(self.pull_s, MarkKind::PumpSideShut));
                out.push(mark(self.pull_s + 4.0, MarkKind::PumpStopped));
                shut = true;
            }
            deviate = self.correlation * deviate + fresh * noise.normal();
            let p = self.truth(t);
            let sd = (self.relative_noise * p).hypot(self.noise_micron);
            out.push(reading(t, self.steps.round(p + sd * deviate)));
        }
        out
    }
}

pub(crate) fn reading(t: f64, micron: f64) -> Entry {
    let p = Pressure::from_micron(micron.clamp(0.0, 7e7)).unwrap();
    Entry::Reading(Reading::measured(t, p))
}

pub(crate) fn sensed(elapsed_s: f64, sensed: Sensed) -> Entry {
    Entry::Reading(Reading {
        elapsed_s,
        sensed,
        temperature_c: None,
    })
}

pub(crate) fn mark(elapsed_s: f64, kind: MarkKind) -> Entry {
    Entry::Mark(Mark {
        elapsed_s,
        kind,
        note: String::new(),
    })
}

/// Every entry with its time and its pressure changed.
pub(crate) fn bent(
    entries: &[Entry],
    time: impl Fn(f64) -> f64,
    micron: impl Fn(f64, f64) -> f64,
) -> Vec<Entry> {
    entries
        .iter()
        .map(|entry| match entry {
            Entry::Mark(m) => mark(time(m.elapsed_s), m.kind),
            Entry::Reading(r) => match r.pressure() {
                Some(p) => reading(time(r.elapsed_s), micron(r.elapsed_s, p.micron())),
                None => sensed(time(r.elapsed_s), r.sensed),
            },
        })
        .collect()
}

/// Every `keep`th reading, and all marks.
pub(crate) fn thinned(entries: &[Entry], keep: usize) -> Vec<Entry> {
    let mut seen = 0;
    entries
        .iter()
        .filter(|entry| match entry {
            Entry::Mark(_) => true,
            Entry::Reading(_) => {
                seen += 1;
                (seen - 1) % keep == 0
            }
        })
        .cloned()
        .collect()
}

/// Without the readings from `from_s` on and before `to_s`; marks stay.
pub(crate) fn without(entries: &[Entry], from_s: f64, to_s: f64) -> Vec<Entry> {
    let inside = |t: f64| t >= from_s && t < to_s;
    entries
        .iter()
        .filter(|e| matches!(e, Entry::Mark(_)) || !inside(e.elapsed_s()))
        .cloned()
        .collect()
}

/// Readings from `from_s` on and before `to_s` turned into `state`.
pub(crate) fn blinded(entries: &[Entry], from_s: f64, to_s: f64, state: Sensed) -> Vec<Entry> {
    entries
        .iter()
        .map(|entry| match entry {
            Entry::Reading(r) if r.elapsed_s >= from_s && r.elapsed_s < to_s => {
                sensed(r.elapsed_s, state)
            }
            _ => entry.clone(),
        })
        .collect()
}
