//! The JSON form of a blank-off test: `dryhold.findings/1`, `"test": "blank-off"`.

use findings::{BlankOffFindings, BlankOffNotice, RigFloor, RigHistory, RigRise};
use serde::Serialize;
use wording::Voice;

use super::{
    DataWire, FINDINGS_MADE_BY, HoldWire, SCHEMA, data,
    estimate::{EstimateWire, estimate},
    hold,
    number::{Number, Seconds},
};

#[derive(Serialize)]
struct TestWire<'a> {
    schema: &'static str,
    made_by: &'static str,
    test: &'static str,
    source: &'a str,
    verdict: &'static str,
    headline: String,
    reasons: Vec<&'static str>,
    criteria: CriteriaWire<'a>,
    blank_off: BlankOffWire<'a>,
    findings: Vec<NoticeWire>,
    data: DataWire<'a>,
}

#[derive(Serialize)]
struct CriteriaWire<'a> {
    name: &'a str,
    source: &'a str,
    floor_micron: Number,
    hold_min: Number,
    ceiling_micron: Number,
    rise_micron_per_min: Option<Number>,
}

#[derive(Serialize)]
struct BlankOffWire<'a> {
    floor_micron: Option<EstimateWire>,
    /// True where the gauge shows nothing below `floor_micron`.
    floor_is_bound: bool,
    reached_floor_s: Option<Seconds>,
    end_micron: Option<Number>,
    pump_longer_min: Option<Number>,
    pumping_start_s: Option<Seconds>,
    pumping_end_s: Option<Seconds>,
    rise_micron_per_min: Option<EstimateWire>,
    hold: Option<HoldWire>,
    rig: Option<&'a str>,
    pump: Option<&'a str>,
    oil_hours: Option<Number>,
    history: Option<HistoryWire>,
}

#[derive(Serialize)]
pub(super) struct HistoryWire {
    runs: usize,
    median_floor_micron: Option<Number>,
    highest_usual_floor_micron: Option<Number>,
    median_rise_micron_per_min: Option<Number>,
    highest_usual_rise_micron_per_min: Option<Number>,
    floor_trend_micron_per_10h: Option<EstimateWire>,
    floor_grew_factor: Option<Number>,
    floor_grew_in_h: Option<Number>,
}

#[derive(Serialize)]
struct NoticeWire {
    code: &'static str,
    at_s: Option<Seconds>,
    text: String,
}

/// What `review --test blank-off --json` prints, one line.
#[must_use]
pub fn blank_off_json(found: &BlankOffFindings, source: &str) -> String {
    let english = Voice::default();
    let floor = found.floor.as_ref();
    let rise = found.rise.as_ref();
    let lines = wording::blank_off_lines(&english, found);
    let wire = TestWire {
        schema: SCHEMA,
        made_by: FINDINGS_MADE_BY,
        test: "blank-off",
        source,
        verdict: found.verdict.word(),
        headline: lines.into_iter().next().unwrap_or_default(),
        reasons: found.reasons.iter().map(|r| r.word()).collect(),
        criteria: CriteriaWire {
            name: &found.criteria.name,
            source: &found.criteria.source,
            floor_micron: Number(found.criteria.target_micron),
            hold_min: Number(found.criteria.hold_min),
            ceiling_micron: Number(found.criteria.ceiling_micron),
            rise_micron_per_min: found.allowed_rise_micron_per_min.map(Number),
        },
        blank_off: blank_off(found, floor, rise),
        findings: found.notices.iter().map(|n| notice(&english, n)).collect(),
        data: data(&found.data),
    };
    serde_json::to_string(&wire).unwrap_or_default()
}

fn blank_off<'a>(
    found: &'a BlankOffFindings,
    floor: Option<&RigFloor>,
    rise: Option<&RigRise>,
) -> BlankOffWire<'a> {
    BlankOffWire {
        floor_micron: floor.map(|f| estimate(&f.micron)),
        floor_is_bound: floor.is_some_and(|f| f.is_bound),
        reached_floor_s: floor.and_then(|f| f.reached_s).map(Seconds),
        end_micron: floor.map(|f| Number(f.end_micron)),
        pump_longer_min: floor.and_then(|f| f.pump_longer_min).map(Number),
        pumping_start_s: floor.map(|f| Seconds(f.pumped_s.0)),
        pumping_end_s: floor.map(|f| Seconds(f.pumped_s.1)),
        rise_micron_per_min: rise.and_then(|r| r.micron_per_min.as_ref()).map(estimate),
        hold: rise.map(|r| hold(&r.hold)),
        rig: found.rig.rig.as_deref(),
        pump: found.rig.pump.as_deref(),
        oil_hours: found.rig.oil_hours.map(Number),
        history: found.history.as_ref().map(history),
    }
}

pub(super) fn history(from: &RigHistory) -> HistoryWire {
    HistoryWire {
        runs: from.runs,
        median_floor_micron: from.median_floor_micron.map(Number),
        highest_usual_floor_micron: from.highest_usual_floor_micron.map(Number),
        median_rise_micron_per_min: from.median_rise_micron_per_min.map(Number),
        highest_usual_rise_micron_per_min: from.highest_usual_rise_micron_per_min.map(Number),
        floor_trend_micron_per_10h: from.floor_trend_micron_per_10h.as_ref().map(estimate),
        floor_grew_factor: from.floor_grew.map(|g| Number(g.factor)),
        floor_grew_in_h: from.floor_grew.map(|g| Number(g.hours)),
    }
}

fn notice(english: &Voice, from: &BlankOffNotice) -> NoticeWire {
    NoticeWire {
        code: from.code(),
        at_s: from.at_s().map(Seconds),
        text: wording::blank_off_notice(english, from),
    }
}
