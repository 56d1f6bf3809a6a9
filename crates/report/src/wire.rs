//! The JSON form of findings, schema `dryhold.findings/1`.
//!
//! Structs of their own, apart from the in-memory types: renaming a field there
//! never changes a file. Absent knowledge is `null`; so is a number that is not
//! finite. Pressures and rates carry at most six significant digits, times
//! whole milliseconds.

mod beside;
mod blank_off;
mod charge;
mod decay;
mod further;
mod number;
mod rig;
mod rig_share;
mod weighed;

pub use blank_off::blank_off_json;
pub use charge::charge_json;
pub use decay::decay_json;
use findings::{DataSummary, Estimate, Findings, Hold, Pulldown, Rise, Round};
pub use rig::rig_json;
use rig_history::RigShare;
use serde::Serialize;
use vacuum::GaugePrinciple;
use wording::Voice;

pub use number::six_digits;
use number::{Number, Seconds};

const SCHEMA: &str = "dryhold.findings/1";

/// Which version of the program findings are from, as their `made_by` says: findings
/// of another version may say otherwise, and are to be made anew.
pub const FINDINGS_MADE_BY: &str = concat!("dryhold ", env!("CARGO_PKG_VERSION"));

#[derive(Serialize)]
struct FindingsWire<'a> {
    schema: &'static str,
    made_by: &'static str,
    source: &'a str,
    verdict: &'static str,
    headline: String,
    reasons: Vec<&'static str>,
    criteria: CriteriaWire<'a>,
    rounds: Vec<RoundWire>,
    /// The round that the verdict speaks of, from 1.
    judged_round: Option<usize>,
    findings: Vec<FindingWire>,
    data: DataWire<'a>,
    beside: Vec<beside::BesideWire<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rig: Option<rig_share::ShareWire>,
    #[serde(skip_serializing_if = "Option::is_none")]
    charge: Option<weighed::ChargeWire>,
}

#[derive(Serialize)]
struct CriteriaWire<'a> {
    target_micron: Number,
    hold_min: Number,
    ceiling_micron: Number,
    name: &'a str,
    source: &'a str,
    further: Vec<further::FurtherWire>,
}

#[derive(Serialize)]
struct RoundWire {
    pulldown: Option<PulldownWire>,
    hold: Option<HoldWire>,
}

#[derive(Serialize)]
struct PulldownWire {
    start_s: Seconds,
    end_s: Seconds,
    reached_target_s: Option<Seconds>,
    lowest_micron: Option<Number>,
    stalls: Vec<StallWire>,
}

#[derive(Serialize)]
struct StallWire {
    kind: &'static str,
    start_s: Seconds,
    end_s: Seconds,
    level_micron: Number,
    roughness: Number,
    boils_at_c: Option<Number>,
    slope_per_min: Number,
    ended_by: &'static str,
    ends_at_micron: Option<Number>,
}

#[derive(Serialize)]
struct HoldWire {
    isolated_at_s: Seconds,
    isolated_window_s: WindowWire,
    isolation: &'static str,
    settled_at_s: Seconds,
    end_s: Seconds,
    duration_s: Seconds,
    start_micron: Option<Number>,
    end_micron: Option<Number>,
    highest_micron: Option<Number>,
    rise: RiseWire,
    early: Option<EarlyWire>,
    leak: Option<LeakWire>,
    operating_loss: Option<LossWire>,
    detection_limit_g_per_year: Option<RangeWire>,
    could_show_3_g_per_year: Option<&'static str>,
    water_vapour_mg: Option<Number>,
    water_ppm_of_charge: Option<Number>,
}

/// The 95 % window of an instant.
#[derive(Serialize)]
struct WindowWire {
    low: Seconds,
    high: Seconds,
}

#[derive(Serialize)]
struct EarlyWire {
    passes_ceiling_after_s: Seconds,
    leak: bool,
    confidence: Number,
}

/// What the charged system may lose: ranges, no best values.
#[derive(Serialize)]
struct LossWire {
    g_per_year: RangeWire,
    years_to_lose_a_tenth: Option<RangeWire>,
    running_low_side_pa: Option<Number>,
}

#[derive(Serialize)]
struct RangeWire {
    low: Number,
    high: Number,
}

#[derive(Serialize)]
struct RiseWire {
    kind: &'static str,
    leak_micron_per_min: Option<EstimateWire>,
    plateau_micron: Option<EstimateWire>,
    tau_s: Option<EstimateWire>,
    detection_limit_micron_per_min: Option<Number>,
    decide_after_s: Option<Seconds>,
    confidence: Option<Number>,
    leak_probability: Option<Number>,
}

#[derive(Serialize)]
struct LeakWire {
    pa_m3_per_s: EstimateWire,
    g_per_year: Option<EstimateWire>,
}

#[derive(Serialize)]
struct EstimateWire {
    value: Number,
    low: Number,
    high: Number,
}

#[derive(Serialize)]
struct FindingWire {
    code: &'static str,
    at_s: Option<Seconds>,
    text: String,
}

#[derive(Serialize)]
struct DataWire<'a> {
    rows: u64,
    used: u64,
    rejected: u64,
    unit: Option<UnitWire>,
    gauge_principle: Option<&'static str>,
    gaps: Vec<GapWire>,
    interval_s: Option<Number>,
    resolution_micron: Option<Number>,
    noise_micron: Option<Number>,
    left_out: u64,
    rejected_rows: Vec<RejectedRowWire<'a>>,
    notes: &'a [String],
}

/// In which unit the readings came, and who says so.
#[derive(Serialize)]
struct UnitWire {
    symbol: &'static str,
    basis: &'static str,
}

/// A row of the file that gave no entry; the first ones are listed.
#[derive(Serialize)]
struct RejectedRowWire<'a> {
    row: u64,
    reason: &'a str,
}

#[derive(Serialize)]
struct GapWire {
    start_s: Seconds,
    end_s: Seconds,
}

/// The findings of one run as one line of JSON; `source` says which run.
///
/// ```
/// let runs = invented_runs::runs();
/// let line = report::findings_json(&runs[0].findings, "trace.csv");
/// let json: serde_json::Value = serde_json::from_str(&line)?;
/// assert_eq!((&json["schema"], &json["verdict"]), (&"dryhold.findings/1".into(), &"pass".into()));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn findings_json(findings: &Findings, source: &str) -> String {
    findings_json_with_rig(findings, source, None)
}

/// The same with what of the leak is the rig's own, where that is known.
#[must_use]
pub fn findings_json_with_rig(findings: &Findings, source: &str, rig: Option<&RigShare>) -> String {
    let english = Voice::default();
    let wire = FindingsWire {
        schema: SCHEMA,
        made_by: FINDINGS_MADE_BY,
        source,
        verdict: findings.verdict.word(),
        // English, as every text here
        headline: wording::headline(&english, findings),
        reasons: findings.reasons.iter().map(|r| r.word()).collect(),
        criteria: CriteriaWire {
            target_micron: Number(findings.criteria.target_micron),
            hold_min: Number(findings.criteria.hold_min),
            ceiling_micron: Number(findings.criteria.ceiling_micron),
            name: &findings.criteria.name,
            source: &findings.criteria.source,
            further: findings.further.iter().map(further::further).collect(),
        },
        rounds: findings.rounds.iter().map(round).collect(),
        judged_round: findings.judged.map(|place| place + 1),
        findings: findings
            .findings
            .iter()
            .map(|f| FindingWire {
                code: f.code(),
                at_s: f.at_s.map(Seconds),
                // English, whatever the sheet is in: programs read it too
                text: wording::finding_words(&english, f),
            })
            .collect(),
        data: data(&findings.data),
        beside: findings.auxiliary.iter().map(beside::beside).collect(),
        rig: rig.map(rig_share::share),
        charge: findings.charge.as_deref().map(weighed::charge),
    };
    // strings, numbers and lists cannot fail to serialise into memory
    serde_json::to_string(&wire).unwrap_or_else(|_| "null".to_owned())
}

fn round(round: &Round) -> RoundWire {
    RoundWire {
        pulldown: round.pulldown.as_ref().map(pulldown),
        hold: round.hold.as_ref().map(hold),
    }
}

fn pulldown(p: &Pulldown) -> PulldownWire {
    PulldownWire {
        start_s: Seconds(p.start_s),
        end_s: Seconds(p.end_s),
        reached_target_s: p.reached_target_s.map(Seconds),
        lowest_micron: p.lowest_micron.map(Number),
        stalls: p
            .stalls
            .iter()
            .map(|s| StallWire {
                kind: s.kind.word(),
                start_s: Seconds(s.start_s),
                end_s: Seconds(s.end_s),
                level_micron: Number(s.level_micron),
                roughness: Number(s.roughness),
                boils_at_c: s.boils_at_c.map(Number),
                slope_per_min: Number(s.slope_per_min),
                ended_by: s.ended_by.word(),
                ends_at_micron: s.ends_at_micron.map(Number),
            })
            .collect(),
    }
}

fn hold(h: &Hold) -> HoldWire {
    HoldWire {
        isolated_at_s: Seconds(h.isolated_at_s),
        isolated_window_s: WindowWire {
            low: Seconds(h.isolated_window_s.low_s),
            high: Seconds(h.isolated_window_s.high_s),
        },
        isolation: h.basis.word(),
        settled_at_s: Seconds(h.settled_at_s),
        end_s: Seconds(h.end_s),
        duration_s: Seconds(h.duration_s),
        start_micron: h.start_micron.map(Number),
        end_micron: h.end_micron.map(Number),
        highest_micron: h.highest_micron.map(Number),
        rise: rise(&h.rise),
        early: h.early_answer.map(|early| EarlyWire {
            passes_ceiling_after_s: Seconds(early.passes_ceiling_after_s),
            leak: early.leak,
            confidence: Number(early.confidence),
        }),
        leak: h.leak.as_ref().map(|leak| LeakWire {
            pa_m3_per_s: estimate(&leak.pa_m3_per_s),
            g_per_year: leak.g_per_year.as_ref().map(estimate),
        }),
        operating_loss: h.operating_loss.as_ref().map(|loss| LossWire {
            g_per_year: range(loss.g_per_year),
            years_to_lose_a_tenth: loss.years_to_lose_a_tenth.map(range),
            running_low_side_pa: loss.low_side_pa.map(Number),
        }),
        detection_limit_g_per_year: h.smallest_leak.map(|s| range(s.g_per_year)),
        could_show_3_g_per_year: h.smallest_leak.map(|s| s.sealed_system.word()),
        water_vapour_mg: h.water_vapour_mg.map(Number),
        water_ppm_of_charge: h.water_ppm_of_charge.map(Number),
    }
}

fn rise(r: &Rise) -> RiseWire {
    RiseWire {
        kind: r.kind.word(),
        leak_micron_per_min: r.leak_micron_per_min.as_ref().map(estimate),
        plateau_micron: r.plateau_micron.as_ref().map(estimate),
        tau_s: r.tau_s.as_ref().map(estimate),
        detection_limit_micron_per_min: r.detection_limit_micron_per_min.map(Number),
        decide_after_s: r.decide_after_s.map(Seconds),
        confidence: r.confidence.map(Number),
        leak_probability: r.leak_probability.map(Number),
    }
}

fn range((low, high): (f64, f64)) -> RangeWire {
    RangeWire {
        low: Number(low),
        high: Number(high),
    }
}

fn estimate(e: &Estimate) -> EstimateWire {
    EstimateWire {
        value: Number(e.value),
        low: Number(e.low),
        high: Number(e.high),
    }
}

fn data(d: &DataSummary) -> DataWire<'_> {
    DataWire {
        rows: d.rows,
        used: d.used,
        rejected: d.rejected,
        unit: d.unit.map(|u| UnitWire {
            symbol: u.unit.symbol(),
            basis: u.basis.word(),
        }),
        gauge_principle: d.gauge_principle.map(GaugePrinciple::word),
        gaps: d
            .gaps
            .iter()
            .map(|g| GapWire {
                start_s: Seconds(g.start_s),
                end_s: Seconds(g.end_s),
            })
            .collect(),
        interval_s: d.interval_s.map(Number),
        resolution_micron: d.resolution_micron.map(Number),
        noise_micron: d.noise_micron.map(Number),
        left_out: d.left_out.rows,
        rejected_rows: (d.left_out.listed.iter())
            .map(|(row, reason)| RejectedRowWire { row: *row, reason })
            .collect(),
        notes: &d.notes,
    }
}

#[cfg(test)]
mod tests;
