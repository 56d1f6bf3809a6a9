//! What to do next, and what can hurt.

use analyser::{Findings, Hold, Reason, RiseKind, Verdict};
use vacuum::{Job, Refrigerant};

use super::more_to_tell_s;
use crate::figures::duration;

/// What usually comes next, as advice.
#[must_use]
pub fn next_step(findings: &Findings) -> String {
    match findings.verdict {
        Verdict::Pass => after_pass(findings.judged_hold()),
        Verdict::Fail => after_fail(findings),
        Verdict::NotProven => after_not_proven(findings),
    }
}

fn after_pass(hold: Option<&Hold>) -> String {
    let kind = hold.map_or(RiseKind::Unclear, |h| h.rise.kind);
    let extra = match kind {
        RiseKind::None => "",
        RiseKind::Leak | RiseKind::LeakAndMoisture => {
            " The rise has a straight part all the same: a leak search before charging is worth \
             its time."
        }
        RiseKind::Moisture => {
            " Some moisture or another volatile still boils out: a longer evacuation leaves less \
             of it."
        }
        RiseKind::Unclear => " A longer hold would tell what the small rise comes from.",
    };
    format!(
        "the criteria are met; the charge can be weighed in if the maker's instructions and \
         local codes ask for nothing more.{extra}"
    )
}

fn after_fail(findings: &Findings) -> String {
    let has = |reason| findings.reasons.contains(&reason);
    // air from the pump tells nothing about the system
    if has(Reason::PumpOpenAtStop) {
        return ORDER_OF_WORK.to_owned();
    }
    if has(Reason::CeilingExceeded)
        && let Some(hold) = findings.judged_hold()
    {
        if hold.rise.kind != RiseKind::None && is_one_sided(findings) {
            return BOTH_SIDES.to_owned();
        }
        return by_cause(hold).to_owned() + &decide_clause(hold);
    }
    if has(Reason::TargetNotReached) {
        return "a blank-off check of pump and hoses tells whether they or the system hold the \
                pressure up; fresh pump oil, wider hoses and a look for leaks usually follow."
            .to_owned();
    }
    "the reasons above say what to put right before the next evacuation.".to_owned()
}

fn is_one_sided(findings: &Findings) -> bool {
    let mut codes = findings.findings.iter().map(|f| f.code);
    codes.any(|code| code == "one_side_evacuated")
}

const BOTH_SIDES: &str = "evacuate from both sides and hold again: until then the rise may be gas \
                          left behind the capillary tube, and no leak is shown.";

const ORDER_OF_WORK: &str = "evacuate again to the target; shut the pump-side valve first, then \
                             stop the pump, so that nothing flows back from the pump.";

/// What usually helps, by the cause of the rise.
fn by_cause(hold: &Hold) -> &'static str {
    match hold.rise.kind {
        RiseKind::Leak => {
            "a pressure test with dry nitrogen through a regulator, or an electronic leak search, \
             usually finds the leak; then evacuate and hold again."
        }
        RiseKind::Moisture => {
            "evacuate again and hold again; gentle heat, fresh pump oil and a new filter-drier \
             usually shorten it."
        }
        RiseKind::LeakAndMoisture => {
            "find the leak first (pressure test with dry nitrogen through a regulator, or an \
             electronic leak search), because it lets new moisture in; then evacuate, with gentle \
             heat, fresh pump oil and a new filter-drier."
        }
        RiseKind::None => {
            "the pressure stood still, but too high: evacuate again to the target before the \
             pump-side valve is shut."
        }
        RiseKind::Unclear => {
            "evacuate again and compare the holds: a rise from moisture gets weaker with every \
             evacuation, one from a leak does not."
        }
    }
}

fn decide_clause(hold: &Hold) -> String {
    more_to_tell_s(hold).map_or_else(String::new, |more| {
        let all = duration(hold.duration_s + more);
        format!(" A hold of {all} in all should tell them apart at once.")
    })
}

fn after_not_proven(findings: &Findings) -> String {
    let has = |reason| findings.reasons.contains(&reason);
    if has(Reason::NoReadings) {
        return "check the gauge, its cable and its settings, then record again.".to_owned();
    }
    if has(Reason::GaugeTooCoarse) {
        return "repeat the hold with an absolute vacuum gauge that resolves a few micron."
            .to_owned();
    }
    if has(Reason::PumpOpenAtStop) {
        return ORDER_OF_WORK.to_owned();
    }
    if has(Reason::NoIsolation) {
        return "mark the moment the pump-side valve is shut, or review again with the time of \
                isolation given."
            .to_owned();
    }
    if has(Reason::GapInHold) || has(Reason::GaugeFault) {
        return "see to the gauge and its cable, then repeat the hold: what was not measured \
                cannot be judged."
            .to_owned();
    }
    match findings.judged_hold() {
        Some(hold) => hold_on(findings, hold),
        None => "pull down to the target, shut the pump-side valve, stop the pump, and let the \
                 system hold."
            .to_owned(),
    }
}

/// How much longer to hold: for the criteria, and to tell the cause.
fn hold_on(findings: &Findings, hold: &Hold) -> String {
    let asked = findings.criteria.hold_min * 60.0;
    let wanted = hold.rise.decide_after_s.map_or(asked, |d| d.max(asked));
    let more = wanted - hold.duration_s;
    if more > 0.0 {
        format!(
            "keep holding {} more ({} in all); if the system has been opened since, evacuate and \
             hold again.",
            duration((more / 60.0).ceil() * 60.0),
            duration(wanted)
        )
    } else {
        "repeat the hold, longer, with the gauge on the system side.".to_owned()
    }
}

/// Cautions that hold for every evacuation.
///
/// Sources: nitrogen through a regulating valve, TM 5-4120-259-15 §96; a relief
/// on the regulator protects only the regulator, TM 5-3820-256-24-2 §4-2.4.1;
/// no oxygen near oil, CGA E-19; compressor not under vacuum, common practice
/// (winding flashover, from memory); valve before pump, TM 10-6640-215-13;
/// goggles and frostbite, TM 5-2420-230-24-1 p. 19-7; suffocation,
/// TM 5-4130-235-13.
pub const CAUTIONS: [&str; 5] = [
    "Never energise the compressor while the system is under vacuum.",
    "Dry nitrogen only through a regulator and with a relief downstream; never oxygen, never air.",
    "Recover refrigerant as the law asks before opening a system; do not vent it.",
    "Wear eye and hand protection: liquid refrigerant freezes skin and eyes.",
    "Ventilate: refrigerant and nitrogen displace the air one breathes.",
];

/// The cautions that this job calls for, the gravest first.
#[must_use]
pub fn cautions(job: Option<&Job>) -> Vec<String> {
    let mut out = Vec::new();
    let typed = job.and_then(|job| job.refrigerant.as_deref());
    match typed.and_then(Refrigerant::named) {
        Some(refrigerant) if refrigerant.is_flammable() => out.push(format!(
            "{} is flammable (safety group {}): no flame, no spark, no brazing while any may be \
             present; ventilate, and run the pump's exhaust outdoors.",
            refrigerant.designation, refrigerant.safety_group
        )),
        Some(_) => {}
        None => out.push(
            "Refrigerant not known here: treat it as flammable until the nameplate says otherwise."
                .to_owned(),
        ),
    }
    out.extend(CAUTIONS.iter().map(|text| (*text).to_owned()));
    out
}
