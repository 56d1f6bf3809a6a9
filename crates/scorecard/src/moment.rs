//! One look at one hold: what was said, what is true.

use analyser::{Analyser, RiseKind, Settings};
use vacuum::{Pressure, Reading};

use crate::{
    plant::{self, SimulatedHold},
    print::say,
};

/// Shares of a hold after which it is looked at.
const LOOKS: [f64; 5] = [0.25, 0.4, 0.6, 0.8, 1.0];
/// Said with this much or more, a statement is sure.
pub(crate) const SURE: f64 = 0.9;

/// What is true of a hold up to one instant.
#[derive(Debug, Clone)]
pub(crate) struct Moment {
    pub(crate) seed: u64,
    pub(crate) family: &'static str,
    pub(crate) look: usize,
    /// Length up to now, s.
    pub(crate) length_s: f64,
    pub(crate) leak_micron_per_min: f64,
    /// Vapour given off since the first seconds, micron.
    pub(crate) vapour_micron: f64,
    /// Pressure at the end and at the start, micron.
    pub(crate) ends: (f64, f64),
    pub(crate) noise_micron: f64,
    pub(crate) ran_over: bool,
    /// Smallest leak that anybody could see by now, micron.
    pub(crate) visible_micron: f64,
}

/// What was said.
#[derive(Debug, Clone)]
pub(crate) struct Answer {
    pub(crate) kind: RiseKind,
    pub(crate) confidence: f64,
    pub(crate) leak_probability: f64,
    /// Interval of the leak, micron/min.
    pub(crate) interval: Option<(f64, f64)>,
    pub(crate) value: Option<f64>,
    pub(crate) limit_micron_per_min: Option<f64>,
    /// Figures from which the probability was made, for fitting the map.
    pub(crate) evidence: Option<[f64; analyser::EVIDENCE]>,
}

impl Answer {
    pub(crate) fn says_leak(&self) -> bool {
        matches!(self.kind, RiseKind::Leak | RiseKind::LeakAndMoisture)
    }

    pub(crate) fn denies(&self) -> bool {
        matches!(self.kind, RiseKind::None | RiseKind::Moisture)
    }

    pub(crate) fn sure(&self) -> bool {
        self.kind != RiseKind::Unclear && self.confidence >= SURE
    }
}

/// Every look at the hold of `seed`.
pub(crate) fn of_hold(seed: u64, leaky: bool) -> Vec<(Moment, Answer)> {
    let hold = plant::simulate(seed, leaky);
    let mut analyser = Analyser::new(Settings {
        isolated_at_s: Some(0.0),
        ..Settings::default()
    });
    let mut out = Vec::new();
    let mut look = 0;
    for (i, (t, p)) in hold.readings.iter().enumerate() {
        while look < LOOKS.len() && *t > LOOKS[look] * hold.length_s {
            out.push((truth(seed, &hold, look), said(&analyser)));
            look += 1;
        }
        analyser.push_reading(&reading(&hold, i, *t, *p));
    }
    while look < LOOKS.len() {
        out.push((truth(seed, &hold, look), said(&analyser)));
        look += 1;
    }
    out
}

fn reading(hold: &SimulatedHold, i: usize, t: f64, p: Option<f64>) -> Reading {
    let reading = match p.and_then(|p| Pressure::from_micron(p).ok()) {
        Some(p) => Reading::measured(t, p),
        None => Reading {
            elapsed_s: t,
            sensed: vacuum::Sensed::Over(None),
            temperature_c: None,
        },
    };
    Reading {
        temperature_c: hold.temperature_c.get(i).copied(),
        ..reading
    }
}

fn truth(seed: u64, hold: &SimulatedHold, look: usize) -> Moment {
    let length_s = LOOKS[look] * hold.length_s;
    let at = |t: f64| {
        let i = hold.vapour.partition_point(|(time, _)| *time < t);
        hold.vapour[i.min(hold.vapour.len() - 1)].1
    };
    let measured = |range: std::ops::Range<f64>| {
        let mut inside = hold.readings.iter().filter(|(t, _)| range.contains(t));
        inside.find_map(|(_, p)| *p).unwrap_or(0.0)
    };
    Moment {
        seed,
        family: hold.family,
        look,
        length_s,
        leak_micron_per_min: hold.leak_micron_per_min,
        vapour_micron: at(length_s) - at(5.0),
        ends: (measured(0.9 * length_s..length_s), measured(0.0..length_s)),
        noise_micron: hold.noise_micron,
        ran_over: hold.ran_over,
        visible_micron: plant::least_visible(hold.limit, length_s),
    }
}

fn said(analyser: &Analyser) -> Answer {
    let findings = analyser.findings();
    let Some(hold) = findings.judged_hold() else {
        return Answer {
            kind: RiseKind::Unclear,
            confidence: 0.0,
            leak_probability: 0.5,
            interval: None,
            value: None,
            limit_micron_per_min: None,
            evidence: None,
        };
    };
    let rise = &hold.rise;
    Answer {
        kind: rise.kind,
        confidence: rise.confidence.unwrap_or(0.0),
        leak_probability: rise.leak_probability.unwrap_or(0.5),
        interval: rise.leak_micron_per_min.map(|e| (e.low, e.high)),
        value: rise.leak_micron_per_min.map(|e| e.value),
        limit_micron_per_min: rise.detection_limit_micron_per_min,
        evidence: rise.evidence,
    }
}

impl Moment {
    pub(crate) fn leaky(&self) -> bool {
        self.leak_micron_per_min > 0.0
    }

    /// True for a leak below what anybody could see by now, even with nothing beside
    /// it: neither naming nor denying it is wrong.
    pub(crate) fn hidden(&self) -> bool {
        self.leaky() && self.leak_micron() < self.visible_micron
    }

    /// Rise by the leak since the start, micron.
    fn leak_micron(&self) -> f64 {
        self.leak_micron_per_min * self.length_s / 60.0
    }

    /// True when a kind is not wrong. Near the border between two kinds both are
    /// accepted: no reader would call a tenth of vapour beside a leak by either name
    /// a mistake.
    pub(crate) fn accepts(&self, kind: RiseKind) -> bool {
        let vapour = self.vapour_micron.max(0.0);
        let level = self.ends.1.max(1.0);
        match kind {
            RiseKind::None | RiseKind::Moisture if self.hidden() => true,
            // out of range nobody sees what else there is
            RiseKind::Leak if self.ran_over => self.leaky(),
            RiseKind::Leak => self.leaky() && vapour < 0.3 * (vapour + self.leak_micron()),
            RiseKind::LeakAndMoisture => {
                self.leaky() && vapour > 0.05 * (vapour + self.leak_micron())
            }
            RiseKind::None => {
                !self.leaky() && vapour < (8.0_f64).max(3.0 * self.noise_micron).max(0.05 * level)
            }
            RiseKind::Moisture => {
                !self.leaky() && vapour > (2.0_f64).max(self.noise_micron).max(0.01 * level)
            }
            RiseKind::Unclear => true,
        }
    }

    pub(crate) fn wrong_and_sure(&self, said: &Answer) -> bool {
        said.sure() && !self.accepts(said.kind)
    }

    /// True when an interval was said that does not hold the true leak.
    pub(crate) fn uncovered(&self, said: &Answer) -> bool {
        let truth = self.leak_micron_per_min;
        let holds = |(low, high)| (low - 1e-9..=high + 1e-9).contains(&truth);
        said.interval.is_some_and(|interval| !holds(interval))
    }

    pub(crate) fn print(&self, said: &Answer) {
        say(&format!(
            "{:>5} {:<16} {:>3.0} % of {:>5.0} s  leak {:>8.3} ({:>7.1} micron) vapour {:>7.1}  said {:<18} {:.3} [{:?}] limit {:?} noise {:.2} ends {:.0} {:.0} over {}",
            self.seed,
            self.family,
            100.0 * LOOKS[self.look],
            self.length_s,
            self.leak_micron_per_min,
            self.leak_micron(),
            self.vapour_micron,
            said.kind.word(),
            said.confidence,
            said.interval,
            said.limit_micron_per_min,
            self.noise_micron,
            self.ends.1,
            self.ends.0,
            self.ran_over,
        ));
    }

    /// One line for `calibrate.py`: seed, family, 1 for a leak, leak, vapour and noise in
    /// micron, evidence. Hidden leaks are left out: nobody could tell them.
    pub(crate) fn print_for_calibration(&self, said: &Answer) {
        if let Some(evidence) = said.evidence.filter(|_| !self.hidden()) {
            let figures = evidence.map(|x| format!("{x:.5}")).join(" ");
            let leak = self.leak_micron();
            say(&format!(
                "{} {} {} {:.4} {:.4} {:.4} {figures}",
                self.seed,
                self.family.replace(' ', "_"),
                u8::from(self.leaky()),
                leak,
                self.vapour_micron,
                self.noise_micron,
            ));
        }
    }
}
