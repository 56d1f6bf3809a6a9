//! What keys do: a state machine without a screen.

use std::time::{Duration, Instant};

use vacuum::MarkKind;
use watch::{Act, MANIFOLD_SHUT, keys::mark_of_key};

use wording::{Voice, mark_kind_words, say};

use crate::{code::PageCode, keys::Key};

/// An answer stands so long.
const STANDS: Duration = Duration::from_secs(5);
/// Longest remark typed here; the record takes longer ones.
const LONGEST_REMARK: usize = 500;

/// What the keyboard is for now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Mode {
    /// Keys stamp.
    Watching,
    /// A remark is being typed.
    Typing(String),
    /// "Stop recording?" was asked.
    AskedToStop,
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
    answer: Option<(String, Instant)>,
}

impl Default for App {
    fn default() -> Self {
        Self {
            mode: Mode::Watching,
            page: None,
            voice: Voice::default(),
            answer: None,
        }
    }
}

impl App {
    /// What a key asks the session for, if anything.
    pub(crate) fn key(&mut self, key: Key, now: Instant) -> Option<Act> {
        if key == Key::Interrupt {
            return Some(Act::Stop);
        }
        if key == Key::Suspend {
            self.say(say!(self.voice, "screen-not-suspended"), now);
            return None;
        }
        match std::mem::replace(&mut self.mode, Mode::Watching) {
            Mode::Watching => self.watching(key, now),
            Mode::Typing(text) => self.typing(text, key, now),
            Mode::AskedToStop => {
                if key == Key::Char('y') {
                    return Some(Act::Stop);
                }
                self.say(say!(self.voice, "screen-still-records"), now);
                None
            }
            // any key leads back, and does no more than that
            Mode::Info | Mode::Code => None,
        }
    }

    fn watching(&mut self, key: Key, now: Instant) -> Option<Act> {
        let Key::Char(letter) = key else {
            return None;
        };
        match letter {
            'q' => self.mode = Mode::AskedToStop,
            'r' => self.mode = Mode::Typing(String::new()),
            'i' | '?' => self.mode = Mode::Info,
            'c' if self.page.is_some() => self.mode = Mode::Code,
            'c' => self.say(say!(self.voice, "screen-no-page"), now),
            'u' => return Some(Act::Undo(None)),
            _ => {
                let Some((kind, note)) = mark_of_key(letter) else {
                    let key = format!("{letter:?}");
                    self.say(say!(self.voice, "screen-no-such-key", key = key), now);
                    return None;
                };
                let label = match note {
                    MANIFOLD_SHUT => say!(self.voice, "mark-manifold-shut"),
                    _ => mark_kind_words(&self.voice, kind),
                };
                self.say(say!(self.voice, "screen-was-stamped", mark = label), now);
                return Some(Act::Mark(kind, note.to_owned()));
            }
        }
        None
    }

    fn typing(&mut self, mut text: String, key: Key, now: Instant) -> Option<Act> {
        match key {
            Key::Escape => {
                self.say(say!(self.voice, "screen-no-remark"), now);
                return None;
            }
            Key::Enter if text.trim().is_empty() => {
                self.say(say!(self.voice, "screen-no-remark"), now);
                return None;
            }
            Key::Enter => {
                self.say(say!(self.voice, "screen-remark-kept"), now);
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
    fn say(&mut self, what: String, now: Instant) {
        self.answer = Some((what, now));
    }

    /// The answer that stands.
    pub(crate) fn answer(&self) -> Option<&str> {
        self.answer.as_ref().map(|(text, _)| text.as_str())
    }

    /// Takes an old answer away; true if it did.
    pub(crate) fn expire(&mut self, now: Instant) -> bool {
        let old = |(_, at): &(String, Instant)| now.saturating_duration_since(*at) >= STANDS;
        self.answer.take_if(|a| old(a)).is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
        keys.chars().filter_map(|c| app.key(key(c), now)).collect()
    }

    fn mark(kind: MarkKind, note: &str) -> Act {
        Act::Mark(kind, note.into())
    }

    #[test]
    fn single_keys_stamp_at_once() {
        let acts = typed(&mut App::default(), "ospntbhmu");
        let wanted = [
            mark(MarkKind::ValveOpened, ""),
            mark(MarkKind::PumpSideShut, ""),
            mark(MarkKind::PumpStopped, ""),
            mark(MarkKind::NitrogenBreak, ""),
            mark(MarkKind::Throttled, ""),
            mark(MarkKind::BallastOpened, ""),
            mark(MarkKind::HeatApplied, ""),
            mark(MarkKind::Note, MANIFOLD_SHUT),
            Act::Undo(None),
        ];
        assert_eq!(acts, wanted);
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

    #[test]
    fn answers_go_by_themselves() {
        let mut app = App::default();
        let now = Instant::now();
        app.key(Key::Char('s'), now);
        assert!(
            app.answer()
                .is_some_and(|a| a.contains("pump-side valve shut"))
        );
        assert!(!app.expire(now));
        assert!(app.expire(now + STANDS));
        assert_eq!(app.answer(), None);
    }
}
