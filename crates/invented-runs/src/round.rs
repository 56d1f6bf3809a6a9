//! One round, planned by a few figures, and the run that it makes.

use findings::{
    DataSummary, Estimate, Findings, Hold, IsolationBasis, LeakThroughput, Pulldown, Reason, Rise,
    RiseCurve, RiseKind, Round, Saturating, Stall, TimeRange, Verdict,
};
use vacuum::{Criteria, Entry, Job, Mark, MarkKind, Pressure, Reading, Sensed};

use crate::jobs::job;

/// One invented run.
#[derive(Debug, Clone)]
pub struct Run {
    /// What it shows, in a word or two.
    pub name: &'static str,
    /// Its readings and marks, in order of time.
    pub entries: Vec<Entry>,
    /// What a judge would say of it.
    pub findings: Findings,
    /// The job, all of it invented.
    pub job: Option<Job>,
}

/// Digest of a record that never was.
pub const DIGEST: &str = "5f3c9d1e0b7a46528894c1d2e3f405162738495a6b7c8d9eafb0c1d2e3f40516";

/// Pull-down and hold of one round.
#[derive(Clone, Copy)]
pub(crate) struct PlannedRound {
    pub(crate) start_s: f64,
    pub(crate) isolated_s: f64,
    pub(crate) end_s: f64,
    pub(crate) from_micron: f64,
    pub(crate) floor_micron: f64,
    pub(crate) tau_s: f64,
    pub(crate) slope_micron_per_min: f64,
    pub(crate) boil_micron: f64,
    pub(crate) boil_tau_s: f64,
    pub(crate) noise: f64,
    pub(crate) interval_s: f64,
}

impl PlannedRound {
    pub(crate) fn hour() -> Self {
        Self {
            start_s: 0.0,
            isolated_s: 2400.0,
            end_s: 3600.0,
            from_micron: 760_000.0,
            floor_micron: 180.0,
            tau_s: 150.0,
            slope_micron_per_min: 0.0,
            boil_micron: 0.0,
            boil_tau_s: 300.0,
            noise: 0.006,
            interval_s: 0.5,
        }
    }

    pub(crate) fn stretched(self, factor: f64) -> Self {
        Self {
            isolated_s: self.isolated_s * factor,
            end_s: self.end_s * factor,
            tau_s: self.tau_s * factor,
            boil_tau_s: self.boil_tau_s * factor,
            interval_s: self.interval_s * factor.max(0.2),
            ..self
        }
    }

    pub(crate) fn curve(&self) -> RiseCurve {
        let terms = if self.boil_micron > 0.0 {
            vec![Saturating {
                amplitude_micron: self.boil_micron,
                tau_s: self.boil_tau_s,
            }]
        } else {
            Vec::new()
        };
        RiseCurve {
            origin_s: self.settled_s(),
            end_s: self.end_s,
            start_micron: self.floor_micron * 1.18,
            root_micron: 0.0,
            slope_micron_per_s: self.slope_micron_per_min / 60.0,
            terms,
        }
    }

    pub(crate) fn settled_s(&self) -> f64 {
        self.isolated_s + 0.02 * (self.end_s - self.isolated_s)
    }

    pub(crate) fn micron(&self, t: f64) -> f64 {
        let pulled = self.floor_micron
            + (self.from_micron - self.floor_micron) * (-(t - self.start_s) / self.tau_s).exp();
        if t < self.isolated_s {
            pulled
        } else {
            let settling =
                (-(t - self.isolated_s) / (self.settled_s() - self.isolated_s) * 4.0).exp();
            self.curve().at_micron(t) - settling * 0.18 * self.floor_micron
        }
    }

    pub(crate) fn readings(&self) -> Vec<Entry> {
        let mut noise = Noise(7);
        let mut t = self.start_s;
        let mut out = Vec::new();
        while t <= self.end_s {
            out.push(measured(
                t,
                self.micron(t) * (1.0 + self.noise * noise.next()),
            ));
            t += self.interval_s;
        }
        out
    }

    pub(crate) fn hold(&self, kind: RiseKind) -> Hold {
        let curve = self.curve();
        let rate = self.slope_micron_per_min;
        let highest = curve.at_micron(self.end_s);
        let has_boil = self.boil_micron > 0.0;
        let plateau = curve.start_micron + self.boil_micron;
        Hold {
            isolated_at_s: self.isolated_s,
            isolated_window_s: TimeRange::at(self.isolated_s),
            basis: IsolationBasis::Mark,
            settled_at_s: self.settled_s(),
            end_s: self.end_s,
            duration_s: self.end_s - self.isolated_s,
            start_micron: Some(curve.start_micron),
            end_micron: Some(highest),
            highest_micron: Some(highest * 1.01),
            rise: Rise {
                kind,
                leak_micron_per_min: (rate > 0.0).then(|| around(rate, 0.08)),
                plateau_micron: has_boil.then(|| around(plateau, 0.05)),
                tau_s: has_boil.then(|| around(self.boil_tau_s, 0.2)),
                detection_limit_micron_per_min: Some(0.21),
                decide_after_s: (kind == RiseKind::Unclear).then_some(1860.0),
                confidence: Some(0.97),
                leak_probability: Some(if rate > 0.0 { 0.99 } else { 0.02 }),
                curve: Some(curve),
                evidence: None,
            },
            leak: (rate > 0.0).then(|| LeakThroughput {
                pa_m3_per_s: around(rate * 4.666e-6, 0.08),
                g_per_year: Some(around(rate * 3.51, 0.08)),
            }),
            early_answer: None,
            operating_loss: (rate > 0.0).then_some(findings::OperatingLoss {
                low_side_pa: None,
                g_per_year: (rate * 4.9, rate * 73.0),
                years_to_lose_a_tenth: Some((5.7 / (rate * 73.0), 5.7 / (rate * 4.9))),
            }),
            // 0.21 micron/min in 2.1 L of R-600a
            smallest_leak: Some(findings::SmallestLeak {
                g_per_year: (1.04, 14.4),
                sealed_system: findings::CouldShow::DependsOnFlowLaw,
            }),
            water_vapour_mg: Some(0.23),
            water_ppm_of_charge: Some(4.0),
        }
    }

    pub(crate) fn pulldown(&self, stalls: Vec<Stall>) -> Pulldown {
        let reached = self.floor_micron < 480.0;
        Pulldown {
            start_s: self.start_s,
            end_s: self.isolated_s,
            reached_target_s: reached.then_some(self.start_s + self.tau_s * 7.8),
            lowest_micron: Some(self.floor_micron * 0.99),
            stalls,
        }
    }

    pub(crate) fn run(
        &self,
        name: &'static str,
        kind: RiseKind,
        verdict: (Verdict, Vec<Reason>),
    ) -> Run {
        let round = Round {
            pulldown: Some(self.pulldown(Vec::new())),
            hold: Some(self.hold(kind)),
        };
        let mut entries = self.readings();
        mark(&mut entries, self.isolated_s, MarkKind::PumpSideShut, "");
        mark(
            &mut entries,
            self.isolated_s + 20.0,
            MarkKind::PumpStopped,
            "",
        );
        Run {
            name,
            findings: findings(verdict, vec![round], &entries),
            entries,
            job: Some(job()),
        }
    }
}

/// A small generator of noise, so that pictures never change.
struct Noise(u64);

impl Noise {
    /// Roughly normal, variance 1.
    pub(crate) fn next(&mut self) -> f64 {
        let mut sum = 0.0;
        for _ in 0..6 {
            self.0 ^= self.0 << 13;
            self.0 ^= self.0 >> 7;
            self.0 ^= self.0 << 17;
            sum += (self.0 >> 11) as f64 / (1_u64 << 53) as f64 - 0.5;
        }
        sum * 1.414
    }
}

pub(crate) fn around(value: f64, relative: f64) -> Estimate {
    Estimate {
        value,
        low: value * (1.0 - relative),
        high: value * (1.0 + relative),
    }
}

pub(crate) fn measured(t: f64, micron: f64) -> Entry {
    let pressure = Pressure::from_micron(micron.max(0.0)).unwrap_or(Pressure::ATMOSPHERE);
    Entry::Reading(Reading::measured(t, pressure))
}

pub(crate) fn mark(entries: &mut Vec<Entry>, at_s: f64, kind: MarkKind, note: &str) {
    let at = entries.partition_point(|e| e.elapsed_s() <= at_s);
    let mark = Mark {
        elapsed_s: at_s,
        kind,
        note: note.into(),
    };
    entries.insert(at, Entry::Mark(mark));
}

/// Puts `sensed` in place of the readings between two times.
pub(crate) fn replace(run: &mut Run, from_s: f64, to_s: f64, sensed: Sensed) {
    for entry in &mut run.entries {
        if let Entry::Reading(r) = entry
            && (from_s..to_s).contains(&r.elapsed_s)
        {
            r.sensed = sensed;
        }
    }
}

pub(crate) fn findings(
    verdict: (Verdict, Vec<Reason>),
    rounds: Vec<Round>,
    entries: &[Entry],
) -> Findings {
    let rows = entries
        .iter()
        .filter(|e| matches!(e, Entry::Reading(_)))
        .count() as u64;
    Findings {
        verdict: verdict.0,
        reasons: verdict.1,
        criteria: Criteria::common_practice(),
        judged: rounds.iter().rposition(|round| round.hold.is_some()),
        rounds,
        findings: Vec::new(),
        data: DataSummary {
            rows,
            used: rows,
            rejected: 0,
            gaps: Vec::new(),
            interval_s: Some(0.5),
            resolution_micron: Some(1.0),
            noise_micron: Some(1.3),
            ..DataSummary::default()
        },
        further: Vec::new(),
        auxiliary: Vec::new(),
        charge: None,
    }
}

pub(crate) fn pass() -> (Verdict, Vec<Reason>) {
    (Verdict::Pass, Vec::new())
}

pub(crate) fn fail(reason: Reason) -> (Verdict, Vec<Reason>) {
    (Verdict::Fail, vec![reason])
}

pub(crate) fn open(reason: Reason) -> (Verdict, Vec<Reason>) {
    (Verdict::NotProven, vec![reason])
}
