//! What is said of a case as JSON: `dryhold.fault/1`.

use fault::diagnose;
use serde::Serialize;
use serde_json::{Value, json};

use crate::{
    case::Case,
    settle::settle,
    words::{
        cautions, doubt, evidence, first_check, is_to_settle, not_told_apart, observed, remarks,
        rest_words,
    },
};

#[derive(Serialize)]
struct Wire {
    schema: &'static str,
    refrigerant: &'static str,
    candidates: Vec<Value>,
    first_check: Vec<String>,
    settle: Vec<Value>,
    signs: Vec<Value>,
    doubts: Vec<String>,
    /// Codes that every instrument shows alike.
    not_told_apart: Vec<&'static str>,
    remarks: Vec<String>,
    at_rest: Option<String>,
    missing_g: Option<f64>,
    months: Option<f64>,
    volume_l: Option<f64>,
    cautions: Vec<String>,
    /// What is wrong with an invented appliance.
    truth: Option<String>,
}

fn rounded(value: f64, places: i32) -> f64 {
    let scale = 10_f64.powi(places);
    (value * scale).round() / scale
}

/// The answer as one JSON object on one line. New keys may be added; those that exist keep
/// their meaning. Absent knowledge is `null`.
#[must_use]
pub fn json(case: &Case) -> String {
    let found = diagnose(&case.signs);
    let candidates = found
        .candidates
        .iter()
        .map(|c| {
            json!({
                "code": c.code.word(),
                "support": rounded(c.support, 4),
                "for": c.evidence_for.iter().map(evidence).collect::<Vec<_>>(),
                "against": c.evidence_against.iter().map(evidence).collect::<Vec<_>>(),
            })
        })
        .collect();
    let signs = found
        .observations
        .iter()
        .map(|o| json!({"sign": o.sign.word(), "level": o.sign.levels()[o.level], "text": observed(o)}))
        .collect();
    let settle = (is_to_settle(&found) || case.missing_g.is_some()).then(|| {
        let settle = settle(case);
        let range = settle.needed.map(|needed| {
            json!({
                "low": rounded(needed.low_micron_per_min, 4),
                "high": rounded(needed.high_micron_per_min, 4),
            })
        });
        json!({
            "test": "evacuation",
            "needs_leak_micron_per_min": range,
            "hold_min": settle.hold_min,
            "text": settle.text,
        })
    });
    let wire = Wire {
        schema: "dryhold.fault/1",
        refrigerant: case.signs.refrigerant.designation(),
        candidates,
        first_check: found.first_check.iter().map(first_check).collect(),
        settle: settle.into_iter().collect(),
        signs,
        doubts: found.doubts.iter().map(doubt).collect(),
        not_told_apart: found.not_told_apart().iter().map(|c| c.word()).collect(),
        remarks: not_told_apart(&found)
            .into_iter()
            .chain(remarks(case, &found))
            .collect(),
        at_rest: rest_words(case),
        missing_g: case.missing_g,
        months: case.months.map(|m| rounded(m, 2)),
        volume_l: case.volume_l,
        cautions: cautions(case),
        truth: case.truth.clone(),
    };
    // plain data of numbers and text: there is nothing that cannot be written
    serde_json::to_string(&wire).unwrap_or_default()
}
