//! The JSON form of an overview of pumps, hose sets and gauges: `dryhold.rig/1`.

use chrono::{DateTime, SecondsFormat};
use findings::Estimate;
use rig_history::{Agreement, GaugeNow, HoseNow, LastTest, Note, Overview, PumpNow, Warning};
use serde::Serialize;
use wording::Voice;

use super::{EstimateWire, blank_off::HistoryWire, estimate, number::Number};

#[derive(Serialize)]
struct RigWire<'a> {
    schema: &'static str,
    folder: &'a str,
    warnings: Vec<WarningWire>,
    pumps: Vec<PumpWire<'a>>,
    hoses: Vec<HoseWire<'a>>,
    gauges: Vec<GaugeWire<'a>>,
    compared: Vec<ComparedWire<'a>>,
    unread: &'a [String],
}

#[derive(Serialize)]
struct WarningWire {
    code: &'static str,
    text: String,
}

#[derive(Serialize)]
struct PumpWire<'a> {
    name: &'a str,
    runs: usize,
    oil_hours: Number,
    oil_changed_utc: Option<String>,
    runs_without_hours: usize,
    wet_runs: usize,
    last_test: Option<TestWire<'a>>,
    history: Option<HistoryWire>,
    last_oils: Vec<&'static str>,
    last_refrigerants: &'a [String],
    notes: Vec<NoteWire<'a>>,
}

#[derive(Serialize)]
struct HoseWire<'a> {
    name: &'a str,
    runs: usize,
    last_test: Option<TestWire<'a>>,
    last_oils: Vec<&'static str>,
    notes: Vec<NoteWire<'a>>,
}

#[derive(Serialize)]
struct GaugeWire<'a> {
    name: &'a str,
    runs: usize,
    calibration_due: Option<&'a str>,
    calibrated_utc: Option<String>,
    notes: Vec<NoteWire<'a>>,
}

#[derive(Serialize)]
struct TestWire<'a> {
    started_utc: Option<String>,
    verdict: Option<&'a str>,
    floor_micron: Option<EstimateWire>,
    rise_micron_per_min: Option<EstimateWire>,
}

#[derive(Serialize)]
struct NoteWire<'a> {
    utc: Option<String>,
    kind: &'static str,
    text: &'a str,
}

#[derive(Serialize)]
struct ComparedWire<'a> {
    gauges: [&'a str; 2],
    utc: Option<String>,
    micron: [Number; 2],
    e_n: Number,
    agree: bool,
}

/// What `dryhold rig --json` prints, one line. `unread` is what could not be read, each with
/// its reason.
#[must_use]
pub fn rig_json(overview: &Overview, todo: &[Warning], folder: &str, unread: &[String]) -> String {
    let english = Voice::default();
    let wire = RigWire {
        schema: "dryhold.rig/1",
        folder,
        warnings: todo
            .iter()
            .map(|w| WarningWire {
                code: w.code(),
                text: wording::rig_warning(&english, w),
            })
            .collect(),
        pumps: overview.pumps.iter().map(pump).collect(),
        hoses: overview.hoses.iter().map(hose).collect(),
        gauges: overview.gauges.iter().map(gauge).collect(),
        compared: overview.agreements.iter().map(compared).collect(),
        unread,
    };
    serde_json::to_string(&wire).unwrap_or_default()
}

/// RFC 3339; `None` for a time that is none.
fn utc(at_s: f64) -> Option<String> {
    let at = at_s
        .is_finite()
        .then(|| DateTime::from_timestamp(at_s as i64, 0))??;
    Some(at.to_rfc3339_opts(SecondsFormat::Secs, true))
}

fn pump(from: &PumpNow) -> PumpWire<'_> {
    PumpWire {
        name: &from.name,
        runs: from.runs,
        oil_hours: Number(from.oil.hours),
        oil_changed_utc: from.oil.since_s.and_then(utc),
        runs_without_hours: from.oil.unknown,
        wet_runs: from.wet_runs,
        last_test: from.last_test.as_ref().map(test),
        history: from.history.as_ref().map(super::blank_off::history),
        last_oils: from.last_oils.iter().map(|o| o.word()).collect(),
        last_refrigerants: &from.last_refrigerants,
        notes: from.notes.iter().map(note).collect(),
    }
}

fn hose(from: &HoseNow) -> HoseWire<'_> {
    HoseWire {
        name: &from.name,
        runs: from.runs,
        last_test: from.last_test.as_ref().map(test),
        last_oils: from.last_oils.iter().map(|o| o.word()).collect(),
        notes: from.notes.iter().map(note).collect(),
    }
}

fn gauge(from: &GaugeNow) -> GaugeWire<'_> {
    GaugeWire {
        name: &from.name,
        runs: from.runs,
        calibration_due: from.calibration_due.as_deref(),
        calibrated_utc: from.calibrated_s.and_then(utc),
        notes: from.notes.iter().map(note).collect(),
    }
}

fn test(from: &LastTest) -> TestWire<'_> {
    let figures = |e: &Option<Estimate>| e.as_ref().map(estimate);
    TestWire {
        started_utc: utc(from.at_s),
        verdict: from.verdict.as_deref(),
        floor_micron: figures(&from.floor_micron),
        rise_micron_per_min: figures(&from.rise_micron_per_min),
    }
}

fn note(from: &Note) -> NoteWire<'_> {
    NoteWire {
        utc: utc(from.at_s),
        kind: from.kind.word(),
        text: &from.text,
    }
}

fn compared(from: &Agreement) -> ComparedWire<'_> {
    ComparedWire {
        gauges: [&from.gauges.0, &from.gauges.1],
        utc: utc(from.at_s),
        micron: [Number(from.micron.0), Number(from.micron.1)],
        e_n: Number(from.e_n),
        agree: from.holds(),
    }
}
