//! The order of work: what usually comes next, what is done, and what seems to have
//! been done the wrong way round.
//!
//! A pure function of what is known now: the marks that count, the phase, the hold.
//! A mark that is taken back is simply no longer there. Everything it says is advice;
//! local codes, the maker's instructions and licensed practice decide.
//!
//! Sources: valve before pump, TM 10-6640-215-13; nitrogen through a regulating valve,
//! TM 5-4120-259-15 §96, and with a relief downstream, TM 5-3820-256-24-2 §4-2.4.1;
//! never oxygen near oil, CGA E-19; compressor not under vacuum, common practice (from
//! memory: winding flashover); break to slightly above atmosphere, common practice, no
//! source.

use serde::Serialize;
use vacuum::{MarkKind, Refrigerant};
use wording::Voice;

use crate::{
    judged::{HoldState, JudgedNow, PhaseNow},
    jump::Jump,
    marks::MarkNow,
};

/// What is known.
#[derive(Debug, Clone, Copy)]
pub struct Facts<'a> {
    /// What is judged.
    pub judged: &'a JudgedNow,
    /// The marks that count, in order.
    pub marks: &'a [MarkNow],
    /// The newest pressure, micron.
    pub pressure_micron: Option<f64>,
    /// A jump that no mark explains.
    pub jump: Option<Jump>,
    /// Said of the refrigerant where it burns, or may.
    pub flammable: Option<&'a str>,
    /// Whether the gauge stays open to the system when the manifold valves are shut.
    pub gauge_open_to_system: Option<bool>,
}

/// Where the work stands.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Order {
    /// What usually comes next, one sentence.
    pub advice: String,
    /// The acts in order, or those to choose from.
    pub steps: Vec<Step>,
    /// Cautions that belong to what comes next, the gravest first.
    pub cautions: Vec<String>,
    /// What seems to have been done the wrong way round.
    pub warnings: Vec<Warning>,
}

/// One act.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// The key that stamps it.
    pub key: Option<char>,
    /// What it is.
    pub text: &'static str,
    /// Whether it is done.
    pub state: StepState,
}

/// Whether an act is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StepState {
    /// Stamped.
    Done,
    /// Usually next.
    Next,
    /// Later.
    Later,
    /// One of several that may help or follow.
    Choice,
}

/// Something seems to be wrong.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Warning {
    /// Stable code.
    pub code: &'static str,
    /// What, and what usually helps: whole sentences.
    pub text: String,
}

const SHUT: (char, &str) = ('s', "shut the pump-side valve");
const STOP: (char, &str) = ('p', "stop the pump");
const MANIFOLD: (char, &str) = ('m', "shut the manifold valves");
/// The same where nobody said that the gauge stays open to the system.
const MANIFOLD_IF_OPEN: (char, &str) = (
    'm',
    "shut the manifold valves, if the gauge stays open to the system",
);
const OPEN: (char, &str) = ('o', "open the valve to the pump");
const BREAK: (char, &str) = ('n', "break with dry nitrogen");

const COMPRESSOR: &str = "Never energise the compressor under vacuum.";
const NITROGEN: &str = "Dry nitrogen only through a regulator, with a relief downstream; never \
                        oxygen, never air.";
const NO_HIGHER: &str = "Let nitrogen in to slightly above 0 gauge at most, as the maker says; \
                         keep the gauge valved off from pressure it cannot stand.";
const EYES: &str = "Protect eyes and hands.";

/// What to say of the refrigerant where it burns, or may, as typed in the job.
pub fn flammable(typed: Option<&str>) -> Option<String> {
    match typed.and_then(Refrigerant::named) {
        Some(r) if r.is_flammable() => Some(format!(
            "{} is flammable: no flame, no spark, no brazing while any may be present; \
             ventilate, pump exhaust outdoors.",
            r.designation
        )),
        Some(_) => None,
        None => Some(
            "Refrigerant not known here: treat it as flammable until the nameplate says \
             otherwise."
                .into(),
        ),
    }
}

/// What was stamped since the system was last opened to the pump.
#[derive(Debug, Clone, Copy, Default)]
struct Stamped {
    opened: bool,
    shut: bool,
    stopped: bool,
    manifold: bool,
    /// Nitrogen went in, and the valve to the pump was not opened since.
    broken: bool,
    /// Was the valve to the pump shut when it went in?
    broken_while_shut: bool,
    /// The pump was stopped before its valve was shut.
    stopped_first: bool,
}

impl Stamped {
    fn of(marks: &[MarkNow]) -> Self {
        let mut now = Self::default();
        for mark in marks {
            match mark.kind {
                MarkKind::ValveOpened => {
                    now = Self {
                        opened: true,
                        ..Self::default()
                    };
                }
                MarkKind::PumpSideShut => now.shut = true,
                MarkKind::PumpStopped => {
                    now.stopped_first |= !now.shut;
                    now.stopped = true;
                }
                MarkKind::NitrogenBreak => {
                    now = Self {
                        broken: true,
                        broken_while_shut: now.shut,
                        stopped: now.stopped,
                        ..Self::default()
                    };
                }
                MarkKind::Note if mark.is_manifold_shut() => now.manifold = true,
                _ => {}
            }
        }
        now
    }
}

/// Where the work stands now.
pub fn order(facts: &Facts<'_>) -> Order {
    let stamped = Stamped::of(facts.marks);
    let mut order = match facts.judged.phase {
        _ if stamped.broken => broken(),
        PhaseNow::Waiting => waiting(),
        PhaseNow::Hold => holding(facts, stamped),
        _ if stamped.shut => holding(facts, stamped),
        PhaseNow::AtTarget => at_target(stamped, facts.gauge_open_to_system),
        PhaseNow::PullDown => pulling_down(facts, stamped),
    };
    order.cautions = cautions(facts, &order);
    order.warnings = warnings(facts, stamped);
    order
}

fn step((key, text): (char, &'static str), state: StepState) -> Step {
    Step {
        key: Some(key),
        text,
        state,
    }
}

fn waiting() -> Order {
    Order {
        advice: "Start the pump, and open the valve to it once the gauge is heard.".into(),
        steps: vec![step(OPEN, StepState::Later)],
        ..Order::default()
    }
}

fn pulling_down(facts: &Facts<'_>, stamped: Stamped) -> Order {
    let mut steps = Vec::new();
    if !stamped.opened {
        steps.push(step(OPEN, StepState::Choice));
    }
    let stall = facts.judged.stall.as_ref();
    let advice = match stall {
        Some(stall) => format!("Stalls: {}. {}.", stall.label, capital(&stall.helps)),
        None => "Let it pull down. At the target: pump-side valve first, then the pump.".into(),
    };
    match stall.map(|s| s.kind) {
        Some("foaming") => steps.push(step(('t', "throttle the flow"), StepState::Choice)),
        Some("boil_off") => steps.extend([
            step(('b', "open the gas ballast"), StepState::Choice),
            step(('h', "apply gentle heat"), StepState::Choice),
        ]),
        // nitrogen comes in behind a shut valve
        Some("ice") => steps.extend([
            step(('h', "apply gentle heat"), StepState::Choice),
            step(('b', "open the gas ballast"), StepState::Choice),
            step(SHUT, StepState::Choice),
            step(BREAK, StepState::Choice),
        ]),
        _ => {}
    }
    Order {
        advice,
        steps,
        ..Order::default()
    }
}

fn at_target(stamped: Stamped, gauge_open: Option<bool>) -> Order {
    let (steps, _) = acts(stamped, gauge_open);
    Order {
        advice: "At the target: shut the pump-side valve first, then stop the pump. Or let it \
                 pull deeper: the longer, the drier."
            .into(),
        steps,
        ..Order::default()
    }
}

/// The acts from the target to the hold, and which of them is next.
///
/// Shutting the manifold is not among them where that cuts the gauge off: the hold
/// would show the manifold and not the system.
fn acts(stamped: Stamped, gauge_open: Option<bool>) -> (Vec<Step>, Option<&'static str>) {
    let manifold = match gauge_open {
        Some(true) => Some(MANIFOLD),
        Some(false) => None,
        None => Some(MANIFOLD_IF_OPEN),
    };
    let mut steps = Vec::new();
    let mut next: Option<&'static str> = None;
    for (done, (key, text)) in [(stamped.shut, SHUT), (stamped.stopped, STOP)]
        .into_iter()
        .chain(manifold.map(|act| (stamped.manifold, act)))
    {
        let state = match (done, next) {
            (true, _) => StepState::Done,
            (false, None) => {
                next = Some(text);
                StepState::Next
            }
            (false, Some(_)) => StepState::Later,
        };
        steps.push(step((key, text), state));
    }
    steps.push(hold_step(match next {
        None => StepState::Next,
        Some(_) => StepState::Later,
    }));
    (steps, next)
}

fn hold_step(state: StepState) -> Step {
    Step {
        key: None,
        text: "let it hold, hands off",
        state,
    }
}

fn holding(facts: &Facts<'_>, stamped: Stamped) -> Order {
    let hold = facts.judged.hold.as_ref();
    let state = hold.map_or(HoldState::Running, |h| h.state);
    if matches!(
        state,
        HoldState::Passed | HoldState::PassedWithLeak | HoldState::Failed | HoldState::NotProven
    ) {
        return held(state);
    }
    let (steps, next) = acts(stamped, facts.gauge_open_to_system);
    let advice = match (state, next, stamped.shut) {
        (HoldState::WillNotPass, ..) => "The hold will not pass. It may go on to tell the cause; \
                                         or open to the pump, or break with nitrogen, and \
                                         evacuate again."
            .into(),
        // the curve shows it, nobody stamped it
        (_, Some(_), false) => "The curve looks isolated. If the pump-side valve is shut, stamp \
                                it: the sheet rests on it."
            .into(),
        (_, Some(text), true) => format!("Usually next: {text}."),
        (_, None, _) => "Leave valves and hoses alone until the hold is long enough.".into(),
    };
    Order {
        advice,
        steps,
        ..Order::default()
    }
}

/// What may follow a hold that is over.
fn held(state: HoldState) -> Order {
    let advice = match state {
        HoldState::Passed => {
            "The hold meets the criteria. Stop for the sheet, or go on with \
                              another round if the maker asks for it."
        }
        HoldState::PassedWithLeak => {
            "The rule is met, but a leak is indicated: it is worth finding before any \
                              refrigerant goes in. A longer hold measures it better."
        }
        HoldState::Failed => {
            "The hold fails. What the rise looks like says where to search; \
                              then evacuate and hold again."
        }
        _ => "Long enough, but not proven: the review says what is missing.",
    };
    Order {
        advice: advice.into(),
        steps: vec![
            Step {
                key: Some('q'),
                text: "stop, review, sheet",
                state: StepState::Choice,
            },
            step(BREAK, StepState::Choice),
            step(OPEN, StepState::Choice),
        ],
        ..Order::default()
    }
}

fn broken() -> Order {
    Order {
        advice: "Nitrogen is in. Give it a few minutes to take up moisture, vent it, start the \
                 pump, and open the valve to it for the next round."
            .into(),
        steps: vec![step(BREAK, StepState::Done), step(OPEN, StepState::Next)],
        ..Order::default()
    }
}

/// Cautions where the act happens.
fn cautions(facts: &Facts<'_>, order: &Order) -> Vec<String> {
    let mut all: Vec<&str> = Vec::new();
    let offers = |key| order.steps.iter().any(|s| s.key == Some(key));
    let phase = facts.judged.phase;
    if offers('n') {
        all.extend([NITROGEN, NO_HIGHER, EYES]);
    }
    if offers('h') || matches!(phase, PhaseNow::Waiting) {
        all.extend(facts.flammable);
    }
    if phase == PhaseNow::Waiting {
        all.push(EYES);
    } else {
        all.push(COMPRESSOR);
    }
    all.into_iter().map(str::to_owned).collect()
}

fn warnings(facts: &Facts<'_>, stamped: Stamped) -> Vec<Warning> {
    let mut all = Vec::new();
    let mut warn = |code, text: String| all.push(Warning { code, text });
    let curve = facts.judged.pump_open_at_stop;
    if stamped.stopped_first {
        warn(
            "pump_stopped_first",
            "The pump was stamped stopped before the pump-side valve was stamped shut. If that \
             valve is open, shutting it now keeps more air and pump oil out; then evacuate again \
             to the target before the hold."
                .into(),
        );
    } else if curve {
        warn(
            "pump_open_at_stop",
            "The curve looks as if the pump was stopped while its valve was open: air and pump \
             oil can be drawn in. Shutting the valve and evacuating again usually helps."
                .into(),
        );
    } else if let Some(jump) = facts.jump.filter(|_| jump_counts(facts, stamped)) {
        warn(
            "pressure_jumped",
            format!(
                "The pressure jumped from {} to {} and nothing was stamped. If the pump was \
                 stopped or lost its current with the valve open, shutting the pump-side valve \
                 now keeps air and oil out.",
                Voice::default().reading(jump.from_micron),
                Voice::default().reading(jump.to_micron)
            ),
        );
    }
    if stamped.broken && !stamped.broken_while_shut {
        warn(
            "nitrogen_with_pump_open",
            "Nitrogen was stamped with the pump-side valve not stamped shut: a running pump \
             takes it away, a stopped one may be blown through. Check that valve."
                .into(),
        );
    }
    if stamped.manifold && facts.gauge_open_to_system != Some(true) {
        warn(
            "gauge_shut_off",
            "The manifold valves were stamped shut, and the job does not say that the gauge \
             stays open to the system then (gauge_open_to_system). If it is cut off, the hold \
             shows the manifold and proves nothing: open it to the system and hold again."
                .into(),
        );
    }
    let above = facts
        .pressure_micron
        .is_some_and(|p| p > facts.judged.target.micron);
    let running = facts
        .judged
        .hold
        .as_ref()
        .is_some_and(|h| h.state == HoldState::Running && h.held_s < 60.0);
    if stamped.shut && running && above {
        warn(
            "shut_above_target",
            format!(
                "The valve was shut above the target of {}: such a hold cannot pass. Opening to \
                 the pump and pulling deeper first usually saves the time.",
                Voice::default().reading(facts.judged.target.micron)
            ),
        );
    }
    all
}

/// Near the target, under the pump, and not long ago.
fn jump_counts(facts: &Facts<'_>, stamped: Stamped) -> bool {
    let near = |j: Jump| j.from_micron <= 2.0 * facts.judged.target.micron;
    let still = |j: Jump| {
        facts
            .pressure_micron
            .is_some_and(|p| p > 1.2 * j.from_micron)
    };
    !stamped.shut && !stamped.broken && facts.jump.is_some_and(|j| near(j) && still(j))
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests;
