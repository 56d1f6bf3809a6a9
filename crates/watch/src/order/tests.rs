use vacuum::Mark;

use super::*;
use crate::{
    judged::{HoldNow, StallNow, TargetNow},
    marks::{MANIFOLD_SHUT, MarkList, Took},
};

/// A run as it may stand.
struct Scene {
    judged: JudgedNow,
    marks: MarkList,
    pressure_micron: Option<f64>,
    jump: Option<Jump>,
    gauge_open: Option<bool>,
}

impl Scene {
    fn new(phase: PhaseNow, micron: f64) -> Self {
        Self {
            judged: JudgedNow {
                phase,
                target: TargetNow {
                    micron: 500.0,
                    ..TargetNow::default()
                },
                ..JudgedNow::default()
            },
            marks: MarkList::default(),
            pressure_micron: Some(micron),
            jump: None,
            gauge_open: Some(true),
        }
    }

    fn held(mut self, held_s: f64, state: HoldState) -> Self {
        self.judged.hold = Some(HoldNow {
            held_s,
            state,
            ..HoldNow::default()
        });
        self
    }

    /// Stamps by key, as the technician does.
    fn stamped(mut self, keys: &str) -> Self {
        for key in keys.chars() {
            let (kind, note) = match key {
                'o' => (MarkKind::ValveOpened, ""),
                's' => (MarkKind::PumpSideShut, ""),
                'p' => (MarkKind::PumpStopped, ""),
                'n' => (MarkKind::NitrogenBreak, ""),
                'm' => (MarkKind::Note, MANIFOLD_SHUT),
                _ => (MarkKind::Note, "a remark"),
            };
            let elapsed_s = self.marks.all().len() as f64;
            self.marks.take(&Mark {
                elapsed_s,
                kind,
                note: note.into(),
            });
        }
        self
    }

    fn undone(mut self) -> Self {
        let withdrawal = self.marks.withdrawal(None, 99.0).expect("a mark");
        assert!(matches!(self.marks.take(&withdrawal), Took::Withdrew(_)));
        self
    }

    fn order(&self) -> Order {
        order(&Facts {
            voice: Voice::default(),
            judged: &self.judged,
            marks: self.marks.all(),
            pressure_micron: self.pressure_micron,
            jump: self.jump,
            flammable: Some("R-600a is flammable."),
            gauge_open_to_system: self.gauge_open,
        })
    }

    /// Keys of the steps with their states, for instance "s+ p> m. -."
    fn steps(&self) -> String {
        let steps = self.order().steps;
        let all = steps.iter().map(|s| {
            let state = match s.state {
                StepState::Done => '+',
                StepState::Next => '>',
                StepState::Later => '.',
                StepState::Choice => '?',
            };
            format!("{}{state}", s.key.unwrap_or('-'))
        });
        all.collect::<Vec<_>>().join(" ")
    }

    fn warnings(&self) -> Vec<&'static str> {
        self.order().warnings.iter().map(|w| w.code).collect()
    }
}

use PhaseNow::{AtTarget, Hold, PullDown, Waiting};

#[test]
fn at_the_target_the_acts_come_in_order() {
    for (phase, keys, steps) in [
        (AtTarget, "", "s> p. m. -."),
        (AtTarget, "o", "s> p. m. -."),
        (AtTarget, "os", "s+ p> m. -."),
        (Hold, "os", "s+ p> m. -."),
        (Hold, "osp", "s+ p+ m> -."),
        (Hold, "ospm", "s+ p+ m+ ->"),
        // a remark between changes nothing
        (Hold, "o?s?p", "s+ p+ m> -."),
        // manifold before pump: what is left comes next
        (Hold, "osm", "s+ p> m+ -."),
        // found in the curve, nobody stamped it
        (Hold, "o", "s> p. m. -."),
        // opened again: a new round
        (PullDown, "ospmo", ""),
        (AtTarget, "ospmo", "s> p. m. -."),
    ] {
        let scene = Scene::new(phase, 300.0).held(100.0, HoldState::Running);
        let scene = scene.stamped(keys);
        assert_eq!(scene.steps(), steps, "{keys}");
        assert_eq!(scene.warnings(), [""; 0], "{keys}");
    }
}

#[test]
fn the_wrong_order_is_told_at_once_and_undoing_takes_it_back() {
    let scene = Scene::new(AtTarget, 300.0).stamped("op");
    assert_eq!(scene.warnings(), ["pump_stopped_first"]);
    assert_eq!(scene.steps(), "s> p+ m. -.");
    let text = &scene.order().warnings[0].text;
    assert!(text.contains("shutting it now"), "{text}");
    // shutting it afterwards does not undo what was drawn in
    let scene = scene.stamped("s");
    assert_eq!(scene.warnings(), ["pump_stopped_first"]);
    // evacuating again does
    let scene = scene.stamped("o");
    assert_eq!(scene.warnings(), [""; 0]);
    let scene = Scene::new(AtTarget, 300.0).stamped("op").undone();
    assert_eq!(scene.warnings(), [""; 0]);
    assert_eq!(scene.steps(), "s> p. m. -.");
}

#[test]
fn what_the_curve_shows_is_told_once_only() {
    let mut scene = Scene::new(Hold, 9_000.0).held(80.0, HoldState::Running);
    scene.judged.pump_open_at_stop = true;
    assert_eq!(scene.warnings(), ["pump_open_at_stop"]);
    let scene = scene.stamped("op");
    assert_eq!(scene.warnings(), ["pump_stopped_first"], "one of the two");
}

#[test]
fn a_jump_without_a_mark_is_told_near_the_target_only() {
    let jump = |from_micron| {
        Some(Jump {
            at_s: 10.0,
            from_micron,
            to_micron: 4_000.0,
        })
    };
    let mut scene = Scene::new(PullDown, 4_000.0);
    scene.jump = jump(400.0);
    assert_eq!(scene.warnings(), ["pressure_jumped"]);
    // back down again: it was nothing
    scene.pressure_micron = Some(410.0);
    assert_eq!(scene.warnings(), [""; 0]);
    // foam
    let mut scene = Scene::new(PullDown, 9_000.0);
    scene.jump = jump(3_000.0);
    assert_eq!(scene.warnings(), [""; 0]);
    // a shut valve explains it
    let mut scene = Scene::new(Hold, 4_000.0).held(80.0, HoldState::Running);
    scene.jump = jump(400.0);
    assert_eq!(scene.stamped("s").warnings(), [""; 0]);
}

#[test]
fn a_valve_shut_above_the_target_is_told_early() {
    let early = Scene::new(Hold, 900.0).held(5.0, HoldState::Running);
    assert_eq!(early.stamped("os").warnings(), ["shut_above_target"]);
    let rising = Scene::new(Hold, 900.0).held(300.0, HoldState::Running);
    assert_eq!(
        rising.stamped("os").warnings(),
        [""; 0],
        "the hold itself speaks then"
    );
}

#[test]
fn nitrogen_is_guided_and_cautioned_where_it_happens() {
    let held = Scene::new(Hold, 300.0).held(700.0, HoldState::Passed);
    let held = held.stamped("ospm");
    assert_eq!(held.steps(), "q? n? o?");
    let cautions = held.order().cautions;
    assert!(
        cautions[0].contains("only through a regulator"),
        "{cautions:?}"
    );
    assert!(
        cautions[1].contains("slightly above 0 gauge"),
        "{cautions:?}"
    );
    let broken = Scene::new(PullDown, 700_000.0).stamped("ospmn");
    assert_eq!(broken.steps(), "n+ o>");
    assert_eq!(broken.warnings(), [""; 0]);
    let cautions = broken.order().cautions;
    assert!(
        cautions.iter().any(|c| c.contains("regulator")),
        "{cautions:?}"
    );
    // with the pump on the system
    let open = Scene::new(PullDown, 700_000.0).stamped("on");
    assert_eq!(open.warnings(), ["nitrogen_with_pump_open"]);
    // and the next round begins
    let next = Scene::new(PullDown, 100_000.0).stamped("ospmno");
    assert_eq!(next.steps(), "");
    assert_eq!(next.warnings(), [""; 0]);
    let next = Scene::new(AtTarget, 400.0).stamped("ospmno");
    assert_eq!(next.steps(), "s> p. m. -.");
}

#[test]
fn stalls_offer_what_usually_helps() {
    for (kind, steps) in [
        ("foaming", "t?"),
        ("boil_off", "b? h?"),
        ("ice", "h? b? s? n?"),
        ("floor", ""),
        ("choked", ""),
    ] {
        let mut scene = Scene::new(PullDown, 9_000.0).stamped("o");
        scene.judged.stall = Some(StallNow {
            kind,
            label: "so".into(),
            since_s: 1.0,
            level_micron: 9_000.0,
            helps: "patience usually helps".into(),
        });
        assert_eq!(scene.steps(), steps, "{kind}");
        let order = scene.order();
        assert_eq!(order.advice, "Stalls: so. Patience usually helps.");
        // heat and a refrigerant that burns
        let burns = order.cautions.iter().any(|c| c.contains("flammable"));
        assert_eq!(burns, matches!(kind, "boil_off" | "ice"), "{kind}");
        // and nitrogen where it is offered
        let regulator = order.cautions.iter().any(|c| c.contains("regulator"));
        assert_eq!(regulator, kind == "ice", "{kind}");
    }
}

#[test]
fn the_compressor_is_cautioned_wherever_there_is_a_vacuum() {
    for phase in [PullDown, AtTarget, Hold] {
        let scene = Scene::new(phase, 300.0).held(100.0, HoldState::Running);
        let cautions = scene.order().cautions;
        assert!(
            cautions.iter().any(|c| c.contains("compressor")),
            "{phase:?}"
        );
    }
    let waiting = Scene::new(Waiting, 300.0).order().cautions;
    assert!(
        waiting.iter().any(|c| c.contains("flammable")),
        "{waiting:?}"
    );
}

#[test]
fn every_state_has_advice_in_whole_sentences() {
    use HoldState::{Failed, NotProven, Passed, PassedWithLeak, Running, WillNotPass};
    for phase in [Waiting, PullDown, AtTarget, Hold] {
        for state in [
            Running,
            WillNotPass,
            Passed,
            PassedWithLeak,
            Failed,
            NotProven,
        ] {
            for keys in ["", "o", "op", "os", "osp", "ospm", "n", "ospmn", "ospmno"] {
                let scene = Scene::new(phase, 300.0).held(100.0, state).stamped(keys);
                let order = scene.order();
                let texts = order.warnings.iter().map(|w| &w.text);
                for text in texts.chain(&order.cautions).chain([&order.advice]) {
                    assert!(text.ends_with('.'), "{text}");
                    assert!(text.starts_with(char::is_uppercase), "{text}");
                }
                let next = order.steps.iter().filter(|s| s.state == StepState::Next);
                assert!(next.count() <= 1, "{phase:?} {keys}");
            }
        }
    }
}

/// A gauge that the manifold cuts off shows the manifold in the hold, so shutting it is
/// then no step of the work, and a stamp of it is warned of.
#[test]
fn the_manifold_is_left_open_where_that_would_cut_the_gauge_off() {
    let scene = |gauge_open| Scene {
        gauge_open,
        ..Scene::new(PhaseNow::Hold, 200.0).stamped("osp")
    };
    let texts = |gauge_open| -> Vec<String> {
        let steps = scene(gauge_open).order().steps;
        steps
            .iter()
            .filter(|s| s.key == Some('m'))
            .map(|s| s.text.clone())
            .collect()
    };
    assert_eq!(texts(Some(true)), ["shut the manifold valves"]);
    assert_eq!(texts(Some(false)), [""; 0]);
    assert!(texts(None)[0].contains("if the gauge stays open"));
    let warned = |gauge_open| {
        let order = scene(gauge_open).stamped("m").order();
        order.warnings.iter().any(|w| w.code == "gauge_shut_off")
    };
    assert!(!warned(Some(true)));
    assert!(warned(Some(false)) && warned(None));
}
