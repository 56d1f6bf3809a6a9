//! Invented runs for tests and for looking at: hand-made curves and findings, chosen to
//! be hard to put into words and to lay out. They are no physics.
//!
//! ```
//! let runs = invented_runs::runs();
//! let pass = runs.iter().find(|run| run.name == "pass_1h").unwrap();
//! assert_eq!(pass.findings.verdict, findings::Verdict::Pass);
//! assert!(pass.job.as_ref().is_some_and(|job| job.invented));
//! ```
//!
//! # What this crate never does
//! It is in no program: only tests, benches and examples depend on it. It judges nothing;
//! its findings are written by hand.

mod hard;
mod jobs;
mod passes;
mod round;

use findings::{Reason, RiseKind};
use vacuum::{Entry, Pressure, Reading, Sensed};

pub use round::{DIGEST, Run};
use round::{PlannedRound, fail, open, pass};

/// What a gauge at the pump would show in a run: a tenth of the judged one while
/// gas flows, over its range a little after the last isolation.
#[must_use]
pub fn pump_side(run: &Run) -> Vec<Entry> {
    let hold = run.findings.judged_hold();
    let vented_s = hold.map_or(f64::INFINITY, |h| h.isolated_at_s + 40.0);
    let readings = run.entries.iter().filter_map(|e| match e {
        Entry::Reading(r) => Some(*r),
        Entry::Mark(_) => None,
    });
    readings
        .map(|r| {
            let sensed = match r.sensed {
                _ if r.elapsed_s > vented_s => Sensed::Over(None),
                Sensed::Measured(p) => {
                    let micron = (0.1 * p.micron()).max(45.0);
                    Pressure::from_micron(micron).map_or(Sensed::Fault, Sensed::Measured)
                }
                other => other,
            };
            Entry::Reading(Reading { sensed, ..r })
        })
        .collect()
}

/// Every invented run.
#[must_use]
pub fn runs() -> Vec<Run> {
    let mut all = plain_runs();
    all.extend(hard::awkward_records());
    all.extend(hard::many_things());
    all.extend(hard::hardly_anything());
    all.extend(passes::reserved());
    all.extend(passes::doubtful());
    all
}

fn plain_runs() -> Vec<Run> {
    let hour = PlannedRound::hour();
    let leak = PlannedRound {
        slope_micron_per_min: 24.0,
        ..hour
    };
    let moist = PlannedRound {
        boil_micron: 900.0,
        boil_tau_s: 420.0,
        ..hour
    };
    let both = PlannedRound {
        slope_micron_per_min: 9.0,
        boil_micron: 350.0,
        ..hour
    };
    let mut slow = hour.stretched(10.0);
    slow.isolated_s = 35_400.0;
    let exceeded = Reason::CeilingExceeded;
    vec![
        hour.run("pass_1h", RiseKind::None, pass()),
        leak.run("leak_1h", RiseKind::Leak, fail(exceeded)),
        leak.stretched(1.0 / 6.0)
            .run("leak_10min", RiseKind::Leak, open(Reason::HoldTooShort)),
        moist.run("moisture_1h", RiseKind::Moisture, fail(exceeded)),
        both.run("both_1h", RiseKind::LeakAndMoisture, fail(exceeded)),
        hour.stretched(10.0).run("pass_10h", RiseKind::None, pass()),
        slow.run("short_hold_10h", RiseKind::None, pass()),
        both.stretched(10.0)
            .run("both_10h", RiseKind::LeakAndMoisture, fail(exceeded)),
    ]
}
