//! What is published, and to how many.

use std::sync::Arc;

use tokio::sync::watch;

use crate::places::Places;

/// Everything a viewer may need at one moment, as JSON. Cheap to clone.
#[derive(Debug, Clone, Default)]
pub struct Published {
    /// Which run: another number says that everything begins anew.
    pub run: u64,
    /// How things stand; one line of JSON.
    pub now: Arc<str>,
    /// The curve with its version; one line of JSON.
    pub curve: (u64, Arc<str>),
    /// What happened, oldest first, with growing numbers.
    pub happened: Arc<[Happened]>,
}

/// One thing that happened.
#[derive(Debug, Clone)]
pub struct Happened {
    /// Its number: those of a run follow each other.
    pub number: u64,
    /// One line of JSON.
    pub text: Arc<str>,
}

impl Published {
    /// What happened behind `number`; `None` when some of it is no longer kept.
    pub(crate) fn after(&self, number: u64) -> Option<&[Happened]> {
        let first = self.happened.first().map_or(number + 1, |h| h.number);
        let place = self.happened.partition_point(|h| h.number <= number);
        (first <= number + 1).then(|| &self.happened[place..])
    }
}

/// Publishes to every viewer. Never waits.
#[derive(Debug, Clone)]
pub struct Publisher {
    sender: Arc<watch::Sender<Published>>,
    viewers: Places,
}

impl Publisher {
    pub(crate) fn new(viewers: Places) -> Self {
        Self {
            sender: Arc::new(watch::Sender::new(Published::default())),
            viewers,
        }
    }

    /// Shows this to every viewer, and to those that come.
    pub fn publish(&self, published: Published) {
        self.sender.send_replace(published);
    }

    /// How many look on.
    #[must_use]
    pub fn viewers(&self) -> usize {
        self.viewers.count()
    }

    pub(crate) fn subscribe(&self) -> watch::Receiver<Published> {
        self.sender.subscribe()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_missed_is_known_or_said_to_be_gone() {
        let happened = |number| Happened {
            number,
            text: "{}".into(),
        };
        let published = Published {
            happened: (11..=20).map(happened).collect(),
            ..Published::default()
        };
        let count = |n| published.after(n).map(<[Happened]>::len);
        assert_eq!(count(20), Some(0));
        assert_eq!(count(15), Some(5));
        assert_eq!(count(10), Some(10));
        assert_eq!(count(9), None, "number 10 is gone");
        assert_eq!(
            Published::default().after(7).map(<[Happened]>::len),
            Some(0)
        );
    }
}
