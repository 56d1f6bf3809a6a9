//! The order of work: what usually comes next, what is done, and what seems to have
//! been done the wrong way round.
//!
//! A pure function of what is known now: the marks that count, the phase, the hold.
//! A mark that is taken back is simply no longer there. Everything it says is advice;
//! local codes, the maker's instructions and licensed practice decide.
//!
//! Source: valve before pump, TM 10-6640-215-13. What can hurt, and the sources of that,
//! are in `wording::cautions`.

use serde::Serialize;
use vacuum::MarkKind;
use wording::{Inside, RiskyAct, Voice, cautions_at, gravest_at, say};

use crate::{
    judged::{HoldState, JudgedNow, PhaseNow},
    jump::Jump,
    marks::MarkNow,
    ready::Ready,
};

/// What is known.
#[derive(Debug, Clone, Copy)]
pub struct Facts<'a> {
    /// How to speak.
    pub voice: Voice,
    /// What is judged.
    pub judged: &'a JudgedNow,
    /// The marks that count, in order.
    pub marks: &'a [MarkNow],
    /// The newest pressure, micron.
    pub pressure_micron: Option<f64>,
    /// A jump that no mark explains.
    pub jump: Option<Jump>,
    /// The refrigerant in the system.
    pub inside: Inside,
    /// Whether the gauge stays open to the system when the manifold valves are shut.
    pub gauge_open_to_system: Option<bool>,
    /// Pump and hoses are tested by themselves: there is no system.
    pub rig_alone: bool,
    /// A scale is recorded, for a charge that is weighed in after the hold.
    pub weighs: bool,
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
    /// The first of them as short as it can be said, for a view with room for one.
    pub gravest: String,
    /// What seems to have been done the wrong way round.
    pub warnings: Vec<Warning>,
}

/// One act.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// The key that stamps it.
    pub key: Option<char>,
    /// What it is.
    pub text: String,
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
    /// Whoever found it tells it as an event too; nobody else does.
    #[serde(skip)]
    pub told: bool,
}

/// An act: the key that stamps it, and its message.
type Act = (char, &'static str);

const SHUT: Act = ('s', "step-shut");
const STOP: Act = ('p', "step-stop");
const MANIFOLD: Act = ('m', "step-manifold");
const OPEN: Act = ('o', "step-open");
const BREAK: Act = ('n', "step-break");
const WEIGH_IN: Act = ('w', "act-weigh-in-begins");
const THROTTLE: Act = ('t', "step-throttle");
const BALLAST: Act = ('b', "step-ballast");
const BALLAST_CLOSE: Act = ('g', "step-ballast-close");
const HEAT: Act = ('h', "step-heat");

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
    /// The gas ballast of the pump is open, whatever the system went through since.
    ballast: bool,
}

impl Stamped {
    fn of(marks: &[MarkNow]) -> Self {
        let mut now = Self::default();
        for mark in marks {
            match mark.kind {
                MarkKind::ValveOpened => {
                    now = Self {
                        opened: true,
                        ballast: now.ballast,
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
                        ballast: now.ballast,
                        ..Self::default()
                    };
                }
                MarkKind::BallastOpened => now.ballast = true,
                MarkKind::Note if mark.is_ballast_closed() => now.ballast = false,
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
        _ if stamped.broken => broken(facts),
        PhaseNow::Waiting | PhaseNow::UnderSupply | PhaseNow::Vented => {
            facts.order("advice-waiting", vec![facts.step(OPEN, StepState::Later)])
        }
        PhaseNow::Hold => holding(facts, stamped),
        _ if stamped.shut => holding(facts, stamped),
        PhaseNow::AtTarget => at_target(facts, stamped),
        PhaseNow::PullDown => pulling_down(facts, stamped),
    };
    let acts = risky_acts(facts, &order, stamped);
    order.cautions = cautions_at(&facts.voice, facts.inside, &acts);
    order.gravest = gravest_at(&facts.voice, facts.inside, &acts).unwrap_or_default();
    order.warnings = warnings(facts, stamped);
    order
}

impl Facts<'_> {
    /// Shutting the manifold cuts off many a gauge: it is offered only where the job says
    /// that it does not.
    fn offers_manifold(&self) -> bool {
        self.gauge_open_to_system == Some(true)
    }

    fn step(&self, (key, id): Act, state: StepState) -> Step {
        Step {
            key: Some(key),
            text: say!(self.voice, id),
            state,
        }
    }

    /// This advice with these steps.
    fn order(&self, advice: &str, steps: Vec<Step>) -> Order {
        Order {
            advice: say!(self.voice, advice),
            steps,
            ..Order::default()
        }
    }
}

fn pulling_down(facts: &Facts<'_>, stamped: Stamped) -> Order {
    let stall = facts.judged.stall.as_ref();
    let helping: &[Act] = match stall.map(|s| s.kind) {
        Some("foaming") => &[THROTTLE],
        Some("boil_off") => &[BALLAST, HEAT],
        // nitrogen comes in behind a shut valve
        Some("ice") => &[HEAT, BALLAST, SHUT, BREAK],
        _ => &[],
    };
    let open = Some(OPEN).filter(|_| !stamped.opened);
    // air let in through the ballast has had its use once nothing boils any more
    let close = Some(BALLAST_CLOSE).filter(|_| stamped.ballast && stall.is_none());
    let helping = helping
        .iter()
        .copied()
        .filter(|act| *act != BALLAST || !stamped.ballast);
    let all = open.into_iter().chain(close).chain(helping);
    let steps = all.map(|act| facts.step(act, StepState::Choice)).collect();
    let mut order = facts.order("advice-pull-down", steps);
    if let Some(stall) = stall {
        order.advice = say!(
            facts.voice,
            "advice-stalls",
            kind = stall.label.as_str(),
            helps = wording::sentence(&stall.helps)
        );
    }
    order
}

/// The target is passed. That alone is no reason to shut the valve: see [`Ready`].
fn at_target(facts: &Facts<'_>, stamped: Stamped) -> Order {
    let target = &facts.judged.target;
    if stamped.ballast && !stamped.stopped {
        return facts.order("advice-close-ballast", acts(facts, stamped).0);
    }
    let mut order = facts.order("advice-ready", acts(facts, stamped).0);
    // a stopped pump takes nothing more: what is left to do is to shut its valve
    if stamped.stopped || facts.judged.ready == Ready::Ready {
        return order;
    }
    order.advice = match facts.judged.ready {
        Ready::CloseToCeiling => say!(
            facts.voice,
            "advice-close-to-ceiling",
            ceiling = facts.voice.reading(target.ceiling_micron)
        ),
        _ => say!(
            facts.voice,
            "advice-let-pull",
            low = facts.voice.reading(target.low_micron)
        ),
    };
    for step in &mut order.steps {
        step.state = StepState::Later;
    }
    order
}

/// The acts from the target to the hold, and which of them is next.
///
/// Shutting the manifold is among them only where the job says that the gauge stays open
/// to the system then: else the hold would show the manifold and not the system.
fn acts(facts: &Facts<'_>, stamped: Stamped) -> (Vec<Step>, Option<Act>) {
    let manifold = facts.offers_manifold().then_some(MANIFOLD);
    let mut steps = Vec::new();
    let mut next = None;
    // the final pull is with the ballast closed; after it the pump no longer matters
    let close = Some(BALLAST_CLOSE).filter(|_| stamped.ballast && !stamped.shut);
    for (done, act) in close
        .map(|act| (false, act))
        .into_iter()
        .chain([(stamped.shut, SHUT), (stamped.stopped, STOP)])
        .chain(manifold.map(|act| (stamped.manifold, act)))
    {
        let state = match (done, next) {
            (true, _) => StepState::Done,
            (false, None) => {
                next = Some(act);
                StepState::Next
            }
            (false, Some(_)) => StepState::Later,
        };
        steps.push(facts.step(act, state));
    }
    steps.push(Step {
        key: None,
        text: say!(facts.voice, "step-hold"),
        state: match next {
            None => StepState::Next,
            Some(_) => StepState::Later,
        },
    });
    (steps, next)
}

fn holding(facts: &Facts<'_>, stamped: Stamped) -> Order {
    let hold = facts.judged.hold.as_ref();
    let state = hold.map_or(HoldState::Running, |h| h.state);
    let over = match state {
        HoldState::Running => None,
        HoldState::NotProven => Some("advice-not-proven"),
        HoldState::Passed if facts.rig_alone => Some("advice-rig-passed"),
        _ if facts.rig_alone => Some("advice-rig-rises"),
        HoldState::WillNotPass => Some("advice-will-not-pass"),
        HoldState::Passed => Some("advice-passed"),
        HoldState::PassedWithLeak => Some("advice-passed-leak"),
        HoldState::Failed => Some("advice-failed"),
    };
    if hold.is_some_and(|h| h.interrupted_s.is_some()) && state != HoldState::Failed {
        return facts.order("advice-hold-again", vec![facts.step(SHUT, StepState::Next)]);
    }
    if let Some(advice) = over {
        return held(facts, advice);
    }
    let (steps, next) = acts(facts, stamped);
    match (next, stamped.shut) {
        // the curve shows it, nobody stamped it
        (Some(_), false) => facts.order("advice-stamp-shut", steps),
        (Some((_, id)), true) => {
            let act = say!(facts.voice, id);
            Order {
                advice: say!(facts.voice, "advice-next", act = act),
                steps,
                ..Order::default()
            }
        }
        (None, _) => facts.order("advice-hands-off", steps),
    }
}

/// What may follow a hold that is over, or need not go on.
fn held(facts: &Facts<'_>, advice: &str) -> Order {
    // nitrogen is for what is in a system
    let nitrogen = Some(BREAK).filter(|_| !facts.rig_alone);
    let passed = (facts.judged.hold.as_ref()).is_some_and(|h| h.state == HoldState::Passed);
    let charge = Some(WEIGH_IN).filter(|_| facts.weighs && passed && !facts.rig_alone);
    let acts = (charge.into_iter())
        .chain([('q', "step-review")])
        .chain(nitrogen)
        .chain([OPEN]);
    let steps = acts.map(|act| facts.step(act, StepState::Choice));
    facts.order(advice, steps.collect())
}

fn broken(facts: &Facts<'_>) -> Order {
    let steps = vec![
        facts.step(BREAK, StepState::Done),
        facts.step(OPEN, StepState::Next),
    ];
    facts.order("advice-broken", steps)
}

/// What can hurt now: by where the work stands, and by what is offered.
fn risky_acts(facts: &Facts<'_>, order: &Order, stamped: Stamped) -> Vec<RiskyAct> {
    let mut acts = vec![match facts.judged.phase {
        _ if stamped.broken => RiskyAct::NitrogenBreak,
        PhaseNow::Waiting | PhaseNow::UnderSupply | PhaseNow::Vented => RiskyAct::Start,
        PhaseNow::Hold => RiskyAct::Hold,
        _ if stamped.shut => RiskyAct::Hold,
        PhaseNow::AtTarget => RiskyAct::Isolate,
        PhaseNow::PullDown => RiskyAct::PullDown,
    }];
    let offered = order.steps.iter().filter(|s| s.state != StepState::Done);
    acts.extend(offered.filter_map(|step| match step.key? {
        'o' => Some(RiskyAct::OpenValve),
        'n' => Some(RiskyAct::NitrogenBreak),
        'h' => Some(RiskyAct::Heat),
        'b' | 'g' => Some(RiskyAct::GasBallast),
        'w' => Some(RiskyAct::Charge),
        _ => None,
    }));
    // what comes next then is a search for the leak
    let state = facts.judged.hold.as_ref().map(|h| h.state);
    if matches!(
        state,
        Some(HoldState::Failed | HoldState::WillNotPass | HoldState::PassedWithLeak)
    ) && !facts.rig_alone
    {
        acts.push(RiskyAct::PressureTest);
    }
    acts
}

fn warnings(facts: &Facts<'_>, stamped: Stamped) -> Vec<Warning> {
    let voice = &facts.voice;
    let mut all = Vec::new();
    let mut warn = |code, text: String| {
        all.push(Warning {
            code,
            text,
            told: false,
        });
    };
    let curve = facts.judged.pump_open_at_stop;
    if stamped.stopped_first {
        warn("pump_stopped_first", say!(voice, "warn-stopped-first"));
    } else if curve {
        warn("pump_open_at_stop", say!(voice, "warn-open-at-stop"));
    } else if let Some(jump) = facts.jump.filter(|_| jump_counts(facts, stamped)) {
        warn(
            "pressure_jumped",
            say!(
                voice,
                "warn-jumped",
                from = voice.reading(jump.from_micron),
                to = voice.reading(jump.to_micron)
            ),
        );
    }
    if stamped.broken && !stamped.broken_while_shut {
        warn("nitrogen_with_pump_open", say!(voice, "warn-nitrogen-open"));
    }
    if stamped.manifold && facts.gauge_open_to_system != Some(true) {
        warn("gauge_shut_off", say!(voice, "warn-gauge-shut-off"));
    }
    if let Some(for_s) = facts.judged.hold.as_ref().and_then(|h| h.interrupted_s) {
        let time = voice.running(for_s);
        warn(
            "hold_interrupted",
            say!(voice, "warn-hold-interrupted", time = time),
        );
    }
    let target = facts.judged.target.micron;
    let above = facts.pressure_micron.is_some_and(|p| p > target);
    let running = facts
        .judged
        .hold
        .as_ref()
        .is_some_and(|h| h.state == HoldState::Running && h.held_s < 60.0);
    if stamped.shut && running && above {
        warn(
            "shut_above_target",
            say!(voice, "warn-above-target", target = voice.reading(target)),
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

#[cfg(test)]
mod tests;
