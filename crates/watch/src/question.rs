//! What has to be asked before an act is done, because a stray key would cost a hold.
//!
//! One rule for keyboard, typed lines and page. A pump-side valve that is stamped shut
//! cannot be shut again: a second stamp would end the hold that goes on, and begin
//! another. Taking back the mark that a hold rests on would end it too. To end the
//! recording is asked for ever.

use vacuum::{ChargingAct, MarkKind};
use wording::{Voice, say};

use serde::Serialize;

use crate::{
    act::Act,
    judged::{HoldNow, HoldState, JudgedNow},
    keys,
    marks::MarkNow,
};

/// A hold that has lasted no longer than this is no loss, s.
const NO_LOSS_S: f64 = 30.0;

/// An act that a view asks about before it passes it on.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct AskFirst {
    /// The key that stamps it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stamp: Option<char>,
    /// The number of the mark that would be taken back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub undo: Option<u64>,
    /// What to ask; the answer is yes or no.
    pub question: String,
}

/// What is asked before an act; `None` where it is done at once.
pub fn question(voice: &Voice, judged: &JudgedNow, marks: &[MarkNow], act: &Act) -> Option<String> {
    let hold = judged.hold.as_ref();
    let clock = |seconds| voice.clock(seconds);
    match act {
        Act::Mark(MarkKind::PumpSideShut, _) => {
            let shut = shut_mark(marks)?;
            let hold = hold.filter(|h| h.stamped && h.is_worth_keeping())?;
            Some(say!(
                voice,
                "question-shut-again",
                at = voice.moment(shut.at_s),
                held = clock(hold.held_s)
            ))
        }
        Act::Undo(Some(id)) | Act::UndoFrom(id, _) => {
            let shut = shut_mark(marks).filter(|mark| mark.id == *id)?;
            let hold = hold.filter(|h| h.stamped && h.held_s > NO_LOSS_S)?;
            Some(say!(
                voice,
                "question-undo-hold",
                mark = shut.label.as_str(),
                at = voice.moment(shut.at_s),
                held = clock(hold.held_s)
            ))
        }
        Act::Stop => Some(match hold {
            Some(hold) if hold.left_s > 0.0 && hold.state == HoldState::Running => say!(
                voice,
                "question-stop-hold",
                held = clock(hold.held_s),
                needed = clock(hold.needed_s)
            ),
            _ => say!(voice, "question-stop"),
        }),
        // what follows is refrigerant: a system that is not tight must not get any
        Act::Mark(MarkKind::Note, note) if note == ChargingAct::WeighInBegins.remark() => {
            let passed = hold.is_some_and(|h| h.state == HoldState::Passed);
            (!passed).then(|| say!(voice, "question-weighed-no-hold"))
        }
        Act::Mark(..) | Act::Undo(None) | Act::Tell(_) => None,
    }
}

/// Every stamp and every taking back that is asked about now, for a view that cannot ask
/// this program each time.
pub(crate) fn all(voice: &Voice, judged: &JudgedNow, marks: &[MarkNow]) -> Vec<AskFirst> {
    let all = keys::STAMPS.chars().chain(keys::CHARGING.chars());
    let stamps = all.filter_map(|key| {
        let (kind, note) = keys::mark_of_key(key)?;
        let question = question(voice, judged, marks, &Act::Mark(kind, note.into()))?;
        Some(AskFirst {
            stamp: Some(key),
            question,
            ..AskFirst::default()
        })
    });
    let undos = marks.iter().filter_map(|mark| {
        let question = question(voice, judged, marks, &Act::Undo(Some(mark.id)))?;
        Some(AskFirst {
            undo: Some(mark.id),
            question,
            ..AskFirst::default()
        })
    });
    stamps.chain(undos).collect()
}

/// The mark that the pump-side valve is shut, where nothing stamped later has opened it.
fn shut_mark(marks: &[MarkNow]) -> Option<&MarkNow> {
    let last = marks.iter().rev().find(|mark| {
        matches!(
            mark.kind,
            MarkKind::PumpSideShut | MarkKind::ValveOpened | MarkKind::NitrogenBreak
        )
    });
    last.filter(|mark| mark.kind == MarkKind::PumpSideShut)
}

impl HoldNow {
    /// True for a hold that passes, or may still: a new one would only lose it.
    fn is_worth_keeping(&self) -> bool {
        self.interrupted_s.is_none()
            && !matches!(self.state, HoldState::Failed | HoldState::WillNotPass)
    }
}

#[cfg(test)]
mod tests {
    use vacuum::Mark;

    use super::*;
    use crate::marks::MarkList;

    fn marks(kinds: &[MarkKind]) -> MarkList {
        let mut list = MarkList::default();
        for (i, kind) in kinds.iter().enumerate() {
            list.take(&Mark {
                elapsed_s: 60.0 * i as f64,
                kind: *kind,
                note: String::new(),
            });
        }
        list
    }

    fn held(held_s: f64, state: HoldState) -> JudgedNow {
        JudgedNow {
            hold: Some(HoldNow {
                stamped: true,
                held_s,
                needed_s: 600.0,
                left_s: (600.0 - held_s).max(0.0),
                state,
                ..HoldNow::default()
            }),
            ..JudgedNow::default()
        }
    }

    fn asked(judged: &JudgedNow, marks: &MarkList, act: &Act) -> Option<String> {
        question(&Voice::default(), judged, marks.all(), act)
    }

    fn shut() -> Act {
        Act::Mark(MarkKind::PumpSideShut, String::new())
    }

    #[test]
    fn a_second_shut_is_asked_about_while_the_hold_is_worth_something() {
        use HoldState::{Failed, NotProven, Passed, PassedWithLeak, Running, WillNotPass};
        use MarkKind::{NitrogenBreak, PumpSideShut, ValveOpened};
        let once = marks(&[ValveOpened, PumpSideShut]);
        for state in [Running, Passed, PassedWithLeak, NotProven] {
            let question = asked(&held(620.0, state), &once, &shut()).expect("asked");
            assert!(question.contains("10:20"), "{question}");
        }
        for state in [Failed, WillNotPass] {
            assert_eq!(asked(&held(620.0, state), &once, &shut()), None);
        }
        let mut interrupted = held(620.0, Running);
        if let Some(hold) = &mut interrupted.hold {
            hold.interrupted_s = Some(13.0);
        }
        assert_eq!(asked(&interrupted, &once, &shut()), None, "it was told to");
        // the first stamp, and one after opening or breaking, is the usual one
        for before in [
            &[ValveOpened][..],
            &[PumpSideShut, ValveOpened],
            &[PumpSideShut, NitrogenBreak],
        ] {
            let judged = held(620.0, Running);
            assert_eq!(asked(&judged, &marks(before), &shut()), None, "{before:?}");
        }
    }

    #[test]
    fn taking_back_the_mark_of_a_hold_is_asked_about() {
        use MarkKind::{Note, PumpSideShut, ValveOpened};
        let list = marks(&[ValveOpened, PumpSideShut, Note]);
        let judged = held(200.0, HoldState::Running);
        let question = asked(&judged, &list, &Act::Undo(Some(2))).expect("asked");
        assert!(
            question.contains("pump-side valve shut") && question.contains("3:20"),
            "{question}"
        );
        let from = asked(&judged, &list, &Act::UndoFrom(2, "K7QF".into()));
        assert_eq!(from.as_ref(), Some(&question));
        for other in [1, 3] {
            assert_eq!(asked(&judged, &list, &Act::Undo(Some(other))), None);
        }
        let young = held(10.0, HoldState::Running);
        assert_eq!(asked(&young, &list, &Act::Undo(Some(2))), None);
    }

    #[test]
    fn to_stop_is_asked_about_ever_and_says_what_a_hold_lacks() {
        let list = marks(&[]);
        let plain = asked(&JudgedNow::default(), &list, &Act::Stop).expect("asked");
        assert_eq!(plain, "Stop recording?");
        let running = held(200.0, HoldState::Running);
        let question = asked(&running, &list, &Act::Stop).expect("asked");
        assert!(
            question.contains("3:20") && question.contains("10:00"),
            "{question}"
        );
    }

    #[test]
    fn a_page_is_told_what_to_ask_about() {
        use MarkKind::{PumpSideShut, ValveOpened};
        let list = marks(&[ValveOpened, PumpSideShut]);
        let all = all(
            &Voice::default(),
            &held(620.0, HoldState::Passed),
            list.all(),
        );
        let asked: Vec<_> = all.iter().map(|a| (a.stamp, a.undo)).collect();
        assert_eq!(asked, [(Some('s'), None), (None, Some(2))]);
    }
}
