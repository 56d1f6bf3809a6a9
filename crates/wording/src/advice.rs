//! What to do next, and what can hurt.

use findings::{Certainty, Findings, Hold, Reason, RiseKind, Verdict};
use vacuum::{Job, Refrigerant};

use super::{clause::sentence, judged::is_one_sided, pass, rise::more_to_tell_s};
use crate::{Voice, say};

/// What usually comes next, as advice.
#[must_use]
pub fn next_step(voice: &Voice, findings: &Findings) -> String {
    match findings.verdict {
        Verdict::Pass => pass::next_step(voice, findings),
        Verdict::Fail => after_fail(voice, findings),
        Verdict::NotProven => after_not_proven(voice, findings),
    }
}

fn after_fail(voice: &Voice, findings: &Findings) -> String {
    let has = |reason| findings.reasons.contains(&reason);
    // air from the pump tells nothing about the system
    if has(Reason::PumpOpenAtStop) {
        return say!(voice, "next-order-of-work");
    }
    // a level above the ceiling may be that of ice as well
    if has(Reason::IcePossible) {
        return say!(voice, "next-ice");
    }
    if has(Reason::CeilingExceeded)
        && let Some(hold) = findings.judged_hold()
    {
        if hold.rise.kind != RiseKind::None && is_one_sided(findings) {
            return say!(voice, "next-both-sides");
        }
        let cause = by_cause(voice, hold);
        return match more_to_tell_s(hold) {
            None => cause,
            Some(more) => {
                let all = voice.duration(hold.duration_s + more);
                format!("{cause} {}", say!(voice, "next-decide", all = all))
            }
        };
    }
    if has(Reason::TargetNotReached) {
        return say!(voice, "next-target");
    }
    say!(voice, "next-reasons")
}

/// What usually helps, by the cause of the rise; where that is a tendency only, it is
/// said so.
fn by_cause(voice: &Voice, hold: &Hold) -> String {
    let id = match hold.rise.kind {
        RiseKind::Leak => "next-leak",
        RiseKind::Moisture => "next-moisture",
        RiseKind::LeakAndMoisture => "next-leak-and-moisture",
        RiseKind::None => "next-too-high",
        RiseKind::Unclear => "next-unclear",
    };
    let helps = say!(voice, id);
    match hold.rise.certainty() {
        Certainty::Tendency if hold.rise.kind != RiseKind::None => {
            say!(voice, "next-as-it-looks", helps = helps)
        }
        _ => helps,
    }
}

fn after_not_proven(voice: &Voice, findings: &Findings) -> String {
    let has = |reason| findings.reasons.contains(&reason);
    if has(Reason::NoReadings) {
        return say!(voice, "next-check-gauge");
    }
    // as long as the unit is in doubt, so is everything else
    if has(Reason::UnitDoubtful) {
        return say!(voice, "next-unit");
    }
    if has(Reason::GaugeTooCoarse) {
        return say!(voice, "next-finer-gauge");
    }
    if has(Reason::PumpOpenAtStop) {
        return say!(voice, "next-order-of-work");
    }
    if has(Reason::GaugeShutOff) {
        return say!(voice, "next-gauge-open");
    }
    if has(Reason::NoIsolation) {
        return say!(voice, "next-mark");
    }
    if has(Reason::GapInHold) || has(Reason::GaugeFault) {
        return say!(voice, "next-see-to-gauge");
    }
    if has(Reason::IcePossible) {
        return say!(voice, "next-ice");
    }
    match findings.judged_hold() {
        Some(hold) if hold.early_answer.is_some() => will_not_pass(voice, findings, hold),
        Some(hold) => hold_on(voice, findings, hold),
        None => say!(voice, "next-hold"),
    }
}

/// A hold of which it is sure that it will not pass: what helps against the cause,
/// and more hold for nothing but to learn it.
fn will_not_pass(voice: &Voice, findings: &Findings, hold: &Hold) -> String {
    let cause = if is_one_sided(findings) {
        say!(voice, "next-both-sides")
    } else {
        by_cause(voice, hold)
    };
    let mut sentences = vec![say!(voice, "next-will-not-pass"), sentence(&cause)];
    sentences.extend(more_to_tell_s(hold).map(|more| {
        say!(
            voice,
            "next-learn-cause",
            more = voice.duration((more / 60.0).ceil() * 60.0),
            all = voice.duration(hold.duration_s + more)
        )
    }));
    sentences.join(" ")
}

/// How much longer to hold: for the criteria, and to tell the cause.
fn hold_on(voice: &Voice, findings: &Findings, hold: &Hold) -> String {
    let asked = findings.criteria.hold_min * 60.0;
    let wanted = hold.rise.decide_after_s.map_or(asked, |d| d.max(asked));
    let more = wanted - hold.duration_s;
    if more > 0.0 {
        say!(
            voice,
            "next-hold-on",
            more = voice.duration((more / 60.0).ceil() * 60.0),
            all = voice.duration(wanted)
        )
    } else {
        say!(voice, "next-repeat-longer")
    }
}

/// Cautions that hold for every evacuation, as messages.
///
/// Sources: nitrogen through a regulating valve, TM 5-4120-259-15 §96; a relief
/// on the regulator protects only the regulator, TM 5-3820-256-24-2 §4-2.4.1;
/// no oxygen near oil, CGA E-19; compressor not under vacuum, common practice
/// (winding flashover, from memory); valve before pump, TM 10-6640-215-13;
/// goggles and frostbite, TM 5-2420-230-24-1 p. 19-7; suffocation,
/// TM 5-4130-235-13.
pub(super) const CAUTIONS: [&str; 5] = [
    "caution-compressor",
    "caution-nitrogen",
    "caution-recover",
    "caution-protection",
    "caution-ventilate",
];

/// Standing pressure above which a vacuum gauge and hoses for common refrigerants
/// are in danger, Pa; common practice, no source.
const HIGH_STANDING_PA: f64 = 2e6;

/// The cautions that this job calls for, the gravest first.
#[must_use]
pub fn cautions(voice: &Voice, job: Option<&Job>) -> Vec<String> {
    let typed = job.and_then(|job| job.refrigerant.as_deref());
    let own = typed.and_then(Refrigerant::named).map_or_else(
        || vec![say!(voice, "caution-not-known")],
        |refrigerant| refrigerant_cautions(voice, refrigerant),
    );
    let always = CAUTIONS.into_iter().map(|id| say!(voice, id));
    own.into_iter().chain(always).collect()
}

/// What one refrigerant calls for: it burns, is toxic, stands under high pressure.
#[must_use]
pub fn refrigerant_cautions(voice: &Voice, refrigerant: &Refrigerant) -> Vec<String> {
    let name = refrigerant.designation;
    let group = refrigerant.safety_group;
    let flammable = refrigerant.is_flammable().then(|| {
        say!(
            voice,
            "caution-flammable",
            refrigerant = name,
            group = group
        )
    });
    let toxic = refrigerant
        .is_toxic()
        .then(|| say!(voice, "caution-toxic", refrigerant = name, group = group));
    let standing = refrigerant.at_20_c.map(|vapour| vapour.saturation_pa);
    let pressure = standing.filter(|pa| *pa > HIGH_STANDING_PA).map(|pa| {
        let bar = voice.decimals(pa / 1e5, 0);
        say!(voice, "caution-pressure", refrigerant = name, bar = bar)
    });
    [flammable, toxic, pressure].into_iter().flatten().collect()
}
