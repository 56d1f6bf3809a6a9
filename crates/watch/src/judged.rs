//! What the analyser says now, as plain data with its words.

use findings::{DecayPhase, IsolationBasis, Live, PassWorth, Phase, Verdict};
use serde::Serialize;
use wording::{Voice, say};

use crate::{
    ready::{self, Ready},
    words::answer_words,
};

/// Where the job stands.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PhaseNow {
    /// No measurement yet.
    #[default]
    Waiting,
    /// The pump is working, the target is not reached.
    PullDown,
    /// The target is reached, the pump still connected.
    AtTarget,
    /// Isolated; in a pressure test, the supply is shut.
    Hold,
    /// A pressure test, and its supply is not shut yet.
    UnderSupply,
    /// A pressure test whose gas was let out.
    Vented,
}

impl PhaseNow {
    /// In words.
    pub fn words(self, voice: &Voice) -> String {
        let phase = match self {
            Self::Waiting => Phase::Waiting,
            Self::PullDown => Phase::PullDown,
            Self::AtTarget => Phase::AtTarget,
            Self::Hold => Phase::Hold,
            Self::UnderSupply => {
                return wording::decay_phase_words(voice, DecayPhase::UnderSupply);
            }
            Self::Vented => return wording::decay_phase_words(voice, DecayPhase::Vented),
        };
        wording::phase_words(voice, phase)
    }
}

impl From<Phase> for PhaseNow {
    fn from(phase: Phase) -> Self {
        match phase {
            Phase::Waiting => Self::Waiting,
            Phase::PullDown => Self::PullDown,
            Phase::AtTarget => Self::AtTarget,
            Phase::Hold => Self::Hold,
        }
    }
}

/// What is judged, looked at once a second.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct JudgedNow {
    /// Phase.
    pub phase: PhaseNow,
    /// The way to the target.
    pub target: TargetNow,
    /// The stall that goes on now.
    pub stall: Option<StallNow>,
    /// Whether the pump-side valve may be shut.
    pub ready: Ready,
    /// The hold that goes on now.
    pub hold: Option<HoldNow>,
    /// Rounds so far, this one included.
    pub rounds: usize,
    /// When the pump was stopped with its valve open, s, as marks or curve show.
    pub pump_open_at_stop: bool,
}

/// The way to the target.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct TargetNow {
    /// The target, micron.
    pub micron: f64,
    /// The level below which the valve may be shut though the pressure still falls
    /// slowly, micron.
    pub low_micron: f64,
    /// The ceiling of the hold, micron.
    pub ceiling_micron: f64,
    /// When it was reached in this round, s of the run.
    pub reached_s: Option<f64>,
    /// Time to it: early end, likely, late end of the 80 % range, s from now.
    pub in_s: Option<(f64, f64, f64)>,
    /// Where it will end instead, micron.
    pub ends_near_micron: Option<f64>,
    /// In words.
    pub words: String,
}

/// A stall that goes on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StallNow {
    /// Its code: `foaming`, `boil_off`, `ice`, `floor`, `choked`.
    pub kind: &'static str,
    /// In words.
    pub label: String,
    /// Since when, s of the run.
    pub since_s: f64,
    /// Its level, micron.
    pub level_micron: f64,
    /// What usually helps.
    pub helps: String,
}

/// How a hold stands.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HoldState {
    /// Not long enough yet.
    #[default]
    Running,
    /// Not long enough yet, but it will not pass any more.
    WillNotPass,
    /// Long enough, and it passes.
    Passed,
    /// Long enough and passes by the rule, though a leak is indicated.
    PassedWithLeak,
    /// A criterion is broken.
    Failed,
    /// Long enough, but the record cannot decide.
    NotProven,
}

/// The hold that goes on.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct HoldNow {
    /// When the system was isolated, s of the run.
    pub since_s: f64,
    /// True where a mark says so, or the reviewer; else the curve does.
    pub stamped: bool,
    /// How long it lasts, how long it has to, and what is left, s.
    pub held_s: f64,
    /// See `held_s`.
    pub needed_s: f64,
    /// See `held_s`.
    pub left_s: f64,
    /// The gauge was not heard inside it, for so long in all, s, that it proves nothing.
    pub interrupted_s: Option<f64>,
    /// Not to be exceeded, micron.
    pub ceiling_micron: f64,
    /// How it stands.
    pub state: HoldState,
    /// Kind of rise: `none`, `leak`, `moisture`, `leak_and_moisture`, `unclear`.
    pub rise: &'static str,
    /// Probability that this kind is right, 0 to 1; for programs. Views show `answer`,
    /// which has the digits it deserves.
    pub confidence: Option<f64>,
    /// Straight part with its 95 % interval, micron/min.
    pub leak_micron_per_min: Option<(f64, f64, f64)>,
    /// The running answer in words.
    pub answer: String,
    /// What is left in words: "7 min left", "long enough".
    pub clock: String,
}

impl JudgedNow {
    /// What a look at a run says.
    pub fn of(voice: &Voice, live: &Live) -> Self {
        let codes = live.findings.findings.iter().map(findings::Finding::code);
        Self {
            phase: live.phase.into(),
            target: target(voice, live),
            stall: live.stall.as_ref().map(|s| StallNow {
                kind: s.kind.word(),
                label: wording::stall_words(voice, s.kind),
                since_s: s.start_s,
                level_micron: s.level_micron,
                helps: wording::stall_advice(voice, s.kind),
            }),
            ready: Ready::of(live),
            hold: hold(voice, live),
            rounds: live.rounds,
            pump_open_at_stop: codes
                .into_iter()
                .any(|code| code == findings::Reason::PumpOpenAtStop.word()),
        }
    }
}

fn target(voice: &Voice, live: &Live) -> TargetNow {
    let criteria = &live.findings.criteria;
    let round = live.findings.rounds.last();
    let pulldown = round.and_then(|r| r.pulldown.as_ref());
    let words = match live.phase {
        Phase::PullDown => match (&live.to_target, &live.not_at_this_rate, &live.stall) {
            (Some(f), ..) => {
                let range = voice.about_range(f.early_s, f.late_s);
                say!(voice, "way-in", range = range)
            }
            (None, Some(rate), _) => {
                let floor = voice.reading(rate.floor_micron);
                say!(voice, "way-not-at-this-rate", floor = floor)
            }
            (None, None, Some(_)) => say!(voice, "way-while-it-stalls"),
            (None, None, None) => say!(voice, "way-no-time"),
        },
        Phase::AtTarget => say!(voice, "way-reached"),
        Phase::Waiting | Phase::Hold => String::new(),
    };
    TargetNow {
        micron: criteria.target_micron,
        low_micron: ready::low_micron(criteria.target_micron, criteria.ceiling_micron),
        ceiling_micron: criteria.ceiling_micron,
        reached_s: pulldown.and_then(|p| p.reached_target_s),
        in_s: live.to_target.map(|f| (f.early_s, f.likely_s, f.late_s)),
        ends_near_micron: live.not_at_this_rate.map(|r| r.floor_micron),
        words,
    }
}

fn hold(voice: &Voice, live: &Live) -> Option<HoldNow> {
    let round = live.findings.rounds.last()?;
    let hold = round.hold.as_ref()?;
    let left_s = live.hold_left_s.unwrap_or(0.0);
    // a hold that goes on may not be the one that counts
    let verdict = match live.hold_counts() {
        true => live.findings.verdict,
        false => Verdict::NotProven,
    };
    let state = match (verdict, left_s > 0.0, &live.early_answer) {
        (Verdict::Fail, ..) => HoldState::Failed,
        (_, true, Some(_)) => HoldState::WillNotPass,
        (_, true, None) => HoldState::Running,
        (Verdict::Pass, false, _) => match live.findings.pass() {
            Some(PassWorth::WithLeak(_)) => HoldState::PassedWithLeak,
            _ => HoldState::Passed,
        },
        (Verdict::NotProven, false, _) => HoldState::NotProven,
    };
    let answer = answer_words(voice, live, &hold.rise, Some(hold.duration_s));
    Some(HoldNow {
        since_s: hold.isolated_at_s,
        stamped: matches!(hold.basis, IsolationBasis::Mark | IsolationBasis::Given),
        held_s: hold.duration_s,
        needed_s: 60.0 * live.findings.criteria.hold_min,
        left_s,
        interrupted_s: interrupted_s(live, hold),
        ceiling_micron: live.findings.criteria.ceiling_micron,
        state,
        rise: hold.rise.kind.word(),
        confidence: hold.rise.confidence,
        leak_micron_per_min: hold
            .rise
            .leak_micron_per_min
            .map(|e| (e.value, e.low, e.high)),
        answer,
        clock: clock(voice, state, hold.duration_s, left_s),
    })
}

/// How long a hold was not seen, where that is why it proves nothing: outages in it that
/// the analyser counts as missing time, 10 s or more.
fn interrupted_s(live: &Live, hold: &findings::Hold) -> Option<f64> {
    const COUNTS_S: f64 = 10.0;
    let inside = live.findings.data.gaps.iter().map(|gap| {
        let from_s = gap.start_s.max(hold.isolated_at_s);
        gap.end_s.min(hold.end_s) - from_s
    });
    Some(inside.filter(|s| *s > COUNTS_S).sum::<f64>()).filter(|s| *s > 0.0)
}

/// What is left of the hold, or how long it lasted where waiting for its end gives nothing.
fn clock(voice: &Voice, state: HoldState, held_s: f64, left_s: f64) -> String {
    let lost = matches!(state, HoldState::Failed | HoldState::WillNotPass);
    match left_s > 0.0 {
        true if lost => say!(voice, "held-so-far", time = voice.about(held_s)),
        true => say!(voice, "left", time = voice.to_go(left_s)),
        false => say!(voice, "long-enough"),
    }
}

#[cfg(test)]
mod tests {
    use analyser::{Analyser, Settings};
    use vacuum::{Entry, Mark, MarkKind, Pressure, Reading, Refrigerant};

    use super::*;

    /// Looks every half minute at a hold that rises by `micron_per_min` from 150 micron.
    fn looks(micron_per_min: f64) -> Vec<HoldNow> {
        let mut analyser = Analyser::new(Settings {
            volume_l: Some(2.8),
            refrigerant: Refrigerant::named("R-600a"),
            ..Settings::default()
        });
        let mut noise = 7_u64;
        let mut out = Vec::new();
        for second in 0..1_800_u32 {
            let t = f64::from(second);
            if second == 900 {
                analyser.push_mark(&Mark {
                    elapsed_s: t,
                    kind: MarkKind::PumpSideShut,
                    note: String::new(),
                });
            }
            noise = noise
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let jitter = (noise >> 40) as f64 / (1_u64 << 24) as f64 - 0.5;
            let micron = match second < 900 {
                true => 150.0 + 700_000.0 * (-t / 40.0).exp(),
                false => 150.0 + micron_per_min / 60.0 * (t - 900.0),
            };
            let pressure = Pressure::from_micron(micron + jitter).expect("a pressure");
            analyser.push(&Entry::Reading(Reading::measured(t, pressure)));
            if second > 900 && second % 30 == 0 {
                out.extend(JudgedNow::of(&Voice::default(), &analyser.live()).hold);
            }
        }
        out
    }

    #[test]
    fn a_leak_below_the_ceiling_ends_as_a_pass_by_the_rule_with_its_leak() {
        let looks = looks(8.0);
        let last = looks.last().expect("a hold");
        assert_eq!(last.state, HoldState::PassedWithLeak);
        let one_breath = "PASS by the rule; a leak is indicated: ";
        assert!(last.answer.starts_with(one_breath), "{}", last.answer);
        assert!(last.answer.ends_with(" g/year"), "{}", last.answer);
    }

    /// Whatever is said while a hold goes on is a tendency, has its odds, or is not clear.
    #[test]
    fn no_running_answer_is_a_percentage() {
        for now in [0.0, 2.0, 8.0, 60.0].into_iter().flat_map(looks) {
            assert!(!now.answer.contains('%'), "{}", now.answer);
            let sure = now.confidence.is_some_and(|c| c >= 0.9) && now.rise != "unclear";
            let tends = now.answer.contains("not certain yet");
            let over = now.state != HoldState::Running;
            assert!(over || tends != sure || now.rise == "unclear", "{now:?}");
        }
    }
}
