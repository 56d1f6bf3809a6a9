//! What is said of a run in another language than English: no sentence of it is English.

use std::time::Instant;

use analyser::{Analyser, Settings};
use findings::{Forecast, Live, NotAtThisRate, Phase, Stall, StallEnd, StallKind};
use vacuum::{
    Criteria, Entry, Job, Language, Mark, MarkKind, PUMP_SIDE, Pressure, Reading, Refrigerant,
    Sensed, SheetChoices,
};
use wording::Voice;

use crate::{
    Feed, Frame, HoldNow, JudgedNow, LinkNow, MANIFOLD_SHUT, MarkNow, PhaseNow,
    changes::Changes,
    curve::state_words,
    judged::{HoldState, StallNow, TargetNow},
    jump::Jump,
    marks::MarkList,
    order::{Facts, order},
    ready::Ready,
};

/// Each text with what it is of.
type Texts = Vec<(String, String)>;

fn voice(language: Language) -> Voice {
    Voice {
        language,
        ..Voice::default()
    }
}

/// True where a text has nothing that a language would change: numbers, units, names.
fn is_the_same_everywhere(text: &str) -> bool {
    const FIXED: [&str; 8] = ["micron", "s", "min", "h", "d", "g", "R", "a"];
    let mut words = text
        .split(|c: char| !c.is_alphabetic())
        .filter(|w| !w.is_empty());
    words.all(|w| FIXED.contains(&w))
}

/// No text of the three other languages equals the English one.
fn compare(said: impl Fn(Language) -> Texts) {
    let english = said(Language::English);
    assert!(!english.is_empty());
    for language in [Language::German, Language::Spanish, Language::French] {
        let own = said(language);
        let names = |texts: &Texts| texts.iter().map(|t| t.0.clone()).collect::<Vec<_>>();
        assert_eq!(names(&own), names(&english), "{}", language.code());
        for ((what, theirs), (_, own)) in english.iter().zip(&own) {
            assert!(
                own != theirs || is_the_same_everywhere(theirs),
                "{}: {what}: {own}",
                language.code()
            );
            assert_eq!(own.is_empty(), theirs.is_empty(), "{what}");
        }
    }
}

/// All that a frame says.
fn texts(at: &str, frame: &Frame) -> Texts {
    let now = &frame.now;
    let mut all = Texts::new();
    let mut add = |what: &str, text: &str| all.push((format!("{at}: {what}"), text.to_owned()));
    add("phase", &now.phase_words);
    add("trend", &now.pressure.trend);
    add("target", &now.judged.target.words);
    if let Some(stall) = &now.judged.stall {
        add("stall", &stall.label);
        add("what helps", &stall.helps);
    }
    if let Some(hold) = &now.judged.hold {
        add(&format!("answer, {:?}", hold.state), &hold.answer);
        add("clock", &hold.clock);
    }
    add("advice", &now.order.advice);
    for step in &now.order.steps {
        add("step", &step.text);
    }
    for caution in &now.order.cautions {
        add("caution", caution);
    }
    for warning in &now.order.warnings {
        add(warning.code, &warning.text);
    }
    for mark in &now.marks {
        add("mark", &mark.label);
    }
    for beside in &now.beside {
        add("place", &beside.place);
        add("beside", &beside.shown);
    }
    let line = now.line.words(usize::MAX);
    for part in line.split(" · ") {
        add("line", part);
    }
    for event in frame.events.all() {
        add(&format!("{:?}", event.kind), &event.text);
    }
    all
}

/// A run that has begun, with a job in this language.
struct Run {
    feed: Feed,
    analyser: Analyser,
    at_s: f64,
    noise: u64,
    said: Texts,
}

impl Run {
    fn new(language: Language) -> Self {
        let job = Job {
            id: "INVENTED-0042".into(),
            refrigerant: Some("R-600a".into()),
            sheet: SheetChoices {
                language: Some(language),
                ..SheetChoices::default()
            },
            ..Job::default()
        };
        Self {
            feed: Feed::new(Some(&job), &Criteria::default()),
            analyser: Analyser::new(Settings {
                volume_l: Some(2.8),
                refrigerant: Refrigerant::named("R-600a"),
                ..Settings::default()
            }),
            at_s: 0.0,
            noise: 7,
            said: Texts::new(),
        }
    }

    fn mark(&mut self, kind: MarkKind, note: &str) {
        let mark = Mark {
            elapsed_s: self.at_s,
            kind,
            note: note.into(),
        };
        self.analyser.push_mark(&mark);
        self.feed.entry(&Entry::Mark(mark));
    }

    fn measure(&mut self, seconds: u32, micron: impl Fn(f64) -> f64) {
        for second in 0..seconds {
            self.at_s += 1.0;
            self.noise = self
                .noise
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let jitter = (self.noise >> 40) as f64 / (1_u64 << 24) as f64 - 0.5;
            let pressure = Pressure::from_micron(micron(f64::from(second)) + jitter);
            let reading = Reading::measured(self.at_s, pressure.expect("a pressure"));
            self.analyser.push(&Entry::Reading(reading));
            self.feed.entry(&Entry::Reading(reading));
            if second % 30 == 29 {
                let live = self.analyser.live();
                self.look(&live);
            }
        }
    }

    fn look(&mut self, live: &Live) {
        let beside = [
            (PUMP_SIDE, Some(Sensed::Gap)),
            ("evaporator", Some(Sensed::Fault)),
        ];
        self.feed.look(live, &beside);
        let frame = self.feed.frame(Instant::now());
        let at = format!("{:.0} s", self.at_s);
        let place = |text: &(String, String)| text.1 != "evaporator";
        self.said
            .extend(texts(&at, &frame).into_iter().filter(place));
    }

    fn states(&self) -> String {
        let of = |t: &(String, String)| t.0.clone();
        self.said.iter().map(of).collect::<Vec<_>>().join("\n")
    }
}

/// Pull-down, and a hold with this rise; then nitrogen.
fn held(language: Language, micron_per_min: f64) -> Run {
    let mut run = Run::new(language);
    let live = run.analyser.live();
    run.look(&live);
    run.mark(MarkKind::ValveOpened, "");
    run.measure(900, |t| 150.0 + 700_000.0 * (-t / 40.0).exp());
    run.mark(MarkKind::PumpSideShut, "");
    run.measure(60, |t| 150.0 + micron_per_min / 60.0 * t);
    run.mark(MarkKind::PumpStopped, &Mark::noted_by("", "K7QF"));
    let from = 150.0 + micron_per_min;
    run.measure(900, |t| from + micron_per_min / 60.0 * t);
    run.mark(MarkKind::NitrogenBreak, "");
    let live = run.analyser.live();
    run.look(&live);
    run
}

#[test]
fn a_run_from_the_first_reading_to_nitrogen() {
    for (micron_per_min, state) in [
        (0.0, "answer, Passed\n"),
        (8.0, "answer, PassedWithLeak\n"),
        (60.0, "answer, WillNotPass\n"),
        (60.0, "answer, Failed\n"),
    ] {
        let run = held(Language::English, micron_per_min);
        assert!(run.states().contains(state), "{state}");
        assert!(run.states().contains("answer, Running\n"));
        compare(|language| held(language, micron_per_min).said);
    }
}

#[test]
fn every_stall_and_every_forecast() {
    let stall = |kind| Stall {
        kind,
        start_s: 100.0,
        end_s: 500.0,
        level_micron: 9_000.0,
        roughness: 8.0,
        boils_at_c: Some(9.0),
        slope_per_min: -0.01,
        ended_by: StallEnd::StillOn,
        ends_at_micron: None,
    };
    let forecast = Forecast {
        early_s: 182.0,
        likely_s: 300.0,
        late_s: 540.0,
    };
    let floor = NotAtThisRate {
        floor_micron: 870.4,
    };
    compare(|language| {
        let mut run = Run::new(language);
        let pressure = Pressure::from_micron(9_000.0).expect("a pressure");
        run.feed
            .entry(&Entry::Reading(Reading::measured(1.0, pressure)));
        let mut live = run.analyser.live();
        live.phase = Phase::PullDown;
        live.pressure_micron = Some(9_000.0);
        for trend in [-600.0, 0.0, 600.0] {
            live.trend_micron_per_min = Some(trend);
            for to_target in [None, Some(forecast)] {
                for not_at_this_rate in [None, Some(floor)] {
                    (live.to_target, live.not_at_this_rate) = (to_target, not_at_this_rate);
                    run.look(&live);
                    for kind in [
                        StallKind::Foaming,
                        StallKind::BoilOff,
                        StallKind::Ice,
                        StallKind::Floor,
                        StallKind::Choked,
                    ] {
                        live.stall = Some(stall(kind));
                        run.look(&live);
                        live.stall = None;
                    }
                }
            }
        }
        run.said
    });
}

/// A look in this phase; a hold in this state.
fn judged(voice: &Voice, phase: PhaseNow, state: Option<HoldState>) -> JudgedNow {
    JudgedNow {
        phase,
        target: TargetNow {
            micron: 500.0,
            ..TargetNow::default()
        },
        stall: (phase == PhaseNow::PullDown).then(|| StallNow {
            kind: StallKind::Ice.word(),
            label: wording::stall_words(voice, StallKind::Ice),
            since_s: 1.0,
            level_micron: 900.0,
            helps: wording::stall_advice(voice, StallKind::Ice),
        }),
        hold: state.map(|state| HoldNow {
            state,
            needed_s: 600.0,
            answer: wording::rise_words(voice, findings::RiseKind::Leak),
            ..HoldNow::default()
        }),
        ..JudgedNow::default()
    }
}

fn stamped(voice: Voice, kinds: &[(MarkKind, &str)]) -> Vec<MarkNow> {
    let mut list = MarkList::new(voice);
    for (i, (kind, note)) in kinds.iter().enumerate() {
        list.take(&Mark {
            elapsed_s: i as f64,
            kind: *kind,
            note: (*note).into(),
        });
    }
    list.all().to_vec()
}

/// Advice, steps, cautions and warnings, and the events that come of them, in every phase
/// and every state of a hold, whatever was stamped.
fn orders(language: Language) -> Texts {
    use HoldState::{Failed, NotProven, Passed, PassedWithLeak, Running, WillNotPass};
    use MarkKind::{NitrogenBreak, Note, PumpSideShut, PumpStopped};
    let voice = voice(language);
    let (shut, stopped) = ((PumpSideShut, ""), (PumpStopped, ""));
    let manifold = (Note, MANIFOLD_SHUT);
    let acts: [&[(MarkKind, &str)]; 8] = [
        &[],
        &[(MarkKind::BallastOpened, "")],
        &[shut],
        &[stopped],
        &[shut, stopped],
        &[shut, stopped, manifold],
        &[(NitrogenBreak, "")],
        &[shut, stopped, (NitrogenBreak, "")],
    ];
    let states = [
        Running,
        WillNotPass,
        Passed,
        PassedWithLeak,
        Failed,
        NotProven,
    ];
    let holds = states.map(|state| (PhaseNow::Hold, Some(state)));
    let phases = [PhaseNow::Waiting, PhaseNow::PullDown, PhaseNow::AtTarget];
    let looks = phases.map(|phase| (phase, None)).into_iter().chain(holds);
    let jump = Jump {
        at_s: 9.0,
        from_micron: 400.0,
        to_micron: 5_000.0,
    };
    let mut all = Texts::new();
    for (phase, state) in looks {
        for (acts, open_at_stop) in acts.iter().flat_map(|a| [(a, false), (a, true)]) {
            for (gauge_open, rig_alone) in [
                (None, false),
                (Some(true), false),
                (Some(false), false),
                (None, true),
            ] {
                let mut judged = judged(&voice, phase, state);
                judged.pump_open_at_stop = open_at_stop;
                for (refrigerant, ready) in [
                    (None, Ready::NotYet),
                    (Some("R-600a"), Ready::NotYet),
                    (Some("R-600a"), Ready::CloseToCeiling),
                    (Some("R-600a"), Ready::Ready),
                ] {
                    judged.ready = ready;
                    let order = order(&Facts {
                        voice,
                        judged: &judged,
                        marks: &stamped(voice, acts),
                        pressure_micron: Some(5_000.0),
                        jump: Some(jump),
                        inside: wording::Inside::typed(refrigerant),
                        gauge_open_to_system: gauge_open,
                        rig_alone,
                        weighs: true,
                    });
                    let events = Changes::default().look(&voice, &judged, &order);
                    let at = format!("{phase:?} {state:?} {acts:?}");
                    let mut add =
                        |what: &str, text: String| all.push((format!("{at} {what}"), text));
                    add("advice", order.advice);
                    order.steps.into_iter().for_each(|s| add("step", s.text));
                    order.cautions.into_iter().for_each(|c| add("caution", c));
                    order.warnings.into_iter().for_each(|w| add(w.code, w.text));
                    events.into_iter().for_each(|c| add("event", c.text));
                }
            }
        }
    }
    all
}

#[test]
fn the_order_of_work_in_every_phase_with_every_warning() {
    let english = orders(Language::English);
    for code in [
        "pump_stopped_first",
        "pump_open_at_stop",
        "pressure_jumped",
        "nitrogen_with_pump_open",
        "gauge_shut_off",
        "shut_above_target",
    ] {
        let has = english.iter().any(|(what, _)| what.ends_with(code));
        assert!(has, "{code}");
    }
    compare(orders);
}

#[test]
fn marks_gauges_and_what_becomes_of_them() {
    compare(|language| {
        let voice = voice(language);
        let mut all = Texts::new();
        let mut add = |what: &str, text: String| all.push((what.to_owned(), text));
        for state in ["over", "under", "fault", "gap", ""] {
            add(state, state_words(&voice, state));
        }
        for link in [
            LinkNow::Waiting,
            LinkNow::Hearing,
            LinkNow::Silent,
            LinkNow::Lost,
        ] {
            add("link", link.words(&voice));
        }
        for kind in MarkKind::ALL {
            for mark in stamped(voice, &[(kind, ""), (kind, "[device K7QF]")]) {
                add("mark", mark.told(&voice));
            }
        }
        let mut run = Run::new(language);
        run.feed.link(LinkNow::Silent);
        run.feed.heard(Instant::now());
        run.mark(MarkKind::PumpStopped, "");
        let withdrawal = run.feed.marks().withdrawal(None, 9.0).expect("a mark");
        run.feed.entry(&Entry::Mark(withdrawal));
        let frame = run.feed.frame(Instant::now());
        for event in frame.events.all() {
            add(&format!("{:?}", event.kind), event.text.clone());
        }
        all
    });
}
