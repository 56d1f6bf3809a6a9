//! What is wrong with the reading now, said within three seconds and with a running clock:
//! whoever looks up must see at once that the large number is not the pressure.
//!
//! A gauge that speaks seldom is given twice its usual pause before it is missed.

use std::time::{Duration, Instant};

use serde::Serialize;
use vacuum::ReadingState;
use wording::{Voice, say};

use crate::judged::{JudgedNow, PhaseNow};

/// A gauge is missed after so long, s …
const MISSED_S: f64 = 2.0;
/// … or after so many of its usual pauses.
const MISSED_PAUSES: f64 = 2.2;
/// What the analyser counts as missing time in a hold: longer than 10 s and five pauses.
const INTERRUPTS_S: f64 = 10.0;
const INTERRUPTS_PAUSES: f64 = 5.0;
/// Lines that are not understood explain a missing reading for so long, s.
const UNREADABLE_S: f64 = 5.0;
/// Characters of such a line that are shown.
const SHOWN_CHARS: usize = 40;

/// What kind of trouble.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TroubleKind {
    /// Connected, or never heard, and nothing comes that is a pressure.
    #[default]
    NoReading,
    /// The connection is lost.
    Lost,
    /// The pressure is above the gauge's range.
    Over,
    /// The gauge reports a fault.
    Fault,
    /// Lines come that the gauge format does not explain.
    Unreadable,
}

/// What is wrong with the reading now.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct TroubleNow {
    /// What kind.
    pub kind: TroubleKind,
    /// For how long there has been no pressure, s.
    pub for_s: f64,
    /// One or two words in capitals, for the largest type.
    pub word: String,
    /// The running clock: "0:13".
    pub clock: String,
    /// What it is and what to do: whole sentences, the most urgent first.
    pub text: String,
    /// False for what is usual, as a pressure over range before the pump has worked.
    pub is_grave: bool,
    /// It has lasted so long that the hold that goes on proves nothing.
    pub interrupts_hold: bool,
}

/// What was heard of the judged gauge, and when.
#[derive(Debug, Clone, Default)]
pub(crate) struct TroubleWatch {
    /// The first moment anything could be missed from.
    begun: Option<Instant>,
    /// The newest line of the gauge, whatever it said.
    heard: Option<Instant>,
    /// The newest pressure, or that it is under the range.
    measured: Option<Instant>,
    /// The newest answer of the gauge, over range among them.
    answered: Option<Instant>,
    /// The usual pause between pressures, s.
    pause_s: f64,
    /// The newest line that was not understood.
    unreadable: Option<(Instant, String)>,
    /// Answers come whose moment nobody knows, as from a record: then none is missed.
    untimed: bool,
    /// What goes on was told.
    told: bool,
    /// That the gauge is back was told by somebody else.
    back_told: bool,
}

/// What else is known.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Known<'a> {
    pub(crate) voice: &'a Voice,
    pub(crate) judged: &'a JudgedNow,
    /// The connection is lost.
    pub(crate) lost: bool,
    /// State word of the newest row.
    pub(crate) state: &'static str,
}

impl TroubleWatch {
    /// Recording began, at the latest now.
    pub(crate) fn begin(&mut self, now: Instant) {
        self.begun.get_or_insert(now);
    }

    /// A line of the gauge came.
    pub(crate) fn heard(&mut self, at: Instant) {
        self.begin(at);
        self.heard = Some(at);
    }

    /// The line that came was an answer: a pressure, under the range, or `over` it. True
    /// where what was told is over by that.
    pub(crate) fn answered(&mut self, over: bool) -> bool {
        let Some(at) = self.heard else {
            self.untimed = true;
            return false;
        };
        self.untimed = false;
        if let Some(before) = self.answered {
            let pause_s = at.saturating_duration_since(before).as_secs_f64();
            // an outage says nothing of the usual pause
            match self.pause_s {
                0.0 => self.pause_s = pause_s,
                usual if pause_s < 4.0 * usual.max(0.5) => self.pause_s += 0.2 * (pause_s - usual),
                _ => {}
            }
        }
        self.answered = Some(at);
        if !over {
            self.measured = Some(at);
        }
        self.unreadable = None;
        let back_told = std::mem::take(&mut self.back_told);
        std::mem::take(&mut self.told) && !back_told
    }

    /// That the gauge is back was told.
    pub(crate) fn back_was_told(&mut self) {
        self.back_told = self.told;
    }

    /// A line came that was not understood.
    pub(crate) fn unreadable(&mut self, at: Instant, line: &str) {
        self.begin(at);
        let mut shown: String = line.chars().take(SHOWN_CHARS).collect();
        if shown.chars().count() < line.chars().count() {
            shown.push('…');
        }
        self.unreadable = Some((at, shown));
    }

    /// Since when the gauge has given no answer.
    fn since(&self) -> Option<Instant> {
        self.answered.or(self.begun).filter(|_| !self.untimed)
    }

    fn missed_s(&self) -> f64 {
        MISSED_S.max(MISSED_PAUSES * self.pause_s)
    }

    /// When the gauge will be missed, where that was not told yet.
    pub(crate) fn due(&self) -> Option<Instant> {
        let since = self.since().filter(|_| !self.told)?;
        Some(since + Duration::from_secs_f64(self.missed_s()))
    }

    /// The trouble that begins to be told now.
    pub(crate) fn begins(&mut self, known: &Known<'_>, now: Instant) -> Option<TroubleNow> {
        if self.told || self.due().is_none_or(|due| now < due) {
            return None;
        }
        self.told = true;
        self.now(known, now)
    }

    /// What is wrong at this moment.
    pub(crate) fn now(&self, known: &Known<'_>, now: Instant) -> Option<TroubleNow> {
        let voice = known.voice;
        let age_s = |at: Instant| now.saturating_duration_since(at).as_secs_f64();
        let silent_s = age_s(self.since()?);
        let missed = silent_s >= self.missed_s();
        let state = known.state;
        let recent = |at: &Instant| age_s(*at) < UNREADABLE_S.max(MISSED_PAUSES * self.pause_s);
        let unreadable = self.unreadable.as_ref().filter(|(at, _)| recent(at));
        let is_state = |s: ReadingState| state == s.word();
        let kind = match known.lost {
            true => TroubleKind::Lost,
            // a bound is an answer of the gauge: it stands at once
            _ if is_state(ReadingState::Over) && !missed => TroubleKind::Over,
            _ if !missed => return None,
            _ if is_state(ReadingState::Fault) && self.heard.as_ref().is_some_and(recent) => {
                TroubleKind::Fault
            }
            _ if unreadable.is_some() => TroubleKind::Unreadable,
            _ => TroubleKind::NoReading,
        };
        let for_s = match kind {
            TroubleKind::Over => self.measured.or(self.begun).map_or(silent_s, age_s),
            _ => silent_s,
        };
        let in_hold = known.judged.phase == PhaseNow::Hold;
        let interrupts = INTERRUPTS_S.max(INTERRUPTS_PAUSES * self.pause_s);
        let interrupts_hold = in_hold && kind != TroubleKind::Over && for_s > interrupts;
        let clock = voice.clock(for_s.floor());
        let time = voice.running(for_s);
        let (word, what) = match kind {
            TroubleKind::NoReading => ("trouble-word-no-reading", "trouble-no-reading"),
            TroubleKind::Lost => ("trouble-word-lost", "trouble-lost"),
            TroubleKind::Over if in_hold => ("trouble-word-over", "trouble-over-hold"),
            TroubleKind::Over => ("trouble-word-over", "trouble-over"),
            TroubleKind::Fault => ("trouble-word-fault", "trouble-fault"),
            TroubleKind::Unreadable => ("trouble-word-unreadable", "trouble-unreadable"),
        };
        let mut said = Vec::new();
        if interrupts_hold {
            said.push(say!(voice, "trouble-hold", time = time.as_str()));
        }
        said.push(say!(voice, what, time = time.as_str()));
        if let Some((_, line)) = unreadable.filter(|_| kind == TroubleKind::Unreadable) {
            said.push(say!(voice, "trouble-heard", line = line.as_str()));
        }
        Some(TroubleNow {
            kind,
            for_s,
            word: say!(voice, word),
            clock,
            text: said.join(" "),
            is_grave: kind != TroubleKind::Over || in_hold,
            interrupts_hold,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judged::HoldNow;

    fn holding() -> JudgedNow {
        JudgedNow {
            phase: PhaseNow::Hold,
            hold: Some(HoldNow::default()),
            ..JudgedNow::default()
        }
    }

    fn look(
        watch: &TroubleWatch,
        judged: &JudgedNow,
        (lost, state): (bool, &'static str),
        now: Instant,
    ) -> Option<TroubleNow> {
        let voice = Voice::default();
        let known = Known {
            voice: &voice,
            judged,
            lost,
            state,
        };
        watch.now(&known, now)
    }

    /// Heard every so many seconds, twenty times.
    fn heard(every_s: f64, start: Instant) -> (TroubleWatch, Instant) {
        let mut watch = TroubleWatch::default();
        let mut at = start;
        for _ in 0..20 {
            watch.heard(at);
            watch.answered(false);
            at += Duration::from_secs_f64(every_s);
        }
        (watch, at - Duration::from_secs_f64(every_s))
    }

    #[test]
    fn silence_is_said_within_three_seconds_with_a_clock() {
        for every_s in [0.1, 0.5, 1.0] {
            let (watch, last) = heard(every_s, Instant::now());
            let at = |s| last + Duration::from_secs_f64(s);
            let state = (false, "ok");
            assert_eq!(look(&watch, &holding(), state, at(every_s)), None);
            assert!(watch.due().is_some_and(|due| due <= at(3.0)), "{every_s}");
            let said = look(&watch, &holding(), state, at(3.0)).expect("said");
            assert_eq!(
                (said.kind, said.clock.as_str()),
                (TroubleKind::NoReading, "0:03")
            );
            assert!(!said.interrupts_hold);
            let later = look(&watch, &holding(), state, at(13.4)).expect("said");
            assert!(later.interrupts_hold);
            assert!(
                later.text.starts_with("Hold interrupted for 13 s: ")
                    && later.text.contains("start the hold again with s"),
                "{}",
                later.text
            );
        }
    }

    #[test]
    fn a_gauge_that_speaks_seldom_is_not_missed_too_soon() {
        let (watch, last) = heard(10.0, Instant::now());
        let state = (false, "ok");
        let at = |s| last + Duration::from_secs_f64(s);
        assert_eq!(look(&watch, &holding(), state, at(20.0)), None);
        let said = look(&watch, &holding(), state, at(23.0)).expect("said");
        assert!(!said.interrupts_hold, "five pauses");
    }

    #[test]
    fn a_lost_gauge_is_said_at_once_and_over_range_is_an_answer() {
        let (mut watch, last) = heard(0.5, Instant::now());
        let at = |s| last + Duration::from_secs_f64(s);
        let lost = look(&watch, &holding(), (true, "gap"), at(0.1)).expect("said");
        assert_eq!(lost.kind, TroubleKind::Lost);
        watch.heard(at(0.5));
        watch.answered(true);
        let over = (false, "over");
        let usual = look(&watch, &JudgedNow::default(), over, at(0.6)).expect("said");
        assert_eq!((usual.kind, usual.is_grave), (TroubleKind::Over, false));
        let said = look(&watch, &holding(), over, at(0.6)).expect("said");
        assert_eq!((said.kind, said.is_grave), (TroubleKind::Over, true));
        // the clock of a silence after it does not count what was over range
        watch.heard(at(100.0));
        watch.answered(true);
        let long = look(&watch, &holding(), over, at(100.5)).expect("said");
        assert_eq!(long.clock, "1:40");
        let silent = look(&watch, &holding(), over, at(104.0)).expect("said");
        assert_eq!(
            (silent.kind, silent.clock.as_str()),
            (TroubleKind::NoReading, "0:04")
        );
        // under range is as low as the gauge can tell
        watch.heard(at(105.0));
        watch.answered(false);
        let under = (false, "under");
        assert_eq!(look(&watch, &holding(), under, at(105.1)), None);
    }

    #[test]
    fn a_wrong_format_says_so_and_shows_what_came() {
        let mut watch = TroubleWatch::default();
        let start = Instant::now();
        let at = |s| start + Duration::from_secs_f64(s);
        watch.begin(start);
        for s in 0..5 {
            watch.unreadable(
                at(f64::from(s)),
                r"P1=4.2E-1\x1b[31m;T=21.5;and so on, at length",
            );
        }
        let judged = JudgedNow::default();
        let said = look(&watch, &judged, (false, ""), at(3.0)).expect("said");
        assert_eq!(said.kind, TroubleKind::Unreadable);
        assert!(
            said.text
                .contains(r"Heard: P1=4.2E-1\x1b[31m;T=21.5;and so on,"),
            "{}",
            said.text
        );
        // nothing at all is another matter
        let silent = look(&watch, &judged, (false, ""), at(30.0)).expect("said");
        assert_eq!(silent.kind, TroubleKind::NoReading);
    }

    /// A record that is read back has no moments: nothing is missed in it.
    #[test]
    fn without_moments_nothing_is_missed() {
        let mut watch = TroubleWatch::default();
        let start = Instant::now();
        watch.begin(start);
        watch.answered(false);
        let later = start + Duration::from_secs(60);
        assert_eq!(look(&watch, &holding(), (false, "ok"), later), None);
        assert_eq!(watch.due(), None);
    }

    #[test]
    fn each_trouble_begins_once() {
        let (mut watch, last) = heard(0.5, Instant::now());
        let voice = Voice::default();
        let judged = holding();
        let known = Known {
            voice: &voice,
            judged: &judged,
            lost: false,
            state: "ok",
        };
        let at = |s| last + Duration::from_secs_f64(s);
        assert_eq!(watch.begins(&known, at(1.0)), None);
        assert!(watch.begins(&known, at(2.5)).is_some());
        assert_eq!(watch.begins(&known, at(3.0)), None);
        assert_eq!(watch.due(), None);
        watch.heard(at(9.0));
        assert!(watch.answered(false), "over");
        assert!(watch.due().is_some());
    }
}
