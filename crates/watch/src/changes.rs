//! Turns two looks at a run, one after the other, into what happened between them.

use wording::{Voice, say};

use crate::{
    events::EventKind,
    judged::{HoldState, JudgedNow},
    order::Order,
};

/// What was seen last.
#[derive(Debug, Clone, Default)]
pub(crate) struct Changes {
    /// When the target was reached, and in which round.
    reached: Option<(usize, f64)>,
    /// Its kind and what it is called.
    stall: Option<(&'static str, String)>,
    hold_since_s: Option<f64>,
    hold_state: HoldState,
    warned: Vec<&'static str>,
}

/// Something that happened between two looks.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Change {
    /// What kind.
    pub(crate) kind: EventKind,
    /// One whole sentence.
    pub(crate) text: String,
    /// When, s of the run, where that is known better than by the look.
    pub(crate) at_s: Option<f64>,
}

impl Change {
    fn new(kind: EventKind, text: String) -> Self {
        Self {
            kind,
            text,
            at_s: None,
        }
    }
}

type Said = Vec<Change>;

impl Changes {
    /// Compares with the last look.
    pub(crate) fn look(&mut self, voice: &Voice, judged: &JudgedNow, order: &Order) -> Said {
        let mut said = Said::new();
        self.hold(voice, judged, &mut said);
        self.target(voice, judged, &mut said);
        self.stall(voice, judged, &mut said);
        self.warnings(order, &mut said);
        said
    }

    /// Told when the analyser counts it, and as of the moment that stands on the sheet.
    fn target(&mut self, voice: &Voice, judged: &JudgedNow, said: &mut Said) {
        let Some(reached_s) = judged.target.reached_s else {
            return;
        };
        // once in a round: only its rounds tell the analyser that it was reached anew
        let known = self
            .reached
            .is_some_and(|(round, at_s)| round == judged.rounds || at_s >= reached_s);
        if known {
            return;
        }
        self.reached = Some((judged.rounds, reached_s));
        said.push(Change {
            at_s: Some(reached_s),
            ..Change::new(
                EventKind::TargetReached,
                say!(
                    voice,
                    "told-target",
                    target = voice.reading(judged.target.micron)
                ),
            )
        });
    }

    fn stall(&mut self, voice: &Voice, judged: &JudgedNow, said: &mut Said) {
        let now = judged.stall.as_ref().map(|s| (s.kind, s.label.clone()));
        let kind = |stall: &Option<(&'static str, String)>| stall.as_ref().map(|s| s.0);
        if kind(&now) == kind(&self.stall) {
            return;
        }
        match (&judged.stall, &self.stall) {
            (Some(stall), _) => said.push(Change::new(
                EventKind::StallFound,
                say!(
                    voice,
                    "told-stall",
                    level = voice.reading(stall.level_micron),
                    kind = stall.label.as_str()
                ),
            )),
            (None, Some((_, label))) => said.push(Change::new(
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
            said.push(Change::new(
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
        let told = match hold.state {
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
        };
        said.extend(told.map(|(kind, text)| Change::new(kind, text)));
    }

    fn warnings(&mut self, order: &Order, said: &mut Said) {
        for warning in order.warnings.iter().filter(|w| !w.told) {
            if !self.warned.contains(&warning.code) {
                said.push(Change::new(EventKind::OrderBroken, warning.text.clone()));
            }
        }
        self.warned = order.warnings.iter().map(|w| w.code).collect();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        judged::{HoldNow, PhaseNow, StallNow, TargetNow},
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
        assert!(said.iter().all(|c| c.text.ends_with('.')), "{said:?}");
        said.into_iter().map(|c| c.kind).collect()
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
        let mut at_target = look(PhaseNow::AtTarget);
        // one reading may be a burst
        assert_eq!(kinds(&mut changes, &at_target), []);
        at_target.target.reached_s = Some(52.5);
        let said = changes.look(&Voice::default(), &at_target, &Order::default());
        let told = said.first().expect("it is told");
        // the moment is that of the sheet, not that of the look
        assert_eq!(
            (told.kind, told.at_s),
            (EventKind::TargetReached, Some(52.5))
        );
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
        let mut free = free;
        free.rounds = 2;
        assert_eq!(kinds(&mut changes, &free), []);
        (at_target.rounds, at_target.target.reached_s) = (2, Some(1_900.0));
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
        let told = said.pop().expect("it is told");
        assert!(told.kind.is_grave(), "{told:?}");
        assert_eq!(
            told.text,
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
                told: false,
            }],
            ..Order::default()
        };
        let judged = look(PhaseNow::AtTarget);
        let grave = |said: Said| {
            said.iter()
                .filter(|c| c.kind == EventKind::OrderBroken)
                .count()
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
