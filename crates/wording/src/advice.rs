//! What to do next.

use findings::{Certainty, Findings, Hold, PassWorth, Reason, RiseKind, Verdict};

use super::{
    cautions::RiskyAct, clause::sentence, further::required, judged::is_one_sided, pass,
    rise::more_to_tell_s,
};
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
    let of_system = [
        Reason::CeilingExceeded,
        Reason::RoseTooMuch,
        Reason::NotSteady,
    ];
    if of_system.into_iter().any(has)
        && let Some(hold) = findings.judged_hold()
    {
        if hold.rise.kind != RiseKind::None && is_one_sided(findings) {
            return say!(voice, "next-both-sides");
        }
        let cause = by_cause(voice, hold);
        return match more_to_tell_s(hold) {
            None => cause,
            Some(more) => {
                let all = voice.to_go(hold.duration_s + more);
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
    if let Some(besides) = besides(voice, findings) {
        return besides;
    }
    match findings.judged_hold() {
        Some(hold) if hold.early_answer.is_some() => will_not_pass(voice, findings, hold),
        Some(hold) => hold_on(voice, findings, hold),
        None => say!(voice, "next-hold"),
    }
}

/// What helps where something that the criteria ask for besides is not met: to do it, or,
/// where only the job does not say it, to say it.
fn besides(voice: &Voice, findings: &Findings) -> Option<String> {
    let unmet = findings.further.iter().filter(|c| c.is_met() != Some(true));
    let (untold, undone): (Vec<_>, Vec<_>) = unmet.partition(|c| {
        matches!(c.reason(), Reason::SidesNotShown | Reason::AmbientNotShown)
            && c.is_met().is_none()
    });
    let (id, all) = match (undone.is_empty(), untold.is_empty()) {
        (true, true) => return None,
        (true, false) => ("next-tell", untold),
        (false, _) => ("next-besides", undone),
    };
    Some(say!(voice, id, required = required(voice, all)))
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
            more = voice.to_go(more),
            all = voice.to_go(hold.duration_s + more)
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
            more = voice.to_go(more),
            all = voice.duration(wanted)
        )
    } else {
        say!(voice, "next-repeat-longer")
    }
}

/// The acts that what comes next brings with it.
#[must_use]
pub fn next_acts(findings: &Findings) -> Vec<RiskyAct> {
    if findings.verdict == Verdict::Pass {
        return match findings.pass() {
            Some(PassWorth::WithLeak(_)) => vec![RiskyAct::PressureTest],
            _ => vec![RiskyAct::Charge, RiskyAct::PinchOff],
        };
    }
    if findings.reasons.contains(&Reason::IcePossible) {
        return vec![RiskyAct::PullDown, RiskyAct::Heat];
    }
    let hold = findings.judged_hold();
    let rises = findings.reasons.contains(&Reason::CeilingExceeded)
        || hold.is_some_and(|h| h.early_answer.is_some());
    match hold.filter(|_| rises).map(|h| h.rise.kind) {
        // the leak first
        Some(RiseKind::Leak | RiseKind::LeakAndMoisture) => vec![RiskyAct::PressureTest],
        Some(RiseKind::Moisture) => vec![RiskyAct::PullDown, RiskyAct::Heat],
        _ => vec![RiskyAct::PullDown],
    }
}
