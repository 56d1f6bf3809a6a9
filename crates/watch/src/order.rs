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
use wording::{Voice, say};

use crate::{
    judged::{HoldState, JudgedNow, PhaseNow},
    jump::Jump,
    marks::MarkNow,
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
}

/// An act: the key that stamps it, and its message.
type Act = (char, &'static str);

const SHUT: Act = ('s', "step-shut");
const STOP: Act = ('p', "step-stop");
const MANIFOLD: Act = ('m', "step-manifold");
/// The same where nobody said that the gauge stays open to the system.
const MANIFOLD_IF_OPEN: Act = ('m', "step-manifold-if-open");
const OPEN: Act = ('o', "step-open");
const BREAK: Act = ('n', "step-break");
const THROTTLE: Act = ('t', "step-throttle");
const BALLAST: Act = ('b', "step-ballast");
const HEAT: Act = ('h', "step-heat");

/// What to say of the refrigerant where it burns, or may, as typed in the job.
pub fn flammable(voice: &Voice, typed: Option<&str>) -> Option<String> {
    match typed.and_then(Refrigerant::named) {
        Some(r) if r.is_flammable() => Some(say!(
            voice,
            "caution-now-flammable",
            refrigerant = r.designation
        )),
        Some(_) => None,
        None => Some(say!(voice, "caution-not-known")),
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
        _ if stamped.broken => broken(facts),
        PhaseNow::Waiting => {
            facts.order("advice-waiting", vec![facts.step(OPEN, StepState::Later)])
        }
        PhaseNow::Hold => holding(facts, stamped),
        _ if stamped.shut => holding(facts, stamped),
        PhaseNow::AtTarget => facts.order("advice-at-target", acts(facts, stamped).0),
        PhaseNow::PullDown => pulling_down(facts, stamped),
    };
    order.cautions = cautions(facts, &order);
    order.warnings = warnings(facts, stamped);
    order
}

impl Facts<'_> {
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
    let all = open.into_iter().chain(helping.iter().copied());
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

/// The acts from the target to the hold, and which of them is next.
///
/// Shutting the manifold is not among them where that cuts the gauge off: the hold
/// would show the manifold and not the system.
fn acts(facts: &Facts<'_>, stamped: Stamped) -> (Vec<Step>, Option<Act>) {
    let manifold = match facts.gauge_open_to_system {
        Some(true) => Some(MANIFOLD),
        Some(false) => None,
        None => Some(MANIFOLD_IF_OPEN),
    };
    let mut steps = Vec::new();
    let mut next = None;
    for (done, act) in [(stamped.shut, SHUT), (stamped.stopped, STOP)]
        .into_iter()
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
        HoldState::Running | HoldState::WillNotPass => None,
        HoldState::Passed => Some("advice-passed"),
        HoldState::PassedWithLeak => Some("advice-passed-leak"),
        HoldState::Failed => Some("advice-failed"),
        HoldState::NotProven => Some("advice-not-proven"),
    };
    if let Some(advice) = over {
        return held(facts, advice);
    }
    let (steps, next) = acts(facts, stamped);
    match (state, next, stamped.shut) {
        (HoldState::WillNotPass, ..) => facts.order("advice-will-not-pass", steps),
        // the curve shows it, nobody stamped it
        (_, Some(_), false) => facts.order("advice-stamp-shut", steps),
        (_, Some((_, id)), true) => {
            let act = say!(facts.voice, id);
            Order {
                advice: say!(facts.voice, "advice-next", act = act),
                steps,
                ..Order::default()
            }
        }
        (_, None, _) => facts.order("advice-hands-off", steps),
    }
}

/// What may follow a hold that is over.
fn held(facts: &Facts<'_>, advice: &str) -> Order {
    let acts = [('q', "step-review"), BREAK, OPEN];
    let steps = acts.map(|act| facts.step(act, StepState::Choice));
    facts.order(advice, steps.to_vec())
}

fn broken(facts: &Facts<'_>) -> Order {
    let steps = vec![
        facts.step(BREAK, StepState::Done),
        facts.step(OPEN, StepState::Next),
    ];
    facts.order("advice-broken", steps)
}

/// Cautions where the act happens.
fn cautions(facts: &Facts<'_>, order: &Order) -> Vec<String> {
    let say = |id: &str| say!(facts.voice, id);
    let mut all = Vec::new();
    let offers = |key| order.steps.iter().any(|s| s.key == Some(key));
    let phase = facts.judged.phase;
    if offers('n') {
        all.extend(
            [
                "caution-now-nitrogen",
                "caution-now-pressure",
                "caution-now-eyes",
            ]
            .map(say),
        );
    }
    if offers('h') || matches!(phase, PhaseNow::Waiting) {
        all.extend(facts.flammable.map(str::to_owned));
    }
    all.push(match phase {
        PhaseNow::Waiting => say("caution-now-eyes"),
        _ => say("caution-now-compressor"),
    });
    all
}

fn warnings(facts: &Facts<'_>, stamped: Stamped) -> Vec<Warning> {
    let voice = &facts.voice;
    let mut all = Vec::new();
    let mut warn = |code, text: String| all.push(Warning { code, text });
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
