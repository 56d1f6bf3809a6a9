//! What keys do: a state machine without a screen.

use std::time::{Duration, Instant};

use vacuum::{MarkKind, TestKind};
use watch::{
    Act, Snapshot,
    keys::{mark_of_key, offered},
};

use wording::{Voice, mark_words, say};

use crate::{code::PageCode, keys::Key, undo::Undo};

/// An answer stands so long.
const STANDS: Duration = Duration::from_secs(5);
/// A question stands so long; then it is as good as answered with no.
const ASKED_FOR: Duration = Duration::from_secs(30);
/// Longest remark typed here; the record takes longer ones.
const LONGEST_REMARK: usize = 500;

/// What the keyboard is for now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Mode {
    /// Keys stamp.
    Watching,
    /// A remark is being typed.
    Typing(String),
    /// This was asked, and is done when the answer is yes.
    Asked(String, Act),
    /// The page with everything in full is shown.
    Info,
    /// The address of the page is shown.
    Code,
}

/// The view's own state.
#[derive(Debug)]
pub(crate) struct App {
    pub(crate) mode: Mode,
    /// Where the page of this recording is, if it has one.
    pub(crate) page: Option<PageCode>,
    /// The voice of the recording: keys are answered in it.
    pub(crate) voice: Voice,
    /// The terminal is another one than the recording's, which goes on without it.
    pub(crate) far: bool,
    undo: Undo,
    /// The letters of the acts that the recording offers.
    pub(crate) stamps: String,
    answer: Option<(String, Instant)>,
    asked_at: Option<Instant>,
}

impl Default for App {
    fn default() -> Self {
        Self {
            mode: Mode::Watching,
            page: None,
            voice: Voice::default(),
            far: false,
            undo: Undo::default(),
            stamps: offered(TestKind::Evacuation, None),
            answer: None,
            asked_at: None,
        }
    }
}

impl App {
    /// For a terminal that only looks on.
    pub(crate) fn far(page: Option<PageCode>) -> Self {
        Self {
            far: true,
            page,
            ..Self::default()
        }
    }

    /// True where this key ends the look, and only that.
    pub(crate) fn leaves(&self, key: Key) -> bool {
        let leave = matches!(key, Key::Char('d' | 'D')) && self.mode == Mode::Watching;
        self.far && (leave || key == Key::Interrupt)
    }

    /// What a key asks the session for, if anything; `now` is what the screen shows.
    pub(crate) fn key(&mut self, key: Key, now: &Snapshot, at: Instant) -> Option<Act> {
        if key == Key::Interrupt {
            return Some(Act::Stop);
        }
        if key == Key::Suspend {
            self.say(say!(self.voice, "screen-not-suspended"), at);
            return None;
        }
        match std::mem::replace(&mut self.mode, Mode::Watching) {
            Mode::Watching => self.watching(key, now, at),
            Mode::Typing(text) => self.typing(text, key, now, at),
            Mode::Asked(_, act) => {
                if matches!(key, Key::Char('y' | 'Y')) {
                    return Some(self.done(act, now, at));
                }
                self.say(say!(self.voice, "question-answered-no"), at);
                None
            }
            // any key leads back, and does no more than that
            Mode::Info | Mode::Code => None,
        }
    }

    fn watching(&mut self, key: Key, now: &Snapshot, at: Instant) -> Option<Act> {
        let Key::Char(letter) = key else {
            return None;
        };
        let act = match letter.to_ascii_lowercase() {
            'q' => Act::Stop,
            'r' => {
                self.mode = Mode::Typing(String::new());
                return None;
            }
            'i' | '?' => {
                self.mode = Mode::Info;
                return None;
            }
            'c' if self.page.is_some() => {
                self.mode = Mode::Code;
                return None;
            }
            'c' => {
                self.say(say!(self.voice, "screen-no-page"), at);
                return None;
            }
            'd' => {
                self.say(say!(self.voice, "screen-how-to-leave"), at);
                return None;
            }
            'u' => {
                let Some(act) = self.undo.act(now) else {
                    self.say(say!(self.voice, "screen-nothing-to-undo"), at);
                    return None;
                };
                act
            }
            _ => {
                let letter = letter.to_ascii_lowercase();
                let offered = self.stamps.contains(letter);
                let Some((kind, note)) = mark_of_key(letter).filter(|_| offered) else {
                    let key = format!("{letter:?}");
                    let why = match letter {
                        'm' => say!(self.voice, "screen-no-manifold"),
                        _ => say!(self.voice, "screen-no-such-key", key = key),
                    };
                    self.say(why, at);
                    return None;
                };
                Act::Mark(kind, note.to_owned())
            }
        };
        if let Some(question) =
            watch::question::question(&self.voice, &now.judged, &now.marks, &act)
        {
            self.mode = Mode::Asked(question, act);
            self.asked_at = Some(at);
            return None;
        }
        Some(self.done(act, now, at))
    }

    /// Passes an act on and says so.
    fn done(&mut self, act: Act, now: &Snapshot, at: Instant) -> Act {
        match &act {
            Act::Mark(kind, note) => {
                self.undo.stamped(now);
                let label = mark_words(&self.voice, *kind, note);
                self.say(say!(self.voice, "screen-was-stamped", mark = label), at);
            }
            Act::Undo(id) => {
                let mark = now
                    .marks
                    .iter()
                    .rev()
                    .find(|m| id.is_none_or(|id| m.id == id));
                self.undo.taken_back(*id);
                // the mark is named where the screen knows it
                let said = mark.filter(|_| id.is_some()).map(|mark| {
                    say!(
                        self.voice,
                        "screen-taking-back",
                        mark = mark.label.as_str(),
                        at = self.voice.moment(mark.at_s)
                    )
                });
                self.answer = said.map(|said| (said, at));
            }
            Act::UndoFrom(..) | Act::Stop | Act::Tell(_) => {}
        }
        act
    }

    fn typing(&mut self, mut text: String, key: Key, now: &Snapshot, at: Instant) -> Option<Act> {
        match key {
            Key::Escape => {
                self.say(say!(self.voice, "screen-no-remark"), at);
                return None;
            }
            Key::Enter if text.trim().is_empty() => {
                self.say(say!(self.voice, "screen-no-remark"), at);
                return None;
            }
            Key::Enter => {
                self.undo.stamped(now);
                self.say(say!(self.voice, "screen-remark-kept"), at);
                return Some(Act::Mark(MarkKind::Note, text.trim().to_owned()));
            }
            Key::Backspace => {
                text.pop();
            }
            Key::Char(c) if text.chars().count() < LONGEST_REMARK => text.push(c),
            _ => {}
        }
        self.mode = Mode::Typing(text);
        None
    }

    /// Answers a key.
    fn say(&mut self, what: String, at: Instant) {
        self.answer = Some((what, at));
    }

    /// The answer that stands.
    pub(crate) fn answer(&self) -> Option<&str> {
        self.answer.as_ref().map(|(text, _)| text.as_str())
    }

    /// Takes an old answer and an old question away; true if it did.
    pub(crate) fn expire(&mut self, now: Instant) -> bool {
        let older = |at: Instant, than| now.saturating_duration_since(at) >= than;
        let mut changed = self.answer.take_if(|(_, at)| older(*at, STANDS)).is_some();
        let forgotten = self.asked_at.is_some_and(|at| older(at, ASKED_FOR));
        if forgotten && matches!(self.mode, Mode::Asked(..)) {
            self.mode = Mode::Watching;
            self.say(say!(self.voice, "question-answered-no"), now);
            changed = true;
        }
        changed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use watch::{BALLAST_CLOSED, MANIFOLD_SHUT};

    fn typed(app: &mut App, keys: &str) -> Vec<Act> {
        let now = Instant::now();
        let key = |c| match c {
            '\r' => Key::Enter,
            '\x08' => Key::Backspace,
            '\x1b' => Key::Escape,
            '\x03' => Key::Interrupt,
            '\x1a' => Key::Suspend,
            c => Key::Char(c),
        };
        let shown = Snapshot::default();
        let acts = keys.chars().filter_map(|c| app.key(key(c), &shown, now));
        acts.collect()
    }

    fn with_manifold() -> App {
        App {
            stamps: offered(TestKind::Evacuation, Some(true)),
            ..App::default()
        }
    }

    fn mark(kind: MarkKind, note: &str) -> Act {
        Act::Mark(kind, note.into())
    }

    #[test]
    fn single_keys_stamp_at_once() {
        let acts = typed(&mut with_manifold(), "ospntbghmu");
        let wanted = [
            mark(MarkKind::ValveOpened, ""),
            mark(MarkKind::PumpSideShut, ""),
            mark(MarkKind::PumpStopped, ""),
            mark(MarkKind::NitrogenBreak, ""),
            mark(MarkKind::Throttled, ""),
            mark(MarkKind::BallastOpened, ""),
            mark(MarkKind::Note, BALLAST_CLOSED),
            mark(MarkKind::HeatApplied, ""),
            mark(MarkKind::Note, MANIFOLD_SHUT),
            Act::Undo(None),
        ];
        assert_eq!(acts, wanted);
    }

    #[test]
    fn capital_letters_are_the_same_keys() {
        let (mut small, mut large) = (App::default(), App::default());
        assert_eq!(typed(&mut small, "ospntbhm"), typed(&mut large, "OSPNTBHM"));
        assert_eq!(typed(&mut App::default(), "QY"), [Act::Stop]);
        assert_eq!(typed(&mut App::default(), "Q "), []);
        let mut app = App::default();
        typed(&mut app, "I");
        assert_eq!(app.mode, Mode::Info);
        assert_eq!(
            typed(&mut App::default(), "RHose off\r"),
            [mark(MarkKind::Note, "Hose off")]
        );
    }

    /// A run whose hold of ten minutes twenty passes, isolated by a mark.
    fn passed() -> Snapshot {
        let mut list = watch::marks::MarkList::default();
        for (elapsed_s, kind) in [
            (10.0, MarkKind::ValveOpened),
            (900.0, MarkKind::PumpSideShut),
        ] {
            list.take(&vacuum::Mark {
                elapsed_s,
                kind,
                note: String::new(),
            });
        }
        let mut now = Snapshot {
            marks: list.all().to_vec(),
            ..Snapshot::default()
        };
        now.judged.phase = watch::PhaseNow::Hold;
        now.judged.hold = Some(watch::HoldNow {
            stamped: true,
            held_s: 620.0,
            needed_s: 600.0,
            state: watch::judged::HoldState::Passed,
            ..watch::HoldNow::default()
        });
        now
    }

    #[test]
    fn a_second_shut_begins_no_round_unasked() {
        let (now, at) = (passed(), Instant::now());
        let mut app = App::default();
        assert_eq!(app.key(Key::Char('s'), &now, at), None);
        assert!(
            matches!(&app.mode, Mode::Asked(q, _) if q.contains("10:20")),
            "{app:?}"
        );
        assert_eq!(app.key(Key::Char('s'), &now, at), None, "a third is no yes");
        assert_eq!(app.key(Key::Char('s'), &now, at), None);
        let shut = mark(MarkKind::PumpSideShut, "");
        assert_eq!(app.key(Key::Char('y'), &now, at), Some(shut));
        // what nobody answers goes by itself
        app.key(Key::Char('s'), &now, at);
        assert!(app.expire(at + ASKED_FOR));
        assert_eq!(app.mode, Mode::Watching);
    }

    #[test]
    fn undo_names_what_it_takes_back_and_the_old_answer_goes_at_once() {
        let (mut now, at) = (passed(), Instant::now());
        let mut list = watch::marks::MarkList::default();
        for mark in [(10.0, "a"), (20.0, "b")] {
            list.take(&vacuum::Mark {
                elapsed_s: mark.0,
                kind: MarkKind::Note,
                note: mark.1.into(),
            });
        }
        now.marks = list.all().to_vec();
        let mut app = App::default();
        app.key(Key::Char('h'), &now, at);
        assert!(app.answer().is_some_and(|a| a.contains("u takes it back")));
        // not on the screen yet: it is the last one, whatever its number
        assert_eq!(app.key(Key::Char('u'), &now, at), Some(Act::Undo(None)));
        assert_eq!(app.answer(), None, "what was taken back is no more offered");
        assert_eq!(app.key(Key::Char('u'), &now, at), Some(Act::Undo(Some(2))));
        assert_eq!(app.answer(), Some("Taking back: b (0:00:20)."));
        // the screen still shows it, but it is on its way out
        assert_eq!(app.key(Key::Char('u'), &now, at), Some(Act::Undo(Some(1))));
        assert_eq!(app.key(Key::Char('u'), &now, at), None);
        assert_eq!(app.answer(), Some("There is no mark to take back."));
        // and the mark that a hold rests on is not taken back by a stray key
        let mut app = App::default();
        assert_eq!(app.key(Key::Char('u'), &passed(), at), None);
        assert!(matches!(app.mode, Mode::Asked(..)));
        assert_eq!(
            app.key(Key::Char('y'), &passed(), at),
            Some(Act::Undo(Some(2)))
        );
    }

    #[test]
    fn the_manifold_key_stamps_only_where_it_is_offered() {
        let mut app = App::default();
        assert_eq!(typed(&mut app, "m"), []);
        let answer = app.answer().expect("an answer");
        assert!(answer.contains("gauge_open_to_system"), "{answer}");
    }

    #[test]
    fn a_remark_may_hold_any_letter_and_can_be_dropped() {
        let mut app = App::default();
        assert_eq!(typed(&mut app, "rstop pump\x08\x08\x08\x08hose\x1b"), []);
        assert_eq!(
            typed(&mut app, "roil is milky\r"),
            [mark(MarkKind::Note, "oil is milky")]
        );
        assert_eq!(typed(&mut app, "r  \r"), [], "an empty remark is none");
        assert_eq!(app.mode, Mode::Watching);
    }

    #[test]
    fn a_stray_key_never_ends_a_recording() {
        for stray in [
            "q ", "qq", "qn", "q\r", "q\x1b", "qs", "x", "\x1b", "\r", "\x1a", "iq", "c", "cq ",
        ] {
            let mut app = App::default();
            assert_eq!(typed(&mut app, stray), [], "{stray:?}");
        }
        assert_eq!(typed(&mut App::default(), "qy"), [Act::Stop]);
        // as ever
        assert_eq!(typed(&mut App::default(), "\x03"), [Act::Stop]);
        assert_eq!(typed(&mut App::default(), "rremark\x03"), [Act::Stop]);
    }

    /// From another terminal Ctrl-C ends the look; the recording goes on.
    #[test]
    fn another_terminal_is_left_without_stopping_anything() {
        let far = App::far(None);
        assert!(far.leaves(Key::Interrupt) && far.leaves(Key::Char('d')));
        let own = App::default();
        assert!(!own.leaves(Key::Interrupt) && !own.leaves(Key::Char('d')));
        let mut own = App::default();
        assert_eq!(typed(&mut own, "d"), []);
        assert!(own.answer().is_some_and(|a| a.contains("dryhold show")));
        let mut typing = App::far(None);
        typing.key(Key::Char('r'), &Snapshot::default(), Instant::now());
        assert!(!typing.leaves(Key::Char('d')), "a letter of a remark");
    }

    #[test]
    fn answers_go_by_themselves() {
        let mut app = App::default();
        let now = Instant::now();
        app.key(Key::Char('s'), &Snapshot::default(), now);
        assert!(
            app.answer()
                .is_some_and(|a| a.contains("pump-side valve shut"))
        );
        assert!(!app.expire(now));
        assert!(app.expire(now + STANDS));
        assert_eq!(app.answer(), None);
    }
}
