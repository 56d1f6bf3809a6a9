//! The marks of a run, each with a number, and those that were taken back.

use serde::Serialize;
use vacuum::{Mark, MarkKind};
use wording::{Voice, say};

use crate::keys;

/// The remark that stands for "manifold valves shut".
pub const MANIFOLD_SHUT: &str = Mark::MANIFOLD_SHUT;
/// The remark that stands for "gas ballast closed".
pub const BALLAST_CLOSED: &str = Mark::BALLAST_CLOSED;

/// Marks of a run kept one by one; a run has a handful.
const MOST: usize = 500;

/// One mark that counts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MarkNow {
    /// Its number, by which it can be taken back.
    pub id: u64,
    /// When, s.
    pub at_s: f64,
    /// Its code in the record.
    pub code: &'static str,
    /// What it says, in words.
    pub label: String,
    /// The device it was stamped from; absent for the recorder itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub device: Option<String>,
    /// The letter of the key that stamps it.
    pub letter: char,
    /// What kind of act.
    #[serde(skip)]
    pub kind: MarkKind,
    #[serde(skip)]
    manifold_shut: bool,
    #[serde(skip)]
    ballast_closed: bool,
}

impl MarkNow {
    /// What it says, and which device stamped it.
    pub fn told(&self, voice: &Voice) -> String {
        match &self.device {
            Some(device) => say!(
                voice,
                "mark-by-device",
                mark = self.label.as_str(),
                device = device.as_str()
            ),
            None => self.label.clone(),
        }
    }

    /// True for the remark that the manifold valves are shut.
    pub fn is_manifold_shut(&self) -> bool {
        self.manifold_shut
    }

    /// True for the remark that the gas ballast is closed.
    pub fn is_ballast_closed(&self) -> bool {
        self.ballast_closed
    }

    fn of(voice: &Voice, id: u64, mark: &Mark) -> Self {
        Self {
            id,
            at_s: mark.elapsed_s,
            code: mark.kind.code(),
            label: wording::mark_words(voice, mark.kind, mark.words()),
            letter: keys::letter(mark),
            device: mark.device().map(str::to_owned),
            kind: mark.kind,
            manifold_shut: mark.is_manifold_shut(),
            ballast_closed: mark.is_ballast_closed(),
        }
    }
}

/// The marks that count, in order.
#[derive(Debug, Clone, Default)]
pub struct MarkList {
    voice: Voice,
    kept: Vec<Mark>,
    shown: Vec<MarkNow>,
    count: u64,
}

/// What a mark did to the list.
#[derive(Debug, Clone, PartialEq)]
pub enum Took {
    /// It counts from now on.
    Added(MarkNow),
    /// It took this one back.
    Withdrew(MarkNow),
}

impl MarkList {
    /// No mark yet; their words will be said in this voice.
    pub fn new(voice: Voice) -> Self {
        Self {
            voice,
            ..Self::default()
        }
    }

    /// Takes the next mark of the record, a withdrawal among them.
    pub fn take(&mut self, mark: &Mark) -> Took {
        if let Some(place) = Mark::withdraw_from(mark, &mut self.kept) {
            return Took::Withdrew(self.shown.remove(place));
        }
        self.count += 1;
        let shown = MarkNow::of(&self.voice, self.count, mark);
        if self.kept.len() >= MOST {
            self.kept.remove(0);
            self.shown.remove(0);
        }
        self.kept.push(mark.clone());
        self.shown.push(shown.clone());
        Took::Added(shown)
    }

    /// Those that count.
    pub fn all(&self) -> &[MarkNow] {
        &self.shown
    }

    /// The remark that takes a mark back: the one with this number, or the last.
    /// `None` where there is nothing to take back.
    pub fn withdrawal(&self, id: Option<u64>, elapsed_s: f64) -> Option<Mark> {
        let place = match id {
            Some(id) => self.shown.iter().position(|m| m.id == id)?,
            None => self.shown.len().checked_sub(1)?,
        };
        Some(self.kept.get(place)?.withdrawal(elapsed_s))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(elapsed_s: f64, kind: MarkKind, note: &str) -> Mark {
        Mark {
            elapsed_s,
            kind,
            note: note.into(),
        }
    }

    #[test]
    fn the_last_mark_is_taken_back_first_then_the_one_before() {
        let mut list = MarkList::default();
        list.take(&mark(1.0, MarkKind::ValveOpened, ""));
        list.take(&mark(2.0, MarkKind::PumpSideShut, ""));
        list.take(&mark(3.0, MarkKind::Note, MANIFOLD_SHUT));
        for wanted in [MANIFOLD_SHUT, "pump-side valve shut", "valve opened"] {
            let withdrawal = list.withdrawal(None, 9.0).expect("one is left");
            let Took::Withdrew(taken) = list.take(&withdrawal) else {
                panic!("a withdrawal")
            };
            assert_eq!(taken.label, wanted);
        }
        assert_eq!(list.withdrawal(None, 9.0), None);
    }

    #[test]
    fn a_mark_is_taken_back_by_its_number() {
        let mut list = MarkList::default();
        list.take(&mark(1.0, MarkKind::ValveOpened, ""));
        list.take(&mark(2.0, MarkKind::PumpSideShut, ""));
        let withdrawal = list.withdrawal(Some(1), 9.0).expect("it is there");
        list.take(&withdrawal);
        let left: Vec<u64> = list.all().iter().map(|m| m.id).collect();
        assert_eq!(left, [2]);
        assert_eq!(list.withdrawal(Some(1), 9.0), None, "only once");
    }

    #[test]
    fn a_withdrawal_of_nothing_is_a_remark() {
        let mut list = MarkList::default();
        let text = "withdraws pump_side_shut at 7.000 s";
        let took = list.take(&mark(9.0, MarkKind::Note, text));
        assert!(matches!(took, Took::Added(m) if m.label == text));
    }

    #[test]
    fn endless_marks_stay_bounded() {
        let mut list = MarkList::default();
        for i in 0..2_000 {
            list.take(&mark(f64::from(i), MarkKind::Note, "again"));
        }
        assert_eq!(list.all().len(), MOST);
        assert_eq!(list.all().last().map(|m| m.id), Some(2_000));
    }
}
