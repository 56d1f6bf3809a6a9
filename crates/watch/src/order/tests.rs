use vacuum::Mark;

use super::*;
use crate::{
    judged::{HoldNow, StallNow, TargetNow},
    marks::{BALLAST_CLOSED, MANIFOLD_SHUT, MarkList, Took},
};

/// A run as it may stand.
struct Scene {
    judged: JudgedNow,
    marks: MarkList,
    pressure_micron: Option<f64>,
    jump: Option<Jump>,
    gauge_open: Option<bool>,
    rig_alone: bool,
    weighs: bool,
    refrigerant: &'static str,
}

impl Scene {
    fn new(phase: PhaseNow, micron: f64) -> Self {
        Self {
            judged: JudgedNow {
                phase,
                target: TargetNow {
                    micron: 500.0,
                    low_micron: 200.0,
                    ceiling_micron: 500.0,
                    ..TargetNow::default()
                },
                ready: Ready::Ready,
                ..JudgedNow::default()
            },
            marks: MarkList::default(),
            pressure_micron: Some(micron),
            jump: None,
            gauge_open: Some(true),
            rig_alone: false,
            weighs: false,
            refrigerant: "R-600a",
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
                'b' => (MarkKind::BallastOpened, ""),
                'g' => (MarkKind::Note, BALLAST_CLOSED),
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
            inside: wording::Inside::typed(Some(self.refrigerant)),
            gauge_open_to_system: self.gauge_open,
            rig_alone: self.rig_alone,
            weighs: self.weighs,
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

/// There is no system to charge, to search or to fill.
#[test]
fn a_test_of_pump_and_hoses_alone_speaks_of_no_system() {
    for (state, says) in [
        (HoldState::Passed, "Pump and hoses keep the vacuum"),
        (HoldState::PassedWithLeak, "Pump and hoses do not keep"),
        (HoldState::WillNotPass, "Pump and hoses do not keep"),
        (HoldState::Failed, "Pump and hoses do not keep"),
    ] {
        let mut rig = Scene::new(Hold, 300.0).held(1_900.0, state);
        rig.rig_alone = true;
        let rig = rig.stamped("osp");
        assert_eq!(rig.steps(), "q? o?", "{state:?}");
        let order = rig.order();
        assert!(order.advice.starts_with(says), "{}", order.advice);
        for word in ["refrigerant goes in", "round", "nitrogen"] {
            assert!(!order.advice.contains(word), "{}", order.advice);
        }
    }
}

/// Only where a scale is recorded and the hold is past: a leak is found first.
#[test]
fn a_charge_is_offered_after_a_hold_that_passed_with_its_cautions() {
    for (state, steps) in [
        (HoldState::Passed, "w? q? n? o?"),
        (HoldState::PassedWithLeak, "q? n? o?"),
        (HoldState::Failed, "q? n? o?"),
    ] {
        let mut held = Scene::new(Hold, 300.0).held(700.0, state);
        held.weighs = true;
        let held = held.stamped("osp");
        assert_eq!(held.steps(), steps, "{state:?}");
        let cautions = held.order().cautions.join(" ");
        assert_eq!(cautions.contains("static spark"), steps.contains('w'));
    }
}

#[test]
fn nitrogen_is_guided_and_cautioned_where_it_happens() {
    let held = Scene::new(Hold, 300.0).held(700.0, HoldState::Passed);
    let held = held.stamped("ospm");
    assert_eq!(held.steps(), "q? n? o?");
    let said = |scene: &Scene, what: &str| {
        let cautions = scene.order().cautions;
        assert!(cautions.iter().any(|c| c.contains(what)), "{cautions:?}");
    };
    said(&held, "only through a regulator");
    said(&held, "slightly above 0 gauge");
    said(&held, "Valve the vacuum gauge off");
    let broken = Scene::new(PullDown, 700_000.0).stamped("ospmn");
    assert_eq!(broken.steps(), "n+ o>");
    assert_eq!(broken.warnings(), [""; 0]);
    said(&broken, "regulator");
    // nitrogen takes nothing up: it dilutes and sweeps, and air comes in below 0 gauge
    said(&broken, "vent only from above 0");
    let advice = broken.order().advice;
    assert!(
        advice.contains("dilutes") && advice.contains("sweeps"),
        "{advice}"
    );
    assert!(advice.contains("while it is above 0 gauge"), "{advice}");
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
        let heat = order
            .cautions
            .iter()
            .any(|c| c.contains("never with a torch"));
        assert_eq!(heat, matches!(kind, "boil_off" | "ice"), "{kind}");
        let ballast = order
            .cautions
            .iter()
            .any(|c| c.contains("Close the gas ballast"));
        assert_eq!(ballast, matches!(kind, "boil_off" | "ice"), "{kind}");
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
    let waiting = Scene::new(Waiting, 300.0).order().cautions.join(" ");
    for what in ["Unplug the appliance", "Discharge capacitors", "slowly"] {
        assert!(waiting.contains(what), "{waiting}");
    }
}

/// A switch at the pump lights a gas as well as a torch does: at every step of a job with a
/// flammable refrigerant it is the first thing said, and the one thing that a view with
/// room for one shows.
#[test]
fn a_flammable_refrigerant_is_named_at_every_step() {
    for phase in [Waiting, PullDown, AtTarget, Hold] {
        for keys in ["", "o", "os", "osp", "ospn", "ob"] {
            for state in [HoldState::Running, HoldState::Passed, HoldState::Failed] {
                let mut scene = Scene::new(phase, 300.0).held(100.0, state).stamped(keys);
                let order = scene.order();
                assert!(order.cautions[0].contains("flammable"), "{phase:?} {keys}");
                assert!(order.cautions[0].contains("switch the pump at a distant socket"));
                assert!(
                    order.gravest.starts_with("R-600a burns"),
                    "{}",
                    order.gravest
                );
                scene.refrigerant = "R-134a";
                let order = scene.order();
                assert!(!order.cautions.join(" ").contains("flammable refrigerant"));
                assert_eq!(order.gravest, order.cautions[0], "{phase:?} {keys}");
            }
        }
    }
}

/// A search needs something under pressure: a hold under vacuum shows no bubbles.
#[test]
fn where_a_leak_is_to_be_searched_the_pressure_has_a_limit() {
    for state in [
        HoldState::Failed,
        HoldState::WillNotPass,
        HoldState::PassedWithLeak,
    ] {
        let cautions = Scene::new(Hold, 300.0).held(700.0, state).order().cautions;
        let limit = cautions
            .iter()
            .any(|c| c.contains("150 psi (10.3 bar) gauge"));
        assert!(limit, "{state:?}: {cautions:?}");
    }
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
/// a step of the work only where the job says that the gauge stays open to the system.
#[test]
fn the_manifold_is_a_step_only_where_the_job_says_that_the_gauge_stays_open() {
    let scene = |gauge_open| Scene {
        gauge_open,
        ..Scene::new(PhaseNow::Hold, 200.0).stamped("osp")
    };
    assert_eq!(scene(Some(true)).steps(), "s+ p+ m> -.");
    assert_eq!(scene(Some(false)).steps(), "s+ p+ ->");
    assert_eq!(scene(None).steps(), "s+ p+ ->");
    let warned = |gauge_open| {
        let order = scene(gauge_open).stamped("m").order();
        order.warnings.iter().any(|w| w.code == "gauge_shut_off")
    };
    assert!(!warned(Some(true)));
    assert!(warned(Some(false)) && warned(None));
}

/// Below 200 micron before isolating: ASHRAE Journal, January 2021.
#[test]
fn at_the_target_the_valve_is_prompted_only_where_the_level_is_low_or_stands() {
    let scene = |ready, keys| {
        let mut scene = Scene::new(AtTarget, 477.0).stamped(keys);
        scene.judged.ready = ready;
        scene
    };
    let early = scene(Ready::NotYet, "o");
    assert_eq!(early.steps(), "s. p. m. -.", "nothing is next");
    let advice = early.order().advice;
    assert!(advice.contains("let it pull"), "{advice}");
    assert!(
        advice.contains("water that is left rises in the hold"),
        "{advice}"
    );
    assert!(advice.contains("below 200 micron"), "{advice}");
    let close = scene(Ready::CloseToCeiling, "o");
    assert_eq!(close.steps(), "s. p. m. -.");
    let advice = close.order().advice;
    assert!(
        advice.contains("close under the ceiling of 500 micron"),
        "{advice}"
    );
    let ready = scene(Ready::Ready, "o");
    assert_eq!(ready.steps(), "s> p. m. -.");
    assert!(
        ready
            .order()
            .advice
            .contains("shut the pump-side valve first")
    );
    // a pump that stands takes nothing more: its valve is shut at once
    assert_eq!(scene(Ready::NotYet, "op").steps(), "s> p+ m. -.");
}

#[test]
fn a_hold_that_will_not_pass_is_not_to_be_held() {
    let lost = Scene::new(Hold, 480.0).held(300.0, HoldState::WillNotPass);
    assert_eq!(lost.stamped("osp").steps(), "q? n? o?");
}

#[test]
fn the_gas_ballast_is_closed_before_the_final_pull() {
    let steps = |phase, keys: &str| Scene::new(phase, 300.0).stamped(keys).steps();
    assert_eq!(steps(PullDown, "ob"), "g?");
    assert_eq!(steps(AtTarget, "ob"), "g> s. p. m. -.");
    assert_eq!(steps(AtTarget, "obg"), "s> p. m. -.");
    // whatever the system went through since
    assert_eq!(steps(AtTarget, "obspo"), "g> s. p. m. -.");
    // behind a shut valve it no longer matters
    assert_eq!(steps(Hold, "obs"), "s+ p> m. -.");
    let advice = Scene::new(AtTarget, 300.0).stamped("ob").order().advice;
    assert!(advice.contains("close it for the final pull"), "{advice}");
}
