//! Pumps, hose sets and gauges of a shop, as they are now.

use findings::{Estimate, RigHistory};
use vacuum::TestKind;

use crate::{
    compared::Agreement,
    facts::{Note, NoteKind, Run, same_name},
    oil::{OilHours, oil_hours},
    oil_kind::OilKind,
    usual::history,
};

/// Systems that are remembered of a part (common practice, no source).
const LAST_SYSTEMS: usize = 3;

/// Everything that the records of a shop say of its parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Overview {
    /// True where some of it is invented demonstration data.
    pub invented: bool,
    /// Pumps, by name.
    pub pumps: Vec<PumpNow>,
    /// Hose sets, by name.
    pub hoses: Vec<HoseNow>,
    /// Gauges, by name.
    pub gauges: Vec<GaugeNow>,
    /// Gauges that ran together, the newest comparison of each two.
    pub agreements: Vec<Agreement>,
    /// Notes on names that no record has.
    pub notes_on_others: Vec<Note>,
}

/// The newest blank-off test of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct LastTest {
    /// When it began, s since 1970-01-01 UTC.
    pub at_s: f64,
    /// The word of its verdict.
    pub verdict: Option<String>,
    /// The hose set in it.
    pub hose: Option<String>,
    /// Its floor, micron, where it was reached.
    pub floor_micron: Option<Estimate>,
    /// Its mean rise, micron/min.
    pub rise_micron_per_min: Option<Estimate>,
}

/// A pump.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpNow {
    /// As the newest record writes it.
    pub name: String,
    /// Runs that name it.
    pub runs: usize,
    /// Hours on its oil.
    pub oil: OilHours,
    /// Runs in which water was seen since the oil was changed.
    pub wet_runs: usize,
    /// Its newest blank-off test.
    pub last_test: Option<LastTest>,
    /// What its tests with the hose set of the newest one are like, that one included.
    pub history: Option<RigHistory>,
    /// Oils of the systems that it was last on, the newest first.
    pub last_oils: Vec<OilKind>,
    /// Refrigerants of those.
    pub last_refrigerants: Vec<String>,
    /// What was noted, the oldest first.
    pub notes: Vec<Note>,
}

/// A hose set.
#[derive(Debug, Clone, PartialEq)]
pub struct HoseNow {
    /// As the newest record writes it.
    pub name: String,
    /// Runs that name it.
    pub runs: usize,
    /// The newest blank-off test.
    pub last_test: Option<LastTest>,
    /// Oils of the systems that it was last on, the newest first.
    pub last_oils: Vec<OilKind>,
    /// What was noted, the oldest first.
    pub notes: Vec<Note>,
}

/// A gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeNow {
    /// As the newest record writes it.
    pub name: String,
    /// Runs that name it.
    pub runs: usize,
    /// When it is to be calibrated again, as the newest record that says so has it.
    pub calibration_due: Option<String>,
    /// When a calibration was noted last, s since 1970-01-01 UTC.
    pub calibrated_s: Option<f64>,
    /// What was noted, the oldest first.
    pub notes: Vec<Note>,
}

/// What runs and notes say of the parts, as it is at the end of them.
#[must_use]
pub fn overview(runs: &[Run], notes: &[Note]) -> Overview {
    let mut runs: Vec<Run> = runs.to_vec();
    runs.sort_by(|a, b| a.began_s.total_cmp(&b.began_s));
    let runs = runs.as_slice();
    let pumps = names(runs, |r| r.pump.as_ref());
    let hoses = names(runs, |r| r.hose.as_ref());
    let gauges = names(runs, |r| r.gauge.as_ref());
    let known = |name: &str| {
        let all = pumps.iter().chain(&hoses).chain(&gauges);
        all.into_iter().any(|known| same_name(known, name))
    };
    let others = notes.iter().filter(|n| !known(&n.name));
    Overview {
        invented: runs.iter().any(|r| r.invented),
        notes_on_others: others.cloned().collect(),
        agreements: Agreement::newest(runs),
        pumps: pumps.iter().map(|n| pump(runs, notes, n)).collect(),
        hoses: hoses.iter().map(|n| hose(runs, notes, n)).collect(),
        gauges: gauges.iter().map(|n| gauge(runs, notes, n)).collect(),
    }
}

/// Different names of a part, each as the newest run writes it, in their order.
fn names(runs: &[Run], part: impl Fn(&Run) -> Option<&String>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for name in runs.iter().rev().filter_map(part) {
        if !names.iter().any(|known| same_name(known, name)) {
            names.push(name.clone());
        }
    }
    names.sort();
    names
}

fn pump(runs: &[Run], notes: &[Note], name: &str) -> PumpNow {
    let its: Vec<&Run> = runs
        .iter()
        .filter(|r| Run::has(r.pump.as_ref(), name))
        .collect();
    let oil = oil_hours(runs, notes, name, f64::INFINITY);
    let since = oil.since_s.unwrap_or(f64::NEG_INFINITY);
    let tested = its.iter().rfind(|r| r.kind == TestKind::BlankOff);
    let history = tested.map(|last| {
        let floor = last.floor_micron.map(|f| f.value);
        let parts = (Some(name), last.hose.as_deref());
        history(runs, notes, parts, last.began_s, floor)
    });
    PumpNow {
        name: name.to_owned(),
        runs: its.len(),
        wet_runs: its.iter().filter(|r| r.wet && r.began_s >= since).count(),
        oil,
        last_test: tested.map(|r| last_test(r)),
        history,
        last_oils: last_of(&its, |r| r.oil.as_deref().and_then(OilKind::from_text)),
        last_refrigerants: last_of(&its, |r| r.refrigerant.clone()),
        notes: on(notes, name),
    }
}

fn hose(runs: &[Run], notes: &[Note], name: &str) -> HoseNow {
    let its: Vec<&Run> = runs
        .iter()
        .filter(|r| Run::has(r.hose.as_ref(), name))
        .collect();
    let tested = its.iter().rfind(|r| r.kind == TestKind::BlankOff);
    HoseNow {
        name: name.to_owned(),
        runs: its.len(),
        last_test: tested.map(|r| last_test(r)),
        last_oils: last_of(&its, |r| r.oil.as_deref().and_then(OilKind::from_text)),
        notes: on(notes, name),
    }
}

fn gauge(runs: &[Run], notes: &[Note], name: &str) -> GaugeNow {
    let its: Vec<&Run> = runs
        .iter()
        .filter(|r| Run::has(r.gauge.as_ref(), name))
        .collect();
    let notes = on(notes, name);
    GaugeNow {
        name: name.to_owned(),
        runs: its.len(),
        calibration_due: its.iter().rev().find_map(|r| r.calibration_due.clone()),
        calibrated_s: notes
            .iter()
            .filter(|n| n.kind == NoteKind::Calibration)
            .map(|n| n.at_s)
            .reduce(f64::max),
        notes,
    }
}

fn last_test(run: &Run) -> LastTest {
    LastTest {
        at_s: run.began_s,
        verdict: run.verdict.clone(),
        hose: run.hose.clone(),
        floor_micron: run.floor_micron,
        rise_micron_per_min: run.rise_micron_per_min,
    }
}

/// What the newest runs say that say anything, the newest first.
fn last_of<T>(runs: &[&Run], what: impl Fn(&Run) -> Option<T>) -> Vec<T> {
    let said = runs.iter().rev().filter_map(|r| what(r));
    said.take(LAST_SYSTEMS).collect()
}

fn on(notes: &[Note], name: &str) -> Vec<Note> {
    let mut its: Vec<Note> = notes
        .iter()
        .filter(|n| same_name(&n.name, name))
        .cloned()
        .collect();
    its.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    its
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_found_whatever_the_order_of_the_runs() {
        let run = |began_s: f64, pump: &str, oil: &str| Run {
            pump: Some(pump.into()),
            gauge: Some("SN 7".into()),
            oil: Some(oil.into()),
            pumped_h: Some(1.0),
            ..Run::began(began_s)
        };
        let mut runs = vec![
            run(3.0, "Pump b", "POE"),
            run(1.0, "pump a", "mineral"),
            run(2.0, "PUMP B", "mineral"),
        ];
        runs[0].calibration_due = Some("2027-01-31".into());
        let notes = [
            Note::of(2.5, "pump b", NoteKind::OilChange, ""),
            Note::of(2.5, "pump c", NoteKind::Remark, "lent out"),
        ];
        let found = overview(&runs, &notes);
        let pumps: Vec<&str> = found.pumps.iter().map(|p| p.name.as_str()).collect();
        assert_eq!(pumps, ["Pump b", "pump a"]);
        let b = &found.pumps[0];
        assert_eq!((b.runs, b.oil.hours), (2, 1.0));
        assert_eq!(b.last_oils, [OilKind::Ester, OilKind::Mineral]);
        assert_eq!(
            found.gauges[0].calibration_due.as_deref(),
            Some("2027-01-31")
        );
        assert_eq!(found.notes_on_others.len(), 1);
    }
}
