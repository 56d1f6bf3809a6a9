//! What happened, numbered, so that a view that was away can fill its gap.

use std::collections::VecDeque;

use serde::Serialize;

/// Events kept.
const MOST: usize = 200;

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EventKind {
    /// The target was reached.
    TargetReached,
    /// A stall was found.
    StallFound,
    /// It is over.
    StallEnded,
    /// The system is isolated: the hold begins.
    HoldBegan,
    /// The hold is long enough and passes.
    HoldPassed,
    /// The hold is long enough and passes by the rule, though a leak is indicated.
    HoldPassedWithLeak,
    /// The hold fails.
    HoldFailed,
    /// The hold will not pass; it is not over yet.
    HoldWillNotPass,
    /// Connection or voice of the gauge lost.
    GaugeLost,
    /// It is back.
    GaugeBack,
    /// The disk does not take rows, or a file failed.
    DiskTrouble,
    /// It takes them again.
    DiskFine,
    /// A mark was stamped.
    Marked,
    /// A mark was taken back.
    Withdrawn,
    /// The order of work seems broken.
    OrderBroken,
    /// Anything else the recording says.
    Told,
}

impl EventKind {
    /// True where a person should look up.
    pub const fn is_grave(self) -> bool {
        matches!(
            self,
            Self::HoldFailed
                | Self::HoldPassedWithLeak
                | Self::HoldWillNotPass
                | Self::GaugeLost
                | Self::DiskTrouble
                | Self::OrderBroken
        )
    }
}

/// One thing that happened.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Event {
    /// 1, 2, 3 … in the order they happened.
    pub number: u64,
    /// When, s of the run.
    pub at_s: f64,
    /// What kind.
    pub kind: EventKind,
    /// One whole sentence.
    pub text: String,
}

/// The last two hundred.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(transparent)]
pub struct Events {
    kept: VecDeque<Event>,
    #[serde(skip)]
    last: u64,
}

impl Events {
    /// Adds one.
    pub fn add(&mut self, at_s: f64, kind: EventKind, text: impl Into<String>) {
        self.last += 1;
        if self.kept.len() >= MOST {
            self.kept.pop_front();
        }
        self.kept.push_back(Event {
            number: self.last,
            at_s,
            kind,
            text: text.into(),
        });
    }

    /// Number of the last one; 0 when there was none.
    pub fn last_number(&self) -> u64 {
        self.last
    }

    /// Those kept, oldest first.
    pub fn all(&self) -> impl DoubleEndedIterator<Item = &Event> {
        self.kept.iter()
    }

    /// Those behind `number`; `None` when some of them are no longer kept.
    pub fn after(&self, number: u64) -> Option<impl Iterator<Item = &Event>> {
        let first = self.kept.front().map_or(self.last + 1, |e| e.number);
        (number + 1 >= first).then(|| self.kept.iter().filter(move |e| e.number > number))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_view_that_was_away_gets_what_it_missed_or_is_told_so() {
        let mut events = Events::default();
        assert_eq!(events.after(0).map(Iterator::count), Some(0));
        for i in 0..300 {
            events.add(f64::from(i), EventKind::Told, "so");
        }
        assert_eq!(events.last_number(), 300);
        assert_eq!(events.after(290).map(Iterator::count), Some(10));
        assert_eq!(events.after(300).map(Iterator::count), Some(0));
        assert_eq!(events.after(100).map(Iterator::count), Some(200));
        assert!(events.after(99).is_none(), "number 100 is gone");
        assert_eq!(events.all().count(), MOST);
    }
}
