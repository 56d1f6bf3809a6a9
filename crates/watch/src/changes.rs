//! Turns two looks at a run, one after the other, into what happened between them.

use wording::{Voice, say};

use crate::{
    events::EventKind,
    judged::{HoldState, JudgedNow, PhaseNow},
    order::Order,
};

/// What was seen last.
#[derive(Debug, Clone, Default)]
pub(crate) struct Changes {
    phase: PhaseNow,
    /// The target was reached in this round.
    reached: bool,
    /// Its kind and what it is called.
    stall: Option<(&'static str, String)>,
    hold_since_s: Option<f64>,
    hold_state: HoldState,
    warned: Vec<&'static str>,
}

type Said = Vec<(EventKind, String)>;

impl Changes {
    /// Compares with the last look.
    pub(crate) fn look(&mut self, voice: &Voice, judged: &JudgedNow, order: &Order) -> Said {
        let mut said = Said::new();
        self.hold(voice, judged, &mut said);
        self.target(voice, judged, &mut said);
        self.stall(voice, judged, &mut said);
        self.warnings(order, &mut said);
        self.phase = judged.phase;
        said
    }

    fn target(&mut self, voice: &Voice, judged: &JudgedNow, said: &mut Said) {
        if judged.phase == PhaseNow::AtTarget && !self.reached {
            self.reached = true;
            said.push((
                EventKind::TargetReached,
                say!(
                    voice,
                    "told-target",
                    target = voice.reading(judged.target.micron)
                ),
            ));
        }
        // a vacuum that was broken begins anew
        if judged.phase == PhaseNow::PullDown && self.phase == PhaseNow::Hold {
            self.reached = false;
        }
    }

    fn stall(&mut self, voice: &Voice, judged: &JudgedNow, said: &mut Said) {
        let now = judged.stall.as_ref().map(|s| (s.kind, s.label.clone()));
        let kind = |stall: &Option<(&'static str, String)>| stall.as_ref().map(|s| s.0);
        if kind(&now) == kind(&self.stall) {
            return;
        }
        match (&judged.stall, &self.stall) {
            (Some(stall), _) => said.push((
                EventKind::StallFound,
                say!(
                    voice,
                    "told-stall",
                    level = voice.reading(stall.level_micron),
                    kind = stall.label.as_str()
                ),
            )),
            (None, Some((_, label))) => said.push((
                EventKind::StallEnded,
                say!(voice, "told-stall-over", kind = label.as_str()),
            )),
            (None, None) => {}
        }
        self.stall = now;
    }

    fn hold(&mut self, voice: &Voice, judged: &JudgedNow, said: &mut Said) {
        let Some(hold) = &judged.hold else {
            (self.hold_since_s, self.hold_state) = (None, HoldState::Running);
            return;
        };
        // the instant of isolation found in a curve moves a little as more is known
        let same = |t: f64| (t - hold.since_s).abs() < 120.0;
        if !self.hold_since_s.is_some_and(same) {
            self.hold_state = HoldState::Running;
            said.push((
                EventKind::HoldBegan,
                say!(voice, "told-hold", time = voice.about(hold.needed_s)),
            ));
        }
        self.hold_since_s = Some(hold.since_s);
        if hold.state == self.hold_state {
            return;
        }
        self.hold_state = hold.state;
        let answer = hold.answer.as_str();
        said.extend(match hold.state {
            HoldState::Running => None,
            HoldState::WillNotPass => Some((
                EventKind::HoldWillNotPass,
                say!(voice, "told-will-not-pass", answer = answer),
            )),
            HoldState::Passed => Some((
                EventKind::HoldPassed,
                say!(voice, "told-passed", answer = answer),
            )),
            HoldState::PassedWithLeak => Some((
                EventKind::HoldPassedWithLeak,
                say!(voice, "told-passed-leak", answer = answer),
            )),
            HoldState::Failed => Some((
                EventKind::HoldFailed,
                say!(voice, "told-failed", answer = answer),
            )),
            HoldState::NotProven => Some((EventKind::HoldFailed, say!(voice, "told-not-proven"))),
        });
    }

    fn warnings(&mut self, order: &Order, said: &mut Said) {
        for warning in &order.warnings {
            if !self.warned.contains(&warning.code) {
                said.push((EventKind::OrderBroken, warning.text.clone()));
            }
        }
        self.warned = order.warnings.iter().map(|w| w.code).collect();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        judged::{HoldNow, StallNow, TargetNow},
        order::Warning,
    };

    fn look(phase: PhaseNow) -> JudgedNow {
        JudgedNow {
            phase,
            target: TargetNow {
                micron: 500.0,
                ..TargetNow::default()
            },
            ..JudgedNow::default()
        }
    }

    fn hold(since_s: f64, state: HoldState) -> JudgedNow {
        JudgedNow {
            hold: Some(HoldNow {
                since_s,
                needed_s: 600.0,
                state,
                answer: "no rise beyond gauge noise".into(),
                ..HoldNow::default()
            }),
            ..look(PhaseNow::Hold)
        }
    }

    fn kinds(changes: &mut Changes, judged: &JudgedNow) -> Vec<EventKind> {
        let said = changes.look(&Voice::default(), judged, &Order::default());
        assert!(said.iter().all(|(_, text)| text.ends_with('.')), "{said:?}");
        said.into_iter().map(|(kind, _)| kind).collect()
    }

    #[test]
    fn each_thing_is_told_once() {
        let mut changes = Changes::default();
        assert_eq!(kinds(&mut changes, &look(PhaseNow::PullDown)), []);
        let mut stalled = look(PhaseNow::PullDown);
        stalled.stall = Some(StallNow {
            kind: "foaming",
            label: "pump oil foaming".into(),
            since_s: 1.0,
            level_micron: 5_800.0,
            helps: "patience".into(),
        });
        assert_eq!(kinds(&mut changes, &stalled), [EventKind::StallFound]);
        assert_eq!(kinds(&mut changes, &stalled), []);
        let free = look(PhaseNow::PullDown);
        assert_eq!(kinds(&mut changes, &free), [EventKind::StallEnded]);
        let at_target = look(PhaseNow::AtTarget);
        assert_eq!(kinds(&mut changes, &at_target), [EventKind::TargetReached]);
        // hunting about the target
        assert_eq!(kinds(&mut changes, &free), []);
        assert_eq!(kinds(&mut changes, &at_target), []);
        let running = hold(100.0, HoldState::Running);
        assert_eq!(kinds(&mut changes, &running), [EventKind::HoldBegan]);
        assert_eq!(kinds(&mut changes, &hold(103.0, HoldState::Running)), []);
        let passed = hold(103.0, HoldState::Passed);
        assert_eq!(kinds(&mut changes, &passed), [EventKind::HoldPassed]);
        let leaking = kinds(&mut changes, &hold(104.0, HoldState::PassedWithLeak));
        assert_eq!(leaking, [EventKind::HoldPassedWithLeak]);
        // evacuated again, and held again
        assert_eq!(kinds(&mut changes, &free), []);
        assert_eq!(kinds(&mut changes, &at_target), [EventKind::TargetReached]);
        let again = hold(2_000.0, HoldState::WillNotPass);
        assert_eq!(
            kinds(&mut changes, &again),
            [EventKind::HoldBegan, EventKind::HoldWillNotPass]
        );
    }

    #[test]
    fn a_pass_with_a_leak_calls_somebody_and_says_both() {
        let mut leaking = hold(100.0, HoldState::PassedWithLeak);
        let answer = "PASS by the rule; a leak is indicated: 52 to 860 g/year";
        if let Some(hold) = &mut leaking.hold {
            hold.answer = answer.into();
        }
        let mut said = Changes::default().look(&Voice::default(), &leaking, &Order::default());
        let (kind, text) = said.pop().expect("it is told");
        assert!(kind.is_grave(), "{kind:?}");
        assert_eq!(
            text,
            format!("The hold is long enough. {answer}. Find it first.")
        );
    }

    #[test]
    fn a_warning_is_told_once_while_it_stands() {
        let mut changes = Changes::default();
        let order = Order {
            warnings: vec![Warning {
                code: "pump_stopped_first",
                text: "The pump was stopped first.".into(),
            }],
            ..Order::default()
        };
        let judged = look(PhaseNow::AtTarget);
        let grave = |said: Said| {
            let kinds = said.into_iter().map(|(kind, _)| kind);
            kinds.filter(|k| *k == EventKind::OrderBroken).count()
        };
        assert_eq!(grave(changes.look(&Voice::default(), &judged, &order)), 1);
        assert_eq!(grave(changes.look(&Voice::default(), &judged, &order)), 0);
        assert_eq!(
            grave(changes.look(&Voice::default(), &judged, &Order::default())),
            0
        );
        assert_eq!(grave(changes.look(&Voice::default(), &judged, &order)), 1);
    }
}
