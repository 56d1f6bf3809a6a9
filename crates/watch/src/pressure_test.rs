//! What any view shows of a pressure test: pressure in bar or psi, the hold, the order of
//! work.
//!
//! The order of work and its cautions are advice; local codes, the maker's instructions and
//! licensed practice decide. Bubbles at a low pressure before the full one: UFGS, as quoted
//! in `pressure-decay/METHOD.md`; the gas let out above 0 gauge: common practice, no source.

use findings::{DecayLive, DecayPhase, DecayReason, Verdict};
use vacuum::{MarkKind, Pressure, PressureUnit};
use wording::{Inside, RiskyAct, Voice, cautions_at, gravest_at, say};

use crate::{
    axis::AxisNow,
    judged::{HoldNow, HoldState, JudgedNow, PhaseNow},
    marks::MarkNow,
    order::{Order, Step, StepState, Warning},
};

/// So long a hold has to be before it is told that the supply seems open, s.
const LONG_ENOUGH_S: f64 = 900.0;

/// The unit that a pressure test is shown in: that of the sheet where it is one for
/// pressures above the air, else bar.
pub(crate) fn unit(voice: &Voice) -> PressureUnit {
    match voice.unit {
        unit @ (PressureUnit::Kilopascal | PressureUnit::Megapascal | PressureUnit::Psi) => unit,
        _ => PressureUnit::Bar,
    }
}

/// The number without its unit.
pub(crate) fn number(voice: &Voice, pressure: Pressure) -> String {
    let unit = unit(voice);
    voice.decimals(pressure.get(unit), decimals(unit))
}

/// The number with its unit.
pub(crate) fn words(voice: &Voice, pressure: Pressure) -> String {
    format!("{} {}", number(voice, pressure), unit(voice).symbol())
}

/// Digits behind the point, so that a step is about a thousandth of a bar.
const fn decimals(unit: PressureUnit) -> usize {
    match unit {
        PressureUnit::Kilopascal => 1,
        PressureUnit::Psi => 2,
        PressureUnit::Megapascal => 4,
        _ => 3,
    }
}

/// How the curve of a pressure test is drawn.
pub(crate) fn axis(voice: &Voice) -> AxisNow {
    let one = Pressure::new(1.0, unit(voice));
    AxisNow {
        linear: true,
        micron_per_unit: one.map_or(1.0, Pressure::micron),
    }
}

/// Where the pressure goes, in words; empty where it is not known.
pub(crate) fn trend_words(voice: &Voice, live: &DecayLive) -> String {
    let unit = unit(voice);
    let per = |pa: f64| Pressure::from_pa(pa.abs()).map_or(0.0, |p| p.get(unit));
    let Some(trend_pa) = live.trend_pa_per_min else {
        return String::new();
    };
    let step = 10_f64.powi(-i32::try_from(decimals(unit)).unwrap_or(3));
    if per(trend_pa) < step {
        return say!(voice, "trend-steady");
    }
    let rate = voice.significant(per(trend_pa), 2);
    match trend_pa > 0.0 {
        true => say!(voice, "trend-rising", rate = rate),
        false => say!(voice, "trend-falling", rate = rate),
    }
}

/// Where the test stands, in words.
pub(crate) fn phase_words(voice: &Voice, phase: PhaseNow) -> String {
    let phase = match phase {
        PhaseNow::Hold => DecayPhase::Hold,
        PhaseNow::Vented => DecayPhase::Vented,
        PhaseNow::UnderSupply => DecayPhase::UnderSupply,
        _ => DecayPhase::Waiting,
    };
    wording::decay_phase_words(voice, phase)
}

/// What a look at the test says.
pub(crate) fn judged(voice: &Voice, live: &DecayLive) -> JudgedNow {
    JudgedNow {
        phase: match live.phase {
            DecayPhase::Waiting => PhaseNow::Waiting,
            DecayPhase::UnderSupply => PhaseNow::UnderSupply,
            DecayPhase::Hold => PhaseNow::Hold,
            DecayPhase::Vented => PhaseNow::Vented,
        },
        hold: hold(voice, live).filter(|_| live.phase == DecayPhase::Hold),
        rounds: 1,
        ..JudgedNow::default()
    }
}

fn hold(voice: &Voice, live: &DecayLive) -> Option<HoldNow> {
    let (since_s, held_s) = live.shut?;
    let found = &live.findings;
    let least_s = 60.0 * found.criteria.hold_min;
    let left_s = live.left_s.unwrap_or(0.0);
    let state = match found.verdict {
        Verdict::Fail => HoldState::Failed,
        _ if left_s > 0.0 => HoldState::Running,
        Verdict::Pass => HoldState::Passed,
        Verdict::NotProven => HoldState::NotProven,
    };
    let clock = match state {
        HoldState::Running => say!(voice, "left", time = voice.to_go(left_s)),
        _ => say!(voice, "long-enough"),
    };
    Some(HoldNow {
        since_s,
        stamped: true,
        held_s,
        needed_s: least_s.max(held_s + left_s),
        left_s,
        state,
        rise: "none",
        answer: wording::decay_answer(voice, found),
        clock,
        ..HoldNow::default()
    })
}

/// What is known of the work.
pub(crate) struct Facts<'a> {
    pub(crate) voice: Voice,
    pub(crate) judged: &'a JudgedNow,
    pub(crate) live: Option<&'a DecayLive>,
    pub(crate) marks: &'a [MarkNow],
    pub(crate) inside: Inside,
}

/// Where the work stands now.
pub(crate) fn order(facts: &Facts<'_>) -> Order {
    let voice = &facts.voice;
    let hold = facts.judged.hold.as_ref();
    let advice = match (facts.judged.phase, hold.map(|h| h.state)) {
        (PhaseNow::Vented, _) => "decay-advice-vented",
        (PhaseNow::Hold, Some(HoldState::Passed | HoldState::PassedWithLeak)) => {
            "decay-advice-passed"
        }
        (PhaseNow::Hold, Some(HoldState::Failed | HoldState::WillNotPass)) => "decay-advice-failed",
        (PhaseNow::Hold, Some(HoldState::NotProven)) => "decay-advice-not-proven",
        (PhaseNow::Hold, _) => "decay-advice-hold",
        (PhaseNow::UnderSupply, _) => "decay-advice-supply",
        _ => "decay-advice-waiting",
    };
    let acts = [RiskyAct::PressureTest];
    Order {
        advice: say!(voice, advice),
        steps: steps(facts),
        cautions: cautions_at(voice, facts.inside, &acts),
        gravest: gravest_at(voice, facts.inside, &acts).unwrap_or_default(),
        warnings: warnings(facts),
    }
}

fn steps(facts: &Facts<'_>) -> Vec<Step> {
    let phase = facts.judged.phase;
    let stamped = |kind| facts.marks.iter().any(|mark| mark.kind == kind);
    let over = facts
        .judged
        .hold
        .as_ref()
        .is_some_and(|h| h.left_s <= 0.0 || h.state == HoldState::Failed);
    let vented = phase == PhaseNow::Vented;
    let shut = vented || phase == PhaseNow::Hold;
    let filled = shut || stamped(MarkKind::Pressurised);
    let all = [
        (
            Some('f'),
            "decay-step-pressurise",
            shut || stamped(MarkKind::Pressurised),
        ),
        (None, "decay-step-bubbles", shut),
        (Some('e'), "decay-step-shut", shut),
        (None, "decay-step-wait", vented || over),
        (Some('v'), "decay-step-vent", vented),
    ];
    // the acts before the supply is shut go together
    let next = match (filled, shut, over, vented) {
        (_, _, _, true) => None,
        (_, true, true, _) => Some("decay-step-vent"),
        (_, true, false, _) => Some("decay-step-wait"),
        (true, ..) => Some("decay-step-shut"),
        _ => Some("decay-step-pressurise"),
    };
    all.into_iter()
        .map(|(key, id, done)| Step {
            key,
            text: say!(facts.voice, id),
            state: match (done, next == Some(id)) {
                (true, _) => StepState::Done,
                (false, true) => StepState::Next,
                (false, false) => StepState::Later,
            },
        })
        .collect()
}

fn warnings(facts: &Facts<'_>) -> Vec<Warning> {
    let Some(live) = facts.live else {
        return Vec::new();
    };
    let voice = &facts.voice;
    let mut all = Vec::new();
    let highest_pa = live.findings.criteria.highest_bar_abs.map(|bar| bar * 1e5);
    if live
        .pressure_pa
        .zip(highest_pa)
        .is_some_and(|(now, most)| now > most)
    {
        all.push(Warning {
            code: "pressure_too_high",
            text: say!(voice, "decay-warn-high"),
            told: false,
        });
    }
    let open = live.findings.reasons.contains(&DecayReason::SupplyOpen);
    let held_s = facts.judged.hold.as_ref().map_or(0.0, |h| h.held_s);
    // a short hold can look like an open supply
    if open && held_s > LONG_ENOUGH_S {
        all.push(Warning {
            code: "supply_open",
            text: say!(voice, "decay-warn-supply"),
            told: false,
        });
    }
    all
}
