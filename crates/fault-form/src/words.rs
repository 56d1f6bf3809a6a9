//! What is said of a case, line by line.

use fault::{
    AtRest, Candidate, Diagnosis, Doubt, Evidence, FaultCode, FirstCheck, Observation, Sign,
    at_rest, diagnose,
};
use wording::{Inside, RiskyAct, Voice};

use crate::{
    case::Case,
    settle::{LOSSES, settle, two},
};

/// Least support of a candidate that is shown with what speaks for and against it.
const SHOWN: f64 = 0.05;
/// Most signs shown for a candidate, and most against it.
const MOST_SIGNS: usize = 6;

/// A fault in words.
pub(crate) const fn name(code: FaultCode) -> &'static str {
    match code {
        FaultCode::LowSideLeak => "leak in the low side",
        FaultCode::HighSideLeak => "leak in the high side",
        FaultCode::ShortCharge => "short charge",
        FaultCode::PartialRestriction => "partial restriction",
        FaultCode::TotalRestriction => "total restriction",
        FaultCode::WeakCompressor => "weak compressor",
        FaultCode::Overcharge => "overcharge",
        FaultCode::AirInSystem => "air in the system",
        FaultCode::OutsideSealedSystem => "nothing wrong with the sealed system",
    }
}

const fn sign_name(sign: Sign) -> &'static str {
    match sign {
        Sign::Evaporating => "suction pressure",
        Sign::Condensing => "discharge pressure",
        Sign::Subcooling => "liquid out of the condenser",
        Sign::Draw => "electrical draw",
        Sign::HotGas => "pipe into the condenser",
        Sign::Cabinet => "cabinet",
        Sign::Runs => "running time",
        Sign::Frost => "frost on the evaporator",
        Sign::SuctionLine => "suction line",
        Sign::Sound => "sound at the end of the capillary tube",
        Sign::Meet => "both pressures meet after it stops",
        Sign::Standing => "cools again for a while after standing",
        Sign::Rest => "pressure at rest",
        Sign::Charge => "charge found",
        Sign::Onset => "the trouble came",
        Sign::Opened => "the sealed system was opened before",
        Sign::Trace => "trace of a leak",
        Sign::Starts => "the compressor starts",
        Sign::Supply => "supply, plug and controls",
        Sign::Condenser => "condenser and its air",
        Sign::Fans => "fans",
        Sign::EvaporatorAir => "evaporator, vents and defrost",
        Sign::Door => "doors, gaskets and light",
    }
}

/// One sign in words: what was measured, what is usual, what that means.
pub(crate) fn observed(seen: &Observation) -> String {
    let level = seen.sign.levels()[seen.level];
    let name = sign_name(seen.sign);
    let figures = match (seen.sign, seen.measured, seen.usual) {
        (Sign::Evaporating, Some(c), Some(usual)) => {
            format!("evaporates at {c:.0} °C, {usual:.0} °C is usual here")
        }
        (Sign::Condensing, Some(c), Some(usual)) => {
            format!("condenses at {c:.0} °C, {usual:.0} °C is usual in this room")
        }
        (Sign::Subcooling, Some(c), Some(condensing)) => {
            format!("{c:.0} °C, condenses at {condensing:.0} °C")
        }
        (Sign::Draw, Some(share), Some(usual)) => {
            format!("{share:.2} of the figure it is compared with, {usual:.2} is usual here")
        }
        (Sign::HotGas, Some(above), _) => format!("{above:.0} K above the room"),
        (Sign::Cabinet, Some(c), Some(set)) => format!("{c:.0} °C, {set:.0} °C wanted"),
        (Sign::Rest, Some(pa), Some(saturation)) => format!(
            "{:.0} kPa absolute, saturation is {:.0} kPa",
            pa / 1e3,
            saturation / 1e3
        ),
        (Sign::Charge, Some(found), Some(nameplate)) => {
            format!("{} g, {} g on the nameplate", two(found), two(nameplate))
        }
        _ => return format!("{name}: {level}"),
    };
    format!("{name}: {figures}: {level}")
}

/// What one sign says of one fault.
pub(crate) fn evidence(evidence: &Evidence) -> String {
    let times = match evidence.times {
        t if t >= 10.0 => "more than 10 times".into(),
        t if t >= 0.1 => format!("{t:.1} times"),
        _ => "less than a tenth".into(),
    };
    format!(
        "{} ({times} as likely as with other faults; {})",
        observed(&evidence.observation),
        evidence.source.words()
    )
}

pub(crate) fn first_check(check: &FirstCheck) -> String {
    let name = sign_name(check.sign);
    match (check.sign, check.found_bad) {
        (Sign::Starts, _) => "the compressor does not start: check supply, controls, starter and \
                              overload before the sealed system"
            .into(),
        (_, true) => format!("{name}: found not in order, put it right first"),
        (_, false) => format!("{name}: nobody looked"),
    }
}

pub(crate) fn doubt(doubt: &Doubt) -> String {
    match doubt {
        Doubt::TooFew { of_the_system } => format!(
            "Too few signs: {of_the_system} of the sealed system, {} at least. Measure before \
             you decide.",
            fault::LEAST_SIGNS
        ),
        Doubt::Contradictory { worst } => format!(
            "The signs contradict each other: no single fault explains them all. Look again at: {}. \
             Else there are two faults.",
            sign_name(*worst)
        ),
        Doubt::CloseCall => "The first two are close: another sign may turn them round.".into(),
    }
}

/// What is alike on every instrument, in words; `None` where nothing is.
pub(crate) fn not_told_apart(found: &Diagnosis) -> Option<String> {
    let names: Vec<&str> = found.not_told_apart().into_iter().map(name).collect();
    let why = match found.low_side_draws_air {
        true => "",
        false => {
            " The low side runs above the air outside: a leak there loses refrigerant as one \
                  in the high side does."
        }
    };
    (!names.is_empty()).then(|| {
        format!(
            "Alike on gauges, clamps and frost: {}. Only a trace of the leak or a hold tells them \
             apart.{why}",
            names.join(", ")
        )
    })
}

/// Remarks on what is likely.
pub(crate) fn remarks(case: &Case, found: &Diagnosis) -> Vec<String> {
    let likely = |code| found.of(code).is_some_and(|c| c.support >= 0.2);
    let mut remarks = Vec::new();
    if likely(FaultCode::PartialRestriction) || likely(FaultCode::TotalRestriction) {
        remarks.push(
            match case.signs.better_after_standing {
                Some(true) => {
                    "It cools again after standing: ice in the capillary tube, so moisture, rather \
                     than debris. Evacuate long and change the drier."
                }
                Some(false) => {
                    "It does not cool after standing: debris, oil or a kink rather than ice."
                }
                None => {
                    "Let it stand warm for some hours: if it then cools for a while, it is ice \
                     (moisture); if not, debris."
                }
            }
            .into(),
        );
    }
    if likely(FaultCode::AirInSystem) {
        remarks.push(
            "While it runs, air raises head pressure and electrical draw; at rest the pressure \
             stands above saturation. The opposite is sometimes taught and is wrong."
                .into(),
        );
    }
    if likely(FaultCode::OutsideSealedSystem) {
        remarks.push("Do not open the sealed system before the checks above are done.".into());
    }
    remarks
}

/// What the pressure at rest says.
pub(crate) fn rest_words(case: &Case) -> Option<String> {
    let rest = case.signs.rest?;
    let name = case.signs.refrigerant.designation();
    let Some(found) = at_rest(case.signs.refrigerant, rest) else {
        return Some(format!(
            "The saturation of {name} is not known at {:.0} °C.",
            rest.c
        ));
    };
    let kpa = |pa: f64| format!("{:.0} kPa", pa / 1e3);
    let figures = format!(
        "{} at {:.0} °C, where {name} saturates at {} (gauge and thermometer may be {} off)",
        kpa(rest.pa),
        rest.c,
        kpa(found.saturation_pa),
        kpa(found.may_be_off_pa)
    );
    let instead = match found.as_if.is_empty() {
        true => String::new(),
        false => format!(" {} would stand there.", found.as_if.join(" or ")),
    };
    Some(match found.state {
        AtRest::Saturated => format!(
            "{figures}: agrees with this refrigerant, some of it liquid. Little air beside little \
             liquid could hide in it."
        ),
        AtRest::Below => {
            format!("{figures}: below it. No liquid is left, or it is another gas.{instead}")
        }
        AtRest::ALittleAbove => format!(
            "{figures}: a little above it. Perhaps air; repeat it when every part has the same \
             temperature.{instead}"
        ),
        AtRest::Above => format!(
            "{figures}: {} above it. Air or another gas that does not condense is in it, or it is \
             another refrigerant.{instead}",
            kpa(found.above_pa)
        ),
    })
}

/// The cautions before anything is opened.
pub(crate) fn cautions(case: &Case) -> Vec<String> {
    let name = case.signs.refrigerant.designation();
    let acts = [RiskyAct::Start, RiskyAct::OpenSystem];
    wording::cautions_at(&Voice::default(), Inside::typed(Some(name)), &acts)
}

fn candidate_lines(candidate: &Candidate, lines: &mut Vec<String>) {
    lines.push(format!(
        "  {:>3.0} of 100  {}",
        100.0 * candidate.support,
        name(candidate.code)
    ));
    if candidate.support < SHOWN {
        return;
    }
    let all = [
        ("for", &candidate.evidence_for),
        ("against", &candidate.evidence_against),
    ];
    for (word, signs) in all {
        for sign in signs.iter().take(MOST_SIGNS) {
            let times = if sign.times >= 10.0 {
                "over 10×".into()
            } else {
                format!("{:.1}×", sign.times)
            };
            lines.push(format!(
                "      {word:<7} {times:>8}  {}",
                observed(&sign.observation)
            ));
        }
    }
}

/// Everything that is said of a case.
#[must_use]
pub fn lines(case: &Case) -> Vec<String> {
    let found = diagnose(&case.signs);
    let mut lines = Vec::new();
    if let Some(about) = &case.about {
        lines.push(about.clone());
    }
    lines.push("First, outside the sealed system:".into());
    let checks = found.first_check.iter().map(first_check);
    lines.extend(checks.map(|check| format!("  {check}")));
    if found.first_check.is_empty() {
        lines.push("  all of it was found in order".into());
    }
    lines.push(String::new());
    lines.push(
        "What it may be (support of 100; × is how many times as likely the sign is as with other \
         faults):"
            .into(),
    );
    for candidate in found.candidates.iter().filter(|c| c.support >= 0.01) {
        candidate_lines(candidate, &mut lines);
    }
    let said: Vec<String> = not_told_apart(&found)
        .into_iter()
        .chain(found.doubts.iter().map(doubt))
        .chain(remarks(case, &found))
        .collect();
    if !said.is_empty() {
        lines.push(String::new());
        lines.extend(said);
    }
    if let Some(rest) = rest_words(case) {
        lines.extend([String::new(), "At rest:".into(), format!("  {rest}")]);
    }
    if is_to_settle(&found) || case.missing_g.is_some() {
        let text = settle(case).text;
        lines.extend([String::new(), "To settle it:".into(), format!("  {text}")]);
    }
    lines.extend([String::new(), "Before anything is opened:".into()]);
    lines.extend(cautions(case).into_iter().map(|c| format!("  {c}")));
    lines.push(
        "The figures of single signs are common practice without a published source, weighed on \
         simulated appliances. Licensed practice and local codes decide."
            .into(),
    );
    if let Some(truth) = &case.truth {
        lines.extend([
            String::new(),
            format!("An invented appliance. What is wrong with it: {truth}."),
        ]);
    }
    lines
}

/// Whether a loss of refrigerant is likely enough for a hold to be worth planning.
pub(crate) fn is_to_settle(found: &Diagnosis) -> bool {
    let support = LOSSES.iter().filter_map(|code| found.of(*code));
    support.map(|c| c.support).sum::<f64>() >= 0.1
}
