//! What is said at one moment does not contradict itself: every rehearsal is played, with
//! its marks and without, and looked at every few seconds of its own time. Each look is
//! held against a table of pairs that cannot both be true.

use std::{
    sync::{
        Mutex,
        atomic::{AtomicUsize, Ordering},
    },
    time::Instant,
};

use analyser::{Analyser, Settings};
use findings::{Live, Phase, Verdict};
use rehearsal::{Scenario, Simulation, scenarios};
use vacuum::{Criteria, Entry};
use watch::{
    EventKind, Feed, Frame, PhaseNow, Snapshot,
    judged::HoldState,
    order::{Step, StepState},
    ready::Ready,
};

/// Looked at so often, s of the run.
const LOOK_EVERY_S: f64 = 7.0;

/// One look at a run.
struct Look<'a> {
    now: &'a Snapshot,
    /// The line in full.
    line: String,
}

impl Look<'_> {
    fn micron(&self) -> Option<f64> {
        let p = &self.now.pressure;
        p.micron.filter(|_| p.state == "ok")
    }

    fn says(&self, trend: &str) -> bool {
        self.now.pressure.trend.starts_with(trend)
    }

    /// Change a minute as a share of the pressure.
    fn share(&self) -> f64 {
        let trend = self.now.pressure.trend_micron_per_min;
        trend.zip(self.micron()).map_or(0.0, |(t, p)| t / p)
    }

    fn phase(&self) -> PhaseNow {
        self.now.judged.phase
    }

    fn rise(&self) -> &str {
        self.now.judged.hold.as_ref().map_or("", |h| h.rise)
    }

    fn state(&self) -> Option<HoldState> {
        self.now.judged.hold.as_ref().map(|h| h.state)
    }

    fn is_above_target(&self) -> bool {
        let target = self.now.judged.target.micron;
        self.micron().is_some_and(|p| p > target)
    }

    fn prompts_to_shut(&self) -> bool {
        let next = |s: &Step| s.state == StepState::Next && s.key == Some('s');
        let stopped = self.now.marks.iter().any(|m| m.code == "pump_stopped");
        self.line.contains("low enough")
            || (self.phase() == PhaseNow::AtTarget
                && self.now.order.steps.iter().any(next)
                && !stopped)
    }

    fn says_hold_on(&self) -> bool {
        let hold = |s: &Step| s.text.contains("let it hold");
        self.now.order.steps.iter().any(hold) || self.line.contains(" left")
    }
}

/// True where both are said.
type Both = fn(&Look<'_>) -> bool;

/// Pairs that no screen may show together.
const PAIRS: &[(&str, Both)] = &[
    ("no rise, and rising or falling", |l| {
        l.rise() == "none" && (l.says("rising") || l.says("falling"))
    }),
    ("a named rise, and falling or steady", |l| {
        let named = ["leak", "moisture", "leak_and_moisture"].contains(&l.rise());
        named && (l.says("falling") || l.says("steady"))
    }),
    ("a pressure that would be below zero in a second", |l| {
        l.share() < -60.0
    }),
    ("a stall, and falling or rising fast", |l| {
        let stall = l.now.judged.stall.as_ref();
        let moves = l.says("falling") || l.says("rising");
        stall.is_some_and(|s| s.kind != "choked") && moves && l.share().abs() > 0.2
    }),
    ("a stall near a level, and a pressure far from it", |l| {
        let stall = l.now.judged.stall.as_ref();
        stall.zip(l.micron()).is_some_and(|(s, p)| {
            let far = match s.kind {
                "choked" => 5.0,
                _ => 2.0,
            };
            p < s.level_micron / far || p > s.level_micron * far
        })
    }),
    ("a stall, and a phase that has none", |l| {
        l.now.judged.stall.is_some() && l.phase() != PhaseNow::PullDown
    }),
    ("a prompt to shut the valve, and falling fast", |l| {
        l.prompts_to_shut() && l.share() < -0.1 && l.says("falling")
    }),
    ("a prompt to shut the valve, and above the target", |l| {
        l.prompts_to_shut() && l.is_above_target()
    }),
    ("a prompt to shut the valve, and let it pull", |l| {
        let pull = l.line.contains("let it pull") || l.now.order.advice.contains("let it pull");
        l.prompts_to_shut() && pull
    }),
    ("not ready, and a prompt to shut the valve", |l| {
        l.phase() == PhaseNow::AtTarget && l.now.judged.ready != Ready::Ready && l.prompts_to_shut()
    }),
    ("will not pass or fails, and keep holding", |l| {
        let lost = matches!(l.state(), Some(HoldState::WillNotPass | HoldState::Failed));
        lost && l.says_hold_on()
    }),
    ("has failed, and will not pass", |l| {
        l.state() == Some(HoldState::Failed) && l.line.contains("will not pass")
    }),
    ("time to target, and rising", |l| {
        l.phase() == PhaseNow::PullDown && l.line.contains("target in") && l.says("rising")
    }),
    ("ends near a level, and well below it already", |l| {
        let floor = l.now.judged.target.ends_near_micron;
        floor
            .zip(l.micron())
            .is_some_and(|(floor, p)| p < 0.9 * floor)
    }),
    ("ends near a level, and falling fast towards nothing", |l| {
        l.now.judged.target.ends_near_micron.is_some() && l.share() < -0.3
    }),
    ("target reached, and above it", |l| {
        l.phase() == PhaseNow::AtTarget && l.is_above_target()
    }),
    ("target to come, and below it", |l| {
        l.phase() == PhaseNow::PullDown
            && l.line.contains("target")
            && l.micron().is_some()
            && !l.is_above_target()
    }),
    ("the line, and another phase", |l| {
        let holds = l.line.contains("hold, ");
        l.now.line.phase != l.phase() || holds != (l.phase() == PhaseNow::Hold)
    }),
    ("the line, and another trend", |l| {
        let trend = l.now.pressure.trend.as_str();
        l.micron().is_some() && !trend.is_empty() && !l.line.split(" · ").any(|p| p == trend)
    }),
    ("advice about a stall, and none", |l| {
        l.now.order.advice.starts_with("Stalls:") && l.now.judged.stall.is_none()
    }),
    ("long enough, and time left", |l| {
        let hold = l.now.judged.hold.as_ref();
        hold.is_some_and(|h| (h.left_s > 0.0) == (h.clock == "long enough"))
    }),
    ("decided, and a hold that goes on", |l| {
        let hold = l.now.judged.hold.as_ref();
        let over = [
            HoldState::Passed,
            HoldState::PassedWithLeak,
            HoldState::NotProven,
        ];
        hold.is_some_and(|h| over.contains(&h.state) && h.left_s > 0.0)
    }),
];

/// Plays a rehearsal and gives what was said that cannot both be true.
fn play(scenario: &'static Scenario, with_marks: bool) -> Vec<String> {
    let marks = if with_marks { "" } else { ", no marks" };
    let name = format!("{}{marks}", scenario.name);
    let run = Simulation::new(scenario, scenario.seed);
    let mut analyser = Analyser::new(Settings::default().with_job(&scenario.job));
    let mut feed = Feed::new(Some(&scenario.job), &Criteria::default());
    let mut wrong = Vec::new();
    let mut next_s = 0.0;
    for event in run {
        let entry = event.entry();
        if !with_marks && matches!(entry, Entry::Mark(_)) {
            continue;
        }
        analyser.push(&entry);
        feed.entry(&entry);
        if event.t_s < next_s {
            continue;
        }
        next_s = event.t_s + LOOK_EVERY_S;
        analyser.tidy();
        feed.look(&analyser.live(), &[]);
        let frame = feed.frame(Instant::now());
        let found = contradictions(&frame.now);
        let at_s = event.t_s;
        wrong.extend(found.iter().map(|w| format!("{name}: {at_s:.0} s: {w}")));
    }
    let live = analyser.live();
    feed.look(&live, &[]);
    let frame = feed.frame(Instant::now());
    let at_end = at_end(&frame, &live);
    wrong.extend(at_end.iter().map(|w| format!("{name}: at the end: {w}")));
    wrong
}

fn contradictions(now: &Snapshot) -> Vec<String> {
    let look = Look {
        now,
        line: now.line.words(usize::MAX),
    };
    let said = |pair: &str| {
        let stall = now.judged.stall.as_ref().map(|s| (s.kind, s.level_micron));
        format!(
            "{pair}: {} | {} | {:?} {stall:?} {:?}",
            look.line, now.order.advice, now.judged.phase, now.pressure.trend_micron_per_min
        )
    };
    let found = PAIRS.iter().filter(|(_, both)| both(&look));
    found.map(|(pair, _)| said(pair)).collect()
}

/// What was told on the way, against what the sheet will say.
fn at_end(frame: &Frame, live: &Live) -> Vec<String> {
    let mut wrong = Vec::new();
    // one clock: the moment told is the moment of the timeline
    let rounds = live.findings.rounds.iter();
    let sheet: Vec<f64> = rounds
        .filter_map(|r| r.pulldown.as_ref()?.reached_target_s)
        .collect();
    let reached = frame
        .events
        .all()
        .filter(|e| e.kind == EventKind::TargetReached);
    let told: Vec<f64> = reached.map(|e| e.at_s).collect();
    if told != sheet {
        wrong.push(format!("target reached: told {told:?}, sheet {sheet:?}"));
    }
    let state = frame.now.judged.hold.as_ref().map(|h| h.state);
    use HoldState::{Failed, Passed, PassedWithLeak};
    let fits = match (live.findings.verdict, state) {
        (Verdict::Pass, state) => matches!(state, Some(Passed | PassedWithLeak)),
        (_, None) => live.phase != Phase::Hold,
        (Verdict::Fail, state) => state == Some(Failed),
        (Verdict::NotProven, state) => !matches!(state, Some(Passed | PassedWithLeak | Failed)),
    };
    if !fits {
        let verdict = live.findings.verdict;
        wrong.push(format!("verdict {verdict:?}, shown {state:?}"));
    }
    wrong
}

#[test]
fn no_two_statements_contradict_each_other_in_any_rehearsal() {
    let runs: Vec<(&'static Scenario, bool)> = scenarios()
        .iter()
        .flat_map(|s| [(s, true), (s, false)])
        .collect();
    let next = AtomicUsize::new(0);
    let wrong = Mutex::new(Vec::new());
    let workers = std::thread::available_parallelism().map_or(2, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some((scenario, marks)) = runs.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let found = play(scenario, *marks);
                    wrong.lock().expect("no panic").extend(found);
                }
            });
        }
    });
    let wrong = wrong.into_inner().expect("no panic");
    let count = wrong.len();
    assert!(
        wrong.is_empty(),
        "{count} contradictions:\n{}",
        wrong.join("\n")
    );
}
