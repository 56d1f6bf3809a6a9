//! Lines typed on standard input, for views that redraw nothing.

use std::io::BufRead;

use console::await_foreground;
use tokio::sync::mpsc::UnboundedSender;
use vacuum::TestKind;
use watch::{
    Act, Snapshot, Watch,
    keys::{act_of_line, offered},
    question::question,
};
use wording::say;

use crate::{keyboard::Input, undo::Undo};

/// Reads what is typed on standard input, a line each; the end of input ends that,
/// not the run.
///
/// An empty line asks `status` how things stand, where there is one. Where nothing is
/// shown there is no `watch`, and nothing is asked but whether to stop.
pub(crate) fn read_lines(
    watch: Option<Watch>,
    send: UnboundedSender<Act>,
    status: Option<std::sync::mpsc::Sender<Input>>,
) {
    std::thread::spawn(move || {
        await_foreground();
        let mut typed = TypedLines::default();
        for line in std::io::stdin().lock().split(b'\n') {
            let Ok(line) = line else { return };
            // not every keyboard speaks UTF-8, and a remark is better kept with
            // a letter missing than not at all
            let line = String::from_utf8_lossy(&line);
            let now = watch.as_ref().map(|w| w.borrow().now.clone());
            let now = now.unwrap_or_default();
            let Reply { act, words } = typed.line(line.trim(), &now);
            let nothing = act.is_none() && words.is_none();
            if let Some(words) = words {
                console::say(words);
            }
            if nothing {
                status.as_ref().map(|s| s.send(Input::Ask));
            }
            if act.is_some_and(|act| send.send(act).is_err()) {
                return;
            }
        }
    });
}

/// What typed lines ask for: the same keys as on the whole screen, and the same questions.
#[derive(Debug, Default)]
pub(crate) struct TypedLines {
    /// What was asked about, and is done when the answer is yes.
    asked: Option<Act>,
    undo: Undo,
}

/// What comes of a line.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Reply {
    /// To be passed on.
    pub(crate) act: Option<Act>,
    /// To be said.
    pub(crate) words: Option<String>,
}

impl TypedLines {
    /// Takes a line; `now` is what the views show.
    pub(crate) fn line(&mut self, line: &str, now: &Snapshot) -> Reply {
        let voice = &now.voice;
        // where nothing is shown nobody says what is offered
        let stamps = match now.stamps.is_empty() {
            true => offered(TestKind::Evacuation, None),
            false => now.stamps.clone(),
        };
        let mut kept = None;
        if let Some(act) = self.asked.take() {
            if ["y", "yes"]
                .iter()
                .any(|yes| line.eq_ignore_ascii_case(yes))
            {
                return self.pass_on(act, now);
            }
            kept = Some(say!(voice, "question-answered-no"));
            // a letter answers the question; a remark is kept all the same
            if line.chars().count() < 2 {
                return Reply {
                    act: None,
                    words: kept,
                };
            }
        }
        let act = match act_of_line(line, &stamps) {
            Some(Act::Undo(None)) => match self.undo.act(now) {
                Some(act) => act,
                None => {
                    return Reply {
                        act: None,
                        words: Some(say!(voice, "screen-nothing-to-undo")),
                    };
                }
            },
            Some(act) => act,
            None => return Reply::default(),
        };
        if let Some(asked) = question(voice, &now.judged, &now.marks, &act) {
            self.asked = Some(act);
            let how = say!(voice, "question-answer-line");
            return Reply {
                act: None,
                words: Some(format!("{asked} {how}")),
            };
        }
        Reply {
            words: kept,
            ..self.pass_on(act, now)
        }
    }

    fn pass_on(&mut self, act: Act, now: &Snapshot) -> Reply {
        match &act {
            Act::Mark(..) => self.undo.stamped(now),
            Act::Undo(id) => self.undo.taken_back(*id),
            Act::UndoFrom(..) | Act::Stop | Act::Tell(_) => {}
        }
        Reply {
            act: Some(act),
            words: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use vacuum::MarkKind;

    use super::*;

    fn typed(lines: &[&str]) -> Vec<Act> {
        let (mut typed, now) = (TypedLines::default(), Snapshot::default());
        let acts = lines.iter().filter_map(|line| typed.line(line, &now).act);
        acts.collect()
    }

    #[test]
    fn q_asks_and_stops_as_everywhere() {
        let mut lines = TypedLines::default();
        let asked = lines.line("q", &Snapshot::default());
        assert_eq!(asked.act, None);
        let words = asked.words.expect("asked");
        assert!(
            words.contains("Stop recording?") && words.contains("y and Enter"),
            "{words}"
        );
        assert_eq!(lines.line("y", &Snapshot::default()).act, Some(Act::Stop));
        assert_eq!(typed(&["Q", "Y"]), [Act::Stop]);
        assert_eq!(typed(&["q", "yes"]), [Act::Stop]);
        assert_eq!(typed(&["q", "n"]), []);
        assert_eq!(
            typed(&["q", "q", "s"]),
            [Act::Mark(MarkKind::PumpSideShut, String::new())]
        );
    }

    #[test]
    fn a_remark_typed_instead_of_an_answer_is_kept() {
        let remark = Act::Mark(MarkKind::Note, "hose swapped".into());
        assert_eq!(typed(&["q", "hose swapped"]), [remark]);
    }

    #[test]
    fn letters_and_capitals_stamp_and_an_empty_line_asks_how_things_stand() {
        let shut = Act::Mark(MarkKind::PumpSideShut, String::new());
        assert_eq!(typed(&["s", "S"]), [shut.clone(), shut]);
        assert_eq!(
            TypedLines::default().line("", &Snapshot::default()),
            Reply::default()
        );
        let none = TypedLines::default().line("u", &Snapshot::default());
        assert_eq!(
            none.words.as_deref(),
            Some("There is no mark to take back.")
        );
        assert_eq!(typed(&["h", "u"]).last(), Some(&Act::Undo(None)));
    }
}
