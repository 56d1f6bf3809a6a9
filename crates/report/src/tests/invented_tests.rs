//! Invented pressure tests, judged: 2.8 L of nitrogen at 11 bar.
//!
//! The law of the ideal gas in a rigid vessel, p/T constant; the judge reckons with a real
//! gas. Everything is invented.

use findings::DecayFindings;
use pressure_decay::{GaugeZero, PressureDecay, Setup};
use vacuum::{AllowedLoss, Entry, Job, Mark, MarkKind, Pressure, Reading, Refrigerant, TestGas};

use crate::{About, Barometer, TestSheet, TestTrace};

/// What is known of an invented test.
pub(crate) struct Invented {
    pub(crate) name: &'static str,
    pub(crate) findings: DecayFindings,
    pub(crate) trace: TestTrace,
    pub(crate) barometer: Barometer,
    pub(crate) notes: Vec<String>,
    pub(crate) job: Option<Job>,
}

impl Invented {
    /// Its sheet.
    pub(crate) fn sheet(&self) -> TestSheet<'_> {
        TestSheet {
            trace: &self.trace,
            findings: &self.findings,
            gas: TestGas::Nitrogen,
            barometer: self.barometer,
            notes: &self.notes,
            about: About {
                job: self.job.as_ref(),
                started_utc: Some("2026-03-14T09:15:00Z"),
                record_sha256: Some(invented_runs::DIGEST),
                ..About::new(self.name, "dryhold 0.1.0")
            },
        }
    }
}

/// How a test runs.
struct Plant {
    name: &'static str,
    lost_per_hour: f64,
    supply_open: bool,
    thermometer: bool,
    /// After shutting, s.
    hold_s: u32,
    /// Step of the gauge, bar.
    step_bar: f64,
    volume: bool,
    stamped: bool,
    barometer: Barometer,
}

const TIGHT: Plant = Plant {
    name: "tight",
    lost_per_hour: 0.0,
    supply_open: false,
    thermometer: true,
    hold_s: 5_310,
    step_bar: 0.001,
    volume: true,
    stamped: true,
    barometer: Barometer::NotNeeded,
};

impl Plant {
    fn entries(&self) -> Vec<Entry> {
        let mut out = Vec::new();
        let mark = |elapsed_s: f64, kind, note: &str| {
            Entry::Mark(Mark {
                elapsed_s,
                kind,
                note: note.into(),
            })
        };
        for s in (0..90 + self.hold_s).step_by(5) {
            let held = f64::from(s) - 90.0;
            let room = 22.4 - 0.9 * held.max(0.0) / 5_400.0 - 0.15 * (f64::from(s) / 700.0).sin();
            let bar = if held < 0.0 {
                1.013 + (11.05 - 1.013) * (f64::from(s) / 80.0).min(1.0)
            } else if self.supply_open {
                11.05
            } else {
                let gas = room + 6.0 * (-held / 45.0).exp() + 0.5 * (-held / 600.0).exp();
                11.05 * (gas + 273.15) / 302.05 * (-self.lost_per_hour * held / 3_600.0).exp()
            };
            let noise = ((f64::from(s) * 12.9898).sin() * 43_758.545).rem_euclid(1.0) - 0.5;
            let bar = ((bar + 0.002 * noise) / self.step_bar).round() * self.step_bar;
            let pressure = Pressure::from_pa(bar * 1e5).unwrap();
            let mut reading = Reading::measured(f64::from(s), pressure);
            reading.temperature_c = self.thermometer.then_some((room * 10.0).round() / 10.0);
            out.push(Entry::Reading(reading));
            if s == 90 && self.stamped {
                out.push(mark(90.0, MarkKind::SupplyShut, ""));
            }
            if s == 2_400 {
                out.push(mark(
                    2_400.0,
                    MarkKind::Note,
                    "bubbles at every joint: none seen",
                ));
            }
        }
        out
    }

    fn run(&self, job: Option<Job>) -> Invented {
        let entries = self.entries();
        let mut trace = TestTrace::new(TestGas::Nitrogen);
        let (zero, barometer_pa) = match self.barometer {
            Barometer::NotNeeded => (GaugeZero::Absolute, None),
            Barometer::Recorded => (GaugeZero::BarometerRecorded, None),
            Barometer::Given(pa) => (GaugeZero::BarometerGiven, Some(pa)),
            Barometer::Assumed(pa) => (GaugeZero::BarometerUnknown, Some(pa)),
        };
        let mut test = PressureDecay::new(Setup {
            volume_l: self.volume.then_some(2.8),
            refrigerant: Refrigerant::named("R-600a"),
            limit: Some(AllowedLoss::Throughput { pa_m3_per_s: 0.02 }),
            rule: ("as given".into(), "given on the command line".into()),
            zero,
            barometer_pa,
            least_pa: Some(10e5),
            highest_pa: Some(14e5),
            ..Setup::default()
        });
        for entry in &entries {
            trace.push(entry);
            test.take(entry);
        }
        Invented {
            name: self.name,
            findings: test.findings(),
            trace,
            barometer: self.barometer,
            notes: vec!["3 rows were left out: their time is that of the row before".into()],
            job,
        }
    }
}

/// Every one, the hard ones included.
pub(crate) fn tests() -> Vec<Invented> {
    let runs = invented_runs::runs();
    let job = runs.iter().find(|r| r.name == "many_marks").unwrap();
    let job = || job.job.clone();
    [
        TIGHT,
        Plant {
            name: "leak",
            lost_per_hour: 0.06,
            ..TIGHT
        },
        Plant {
            name: "gross leak",
            lost_per_hour: 1.5,
            ..TIGHT
        },
        Plant {
            name: "supply open",
            supply_open: true,
            ..TIGHT
        },
        Plant {
            name: "no thermometer",
            thermometer: false,
            ..TIGHT
        },
        Plant {
            name: "short",
            hold_s: 400,
            ..TIGHT
        },
        Plant {
            name: "coarse",
            step_bar: 0.1,
            ..TIGHT
        },
        Plant {
            name: "no volume, not stamped",
            volume: false,
            stamped: false,
            ..TIGHT
        },
        Plant {
            name: "no barometer",
            barometer: Barometer::Assumed(101_325.0),
            ..TIGHT
        },
    ]
    .iter()
    .map(|plant| plant.run(job()))
    .chain([empty()])
    .collect()
}

/// A record without a reading, of nobody's job.
fn empty() -> Invented {
    Invented {
        name: "empty",
        findings: PressureDecay::new(Setup::default()).findings(),
        trace: TestTrace::new(TestGas::Nitrogen),
        barometer: Barometer::Given(98_700.0),
        notes: Vec::new(),
        job: None,
    }
}
