//! What needs doing before the next job.

use chrono::{DateTime, NaiveDate};
use findings::FloorGrew;
use vacuum::Job;

use crate::{
    facts::same_name,
    oil_kind::{OilKind, carried_over},
    overview::{Overview, PumpNow},
};

/// The job that comes next, as far as it is known.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct NextJob {
    /// The pump; every pump where nobody says.
    pub pump: Option<String>,
    /// The hose set; every one where nobody says.
    pub hose: Option<String>,
    /// Oil of the system.
    pub oil: Option<OilKind>,
}

impl NextJob {
    /// What a job says.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        Self {
            pump: job.pump.clone(),
            hose: job.hose.clone(),
            oil: job.oil.as_deref().and_then(OilKind::from_text),
        }
    }
}

/// Something that needs doing.
#[derive(Debug, Clone, PartialEq)]
pub enum Warning {
    /// The floor of a pump grew on the same oil.
    OilTired {
        /// The pump.
        pump: String,
        /// By how much, over how many hours.
        grew: FloorGrew,
    },
    /// The newest blank-off test of a pump failed.
    TestFailed {
        /// The pump.
        part: String,
        /// The hose set that was tested with it: either may be the cause.
        with: Option<String>,
        /// When, s since 1970-01-01 UTC.
        at_s: f64,
    },
    /// A pump was on wet systems since its oil was changed.
    WetOil {
        /// The pump.
        pump: String,
        /// On how many.
        runs: usize,
    },
    /// What is left of the oil of the last system does harm in the next.
    OilCarriedOver {
        /// The pump or hose set.
        part: String,
        /// Of the last system.
        last: OilKind,
        /// Of the next.
        next: OilKind,
    },
    /// A gauge was to be calibrated.
    CalibrationOverdue {
        /// The gauge.
        gauge: String,
        /// The day, ISO 8601.
        due: String,
    },
    /// Two gauges that ran together do not agree.
    GaugesDisagree {
        /// Which.
        gauges: (String, String),
        /// What they showed, micron.
        micron: (f64, f64),
    },
    /// A pump was never tested by itself.
    NotTested {
        /// The pump.
        pump: String,
    },
}

impl Warning {
    /// The word in JSON.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::OilTired { .. } => "oil_tired",
            Self::TestFailed { .. } => "test_failed",
            Self::WetOil { .. } => "wet_oil",
            Self::OilCarriedOver { .. } => "oil_carried_over",
            Self::CalibrationOverdue { .. } => "calibration_overdue",
            Self::GaugesDisagree { .. } => "gauges_disagree",
            Self::NotTested { .. } => "not_tested",
        }
    }
}

/// What needs doing, the gravest first. `now_s` is s since 1970-01-01 UTC.
#[must_use]
pub fn warnings(overview: &Overview, now_s: f64, next: &NextJob) -> Vec<Warning> {
    let mut all = Vec::new();
    let is_next = |name: &str, wanted: &Option<String>| {
        wanted.as_ref().is_none_or(|wanted| same_name(wanted, name))
    };
    let pumps = overview
        .pumps
        .iter()
        .filter(|p| is_next(&p.name, &next.pump));
    for pump in pumps.clone() {
        of_pump(pump, &mut all);
    }
    let hoses = overview
        .hoses
        .iter()
        .filter(|h| is_next(&h.name, &next.hose));
    let last_oils = pumps
        .map(|p| (&p.name, p.last_oils.first()))
        .chain(hoses.map(|h| (&h.name, h.last_oils.first())));
    for (part, last) in last_oils {
        if let (Some(last), Some(next)) = (last.copied(), next.oil)
            && carried_over(last, next)
        {
            let part = part.clone();
            all.push(Warning::OilCarriedOver { part, last, next });
        }
    }
    for gauge in &overview.gauges {
        if let Some(due) = overdue(gauge.calibration_due.as_deref(), gauge.calibrated_s, now_s) {
            let gauge = gauge.name.clone();
            all.push(Warning::CalibrationOverdue { gauge, due });
        }
    }
    let apart = overview.agreements.iter().filter(|a| !a.holds());
    all.extend(apart.map(|a| Warning::GaugesDisagree {
        gauges: a.gauges.clone(),
        micron: a.micron,
    }));
    all
}

fn of_pump(pump: &PumpNow, all: &mut Vec<Warning>) {
    let name = || pump.name.clone();
    // what was before the oil was changed is over
    let since = pump.oil.since_s.unwrap_or(f64::NEG_INFINITY);
    let test = pump.last_test.as_ref().filter(|t| t.at_s >= since);
    if let Some(grew) = pump.history.and_then(|h| h.floor_grew)
        && test.is_some()
    {
        all.push(Warning::OilTired { pump: name(), grew });
    }
    match test {
        Some(test) if test.verdict.as_deref() == Some("fail") => all.push(Warning::TestFailed {
            part: name(),
            with: test.hose.clone(),
            at_s: test.at_s,
        }),
        Some(_) => {}
        None if pump.last_test.is_some() => {}
        None => all.push(Warning::NotTested { pump: name() }),
    }
    if pump.wet_runs > 0 {
        all.push(Warning::WetOil {
            pump: name(),
            runs: pump.wet_runs,
        });
    }
}

/// The day on which a gauge was to be calibrated, if that is over and nobody noted that it
/// was done on that day or since.
fn overdue(due: Option<&str>, calibrated_s: Option<f64>, now_s: f64) -> Option<String> {
    let due = NaiveDate::parse_from_str(due?.trim(), "%Y-%m-%d").ok()?;
    let day = |s: f64| DateTime::from_timestamp(s as i64, 0).map(|at| at.date_naive());
    let done = calibrated_s.and_then(day).is_some_and(|done| done >= due);
    (day(now_s)? > due && !done).then(|| due.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        facts::{Note, NoteKind, Run},
        overview::overview,
    };

    #[test]
    fn mineral_oil_is_told_before_a_system_with_ester() {
        let run = |began_s: f64, oil: &str| Run {
            pump: Some("P".into()),
            hose: Some("H".into()),
            oil: Some(oil.into()),
            pumped_h: Some(1.0),
            ..Run::began(began_s)
        };
        let of = |runs: &[Run]| {
            let next = NextJob {
                oil: Some(OilKind::Ester),
                ..NextJob::default()
            };
            let all = warnings(&overview(runs, &[]), 10.0, &next);
            let carried = |w: &&Warning| matches!(w, Warning::OilCarriedOver { .. });
            all.iter().filter(carried).count()
        };
        assert_eq!(of(&[run(1.0, "POE"), run(2.0, "mineral")]), 2);
        assert_eq!(of(&[run(1.0, "mineral"), run(2.0, "POE")]), 0);
    }

    #[test]
    fn a_gauge_is_overdue_until_somebody_notes_its_calibration() {
        let gauge = Run {
            gauge: Some("G".into()),
            calibration_due: Some("2026-01-31".into()),
            ..Run::began(0.0)
        };
        let day = |text: &str| {
            let at: DateTime<chrono::Utc> = format!("{text}T12:00:00Z").parse().unwrap();
            at.timestamp() as f64
        };
        let said = |now: &str, notes: &[Note]| {
            let view = overview(std::slice::from_ref(&gauge), notes);
            warnings(&view, day(now), &NextJob::default())
        };
        assert_eq!(said("2026-01-31", &[]), []);
        let due = "2026-01-31".to_owned();
        let gauge = "G".to_owned();
        let wanted = [Warning::CalibrationOverdue { gauge, due }];
        assert_eq!(said("2026-02-01", &[]), wanted);
        let done = Note::of(day("2026-02-01"), "g", NoteKind::Calibration, "");
        assert_eq!(said("2026-02-02", &[done]), []);
    }
}
