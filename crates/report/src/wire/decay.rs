//! The JSON form of a pressure test: `dryhold.findings/1`, `"test": "pressure-decay"`.

use findings::{Decay, DecayCriteria, DecayFindings, DecayNotice};
use serde::Serialize;

use super::{
    FINDINGS_MADE_BY, SCHEMA,
    number::{Number, Seconds},
};

#[derive(Serialize)]
struct TestWire<'a> {
    schema: &'static str,
    made_by: &'static str,
    test: &'static str,
    source: &'a str,
    verdict: &'static str,
    reasons: Vec<&'static str>,
    criteria: CriteriaWire<'a>,
    decay: Option<DecayWire>,
    findings: Vec<NoticeWire>,
    data: DataWire<'a>,
}

#[derive(Serialize)]
struct CriteriaWire<'a> {
    name: &'a str,
    source: &'a str,
    allowed_pa_m3_per_s: Option<Number>,
    refused_pa_m3_per_s: Option<Number>,
    hold_min: Number,
    test_pressure_bar_abs: Option<Number>,
    highest_bar_abs: Option<Number>,
}

#[derive(Serialize)]
struct DecayWire {
    shut_at_s: Seconds,
    settled_at_s: Option<Seconds>,
    end_s: Seconds,
    start_bar_abs: Number,
    end_bar_abs: Number,
    start_c: Option<Number>,
    end_c: Option<Number>,
    corrected_end_bar_abs: Option<Number>,
    lost_per_hour: IntervalWire,
    loss_pa_m3_per_s: Option<IntervalWire>,
    upper_95_pa_m3_per_s: Option<Number>,
    detection_limit_pa_m3_per_s: Option<Number>,
    g_per_year: Option<RangeWire>,
    hold_rise_micron_per_min: Option<RangeWire>,
    decides_in_min: Option<Number>,
    with_thermometer_min: Option<Number>,
}

#[derive(Serialize)]
struct IntervalWire {
    value: Number,
    low: Number,
    high: Number,
}

#[derive(Serialize)]
struct RangeWire {
    low: Number,
    high: Number,
}

#[derive(Serialize)]
struct NoticeWire {
    code: &'static str,
    at_s: Option<Seconds>,
}

#[derive(Serialize)]
struct DataWire<'a> {
    rows: u64,
    rejected: u64,
    readings: u64,
    notes: &'a [String],
}

/// What `review --test pressure-decay --json` prints, one line. `rows` is how many rows the
/// record has and how many of them were left out.
#[must_use]
pub fn decay_json(
    found: &DecayFindings,
    source: &str,
    rows: (u64, u64),
    notes: &[String],
) -> String {
    let wire = TestWire {
        schema: SCHEMA,
        made_by: FINDINGS_MADE_BY,
        test: "pressure-decay",
        source,
        verdict: found.verdict.word(),
        reasons: found.reasons.iter().map(|r| r.word()).collect(),
        criteria: criteria(&found.criteria),
        decay: found.decay.as_ref().map(decay),
        findings: found.notices.iter().map(notice).collect(),
        data: DataWire {
            rows: rows.0,
            rejected: rows.1,
            readings: found.readings,
            notes,
        },
    };
    serde_json::to_string(&wire).unwrap_or_default()
}

fn criteria(from: &DecayCriteria) -> CriteriaWire<'_> {
    CriteriaWire {
        name: &from.name,
        source: &from.source,
        allowed_pa_m3_per_s: from.allowed_pa_m3_per_s.map(Number),
        refused_pa_m3_per_s: from.refused_pa_m3_per_s.map(Number),
        hold_min: Number(from.hold_min),
        test_pressure_bar_abs: from.test_pressure_bar_abs.map(Number),
        highest_bar_abs: from.highest_bar_abs.map(Number),
    }
}

fn decay(from: &Decay) -> DecayWire {
    let interval = |e: findings::Estimate| IntervalWire {
        value: Number(e.value),
        low: Number(e.low),
        high: Number(e.high),
    };
    let range = |(low, high): (f64, f64)| RangeWire {
        low: Number(low),
        high: Number(high),
    };
    DecayWire {
        shut_at_s: Seconds(from.shut_at_s),
        settled_at_s: from.settled_at_s.map(Seconds),
        end_s: Seconds(from.end_s),
        start_bar_abs: Number(from.start_bar_abs),
        end_bar_abs: Number(from.end_bar_abs),
        start_c: from.start_c.map(Number),
        end_c: from.end_c.map(Number),
        corrected_end_bar_abs: from.corrected_end_bar_abs.map(Number),
        lost_per_hour: interval(from.lost_per_hour),
        loss_pa_m3_per_s: from.loss_pa_m3_per_s.map(interval),
        upper_95_pa_m3_per_s: from.upper_95_pa_m3_per_s.map(Number),
        detection_limit_pa_m3_per_s: from.detection_limit_pa_m3_per_s.map(Number),
        g_per_year: from.g_per_year.map(range),
        hold_rise_micron_per_min: from.hold_rise_micron_per_min.map(range),
        decides_in_min: from.decides_in_min.map(Number),
        with_thermometer_min: from.with_thermometer_min.map(Number),
    }
}

fn notice(from: &DecayNotice) -> NoticeWire {
    NoticeWire {
        code: from.code(),
        at_s: from.at_s().map(Seconds),
    }
}
