//! Acts that were stamped in a pressure test.

use vacuum::{Entry, Mark, MarkKind};

use crate::memory::PressureDecay;

/// What people write for shutting the supply, where they do not use the code.
const SUPPLY_SHUT: [&str; 4] = [
    "supply shut",
    "supply valve shut",
    "supply closed",
    "supply valve closed",
];
/// What they write for letting the gas out.
const VENTED: [&str; 3] = ["vented", "vent", "gas let out"];

impl PressureDecay {
    /// Takes the next reading or mark. A mark counts where nothing else was said: the last
    /// time that the supply was shut, and the first time after it that gas was let out.
    pub fn take(&mut self, entry: &Entry) {
        match entry {
            Entry::Reading(reading) => self.push(reading),
            Entry::Mark(mark) => self.stamp(mark),
        }
    }

    fn stamp(&mut self, mark: &Mark) {
        let is = |kind, forms: &[&str]| {
            let note = mark.kind == MarkKind::Note;
            mark.kind == kind || note && forms.contains(&words(mark.words()).as_str())
        };
        let given = self.given;
        if is(MarkKind::SupplyShut, &SUPPLY_SHUT) && !given.0 {
            self.setup.shut_at_s = Some(mark.elapsed_s);
            if !given.1 {
                self.setup.vented_at_s = None;
            }
        } else if is(MarkKind::Vented, &VENTED) && !given.1 && self.setup.vented_at_s.is_none() {
            self.setup.vented_at_s = Some(mark.elapsed_s);
        }
    }
}

/// Small letters, words joined by one blank.
fn words(text: &str) -> String {
    let words = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty());
    words.collect::<Vec<_>>().join(" ").to_lowercase()
}

#[cfg(test)]
mod tests {
    use vacuum::{Mark, MarkKind};

    use super::*;
    use crate::Setup;

    /// A mark by its code, else a remark.
    fn mark(elapsed_s: f64, words: &str) -> Entry {
        let (kind, note) = match MarkKind::from_code(words) {
            Some(kind) => (kind, ""),
            None => (MarkKind::Note, words),
        };
        Entry::Mark(Mark {
            elapsed_s,
            kind,
            note: note.into(),
        })
    }

    #[test]
    fn the_last_shutting_of_the_supply_counts() {
        let mut test = PressureDecay::new(Setup::default());
        for entry in [
            mark(10.0, "supply_shut"),
            mark(20.0, "vented"),
            mark(90.0, "Supply valve shut"),
            mark(900.0, "vented"),
        ] {
            test.take(&entry);
        }
        assert_eq!(test.setup.shut_at_s, Some(90.0));
        assert_eq!(test.setup.vented_at_s, Some(900.0));
    }

    #[test]
    fn what_was_given_wins_over_marks() {
        let mut test = PressureDecay::new(Setup {
            shut_at_s: Some(5.0),
            ..Setup::default()
        });
        test.take(&mark(90.0, "supply_shut"));
        assert_eq!(test.setup.shut_at_s, Some(5.0));
    }
}
