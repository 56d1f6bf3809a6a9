/// An act the technician did, as a code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MarkKind {
    /// A valve was opened to the pump: pull-down begins or resumes.
    ValveOpened,
    /// The valve on the pump side was shut: the system is isolated.
    PumpSideShut,
    /// The pump was stopped.
    PumpStopped,
    /// Dry nitrogen was let in, through a regulator.
    NitrogenBreak,
    /// The flow at the pump was reduced (to let foaming oil settle).
    Throttled,
    /// The pump's gas ballast was opened.
    BallastOpened,
    /// Heat was applied to the system.
    HeatApplied,
    /// Dry gas was let into the system for a pressure test: the pressure of the test is
    /// reached.
    Pressurised,
    /// The valve of the gas supply was shut: the pressure test begins.
    SupplyShut,
    /// The gas was let out again: the pressure test is over.
    Vented,
    /// A remark.
    Note,
}

impl MarkKind {
    /// Every kind.
    pub const ALL: [Self; 11] = [
        Self::ValveOpened,
        Self::PumpSideShut,
        Self::PumpStopped,
        Self::NitrogenBreak,
        Self::Throttled,
        Self::BallastOpened,
        Self::HeatApplied,
        Self::Pressurised,
        Self::SupplyShut,
        Self::Vented,
        Self::Note,
    ];

    /// The code in the `mark` column.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::ValveOpened => "valve_opened",
            Self::PumpSideShut => "pump_side_shut",
            Self::PumpStopped => "pump_stopped",
            Self::NitrogenBreak => "nitrogen_break",
            Self::Throttled => "throttled",
            Self::BallastOpened => "ballast_opened",
            Self::HeatApplied => "heat_applied",
            Self::Pressurised => "pressurised",
            Self::SupplyShut => "supply_shut",
            Self::Vented => "vented",
            Self::Note => "note",
        }
    }

    /// What to print on the curve and the sheet.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::ValveOpened => "valve opened",
            Self::PumpSideShut => "pump-side valve shut",
            Self::PumpStopped => "pump stopped",
            Self::NitrogenBreak => "nitrogen break",
            Self::Throttled => "flow throttled",
            Self::BallastOpened => "gas ballast opened",
            Self::HeatApplied => "heat applied",
            Self::Pressurised => "pressurised",
            Self::SupplyShut => "supply valve shut",
            Self::Vented => "gas vented",
            Self::Note => "note",
        }
    }

    /// Reads a code back, whatever its case.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|k| k.code().eq_ignore_ascii_case(code.trim()))
    }
}

/// A stamped act.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Seconds since the run started.
    pub elapsed_s: f64,
    /// What was done.
    pub kind: MarkKind,
    /// The technician's own words, possibly empty. A mark stamped from a device of its
    /// own (a phone) ends with its name: see [`Mark::noted_by`].
    pub note: String,
}

/// How far two times may lie apart and be the same mark, s: a record keeps whole
/// milliseconds.
const SAME_S: f64 = 0.001_5;

/// Around the name of a device in a note.
const DEVICE_BEGINS: &str = "[device ";
const DEVICE_ENDS: &str = "]";
/// Longest name of a device, characters.
const DEVICE_MOST: usize = 16;

impl Mark {
    /// The remark that says that the valves of the manifold were shut. The codes of
    /// acts are fixed and this act has none, so it is a note of this fixed form.
    pub const MANIFOLD_SHUT: &str = "manifold valves shut";

    /// The remark that says that the pump's gas ballast was closed: a note of a fixed form
    /// too, so that a reader that does not know it sees words that a person understands.
    pub const BALLAST_CLOSED: &str = "gas ballast closed";

    /// True for the remark that the manifold valves are shut, in the fixed form or as
    /// a foreign table writes it (`manifold_shut`); case does not count.
    #[must_use]
    pub fn is_manifold_shut(&self) -> bool {
        self.is_remark(&[Self::MANIFOLD_SHUT, "manifold valve shut", "manifold shut"])
    }

    /// True for the remark that the gas ballast is closed, in the fixed form or as a
    /// foreign table writes it (`ballast_closed`); case does not count.
    #[must_use]
    pub fn is_ballast_closed(&self) -> bool {
        self.is_remark(&[
            Self::BALLAST_CLOSED,
            "gas ballast shut",
            "ballast closed",
            "ballast shut",
        ])
    }

    /// True for a note that says one of these, whatever the case and the signs between.
    pub(crate) fn is_remark(&self, forms: &[&str]) -> bool {
        let words = |text: &str| -> Vec<String> {
            text.split(|c: char| !c.is_alphanumeric())
                .filter(|w| !w.is_empty())
                .map(str::to_lowercase)
                .collect()
        };
        let note = words(self.words());
        self.kind == MarkKind::Note && forms.iter().any(|form| note == words(form))
    }

    /// A note with the name of the device it was stamped from: `door open [device K7QF]`,
    /// or `[device K7QF]` alone where nothing was noted. The columns of a record are
    /// fixed, so the device stands at the end of the note.
    #[must_use]
    pub fn noted_by(note: &str, device: &str) -> String {
        let note = note.trim_end();
        let space = if note.is_empty() { "" } else { " " };
        format!("{note}{space}{DEVICE_BEGINS}{device}{DEVICE_ENDS}")
    }

    /// The note without the device, and without space around it.
    #[must_use]
    pub fn words(&self) -> &str {
        self.parts().0
    }

    /// The device it was stamped from; `None` for the recorder itself.
    #[must_use]
    pub fn device(&self) -> Option<&str> {
        self.parts().1
    }

    /// Words and device. What follows the last bracket is the device, so that words
    /// which end alike do not pass for one.
    fn parts(&self) -> (&str, Option<&str>) {
        let note = self.note.trim();
        let found = note
            .strip_suffix(DEVICE_ENDS)
            .and_then(|open| open.rsplit_once(DEVICE_BEGINS))
            .filter(|(_, device)| {
                let length = device.len();
                (1..=DEVICE_MOST).contains(&length)
                    && device.bytes().all(|b| b.is_ascii_alphanumeric())
            });
        match found {
            Some((words, device)) => (words.trim_end(), Some(device)),
            None => (note, None),
        }
    }

    /// The remark that takes this mark back, stamped at `elapsed_s`.
    ///
    /// A record is only added to, so a mark stamped by mistake stays in it. A later
    /// remark of this fixed form says that it does not count:
    /// `withdraws pump_side_shut at 754.250 s`.
    #[must_use]
    pub fn withdrawal(&self, elapsed_s: f64) -> Self {
        Self {
            elapsed_s,
            kind: MarkKind::Note,
            note: format!("withdraws {} at {:.3} s", self.kind.code(), self.elapsed_s),
        }
    }

    /// What this mark takes back, if it is a withdrawal: kind and time, s.
    #[must_use]
    pub fn withdraws(&self) -> Option<(MarkKind, f64)> {
        if self.kind != MarkKind::Note {
            return None;
        }
        let rest = self.words().strip_prefix("withdraws ")?;
        let (code, time) = rest.strip_suffix(" s")?.split_once(" at ")?;
        let at_s = time.parse::<f64>().ok().filter(|t| t.is_finite())?;
        Some((MarkKind::from_code(code)?, at_s))
    }

    /// Takes the mark that `withdrawal` names out of `marks`; gives its place, or
    /// `None` when there is none of that kind and time. A withdrawal names the last
    /// one that fits, and takes back itself nothing that came after it.
    pub fn withdraw_from(withdrawal: &Self, marks: &mut Vec<Self>) -> Option<usize> {
        let (kind, at_s) = withdrawal.withdraws()?;
        let is_it = |m: &Self| m.kind == kind && (m.elapsed_s - at_s).abs() <= SAME_S;
        let place = marks.iter().rposition(is_it)?;
        marks.remove(place);
        Some(place)
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
    fn a_withdrawal_names_its_mark_in_words_and_is_read_back() {
        let shut = mark(754.250_4, MarkKind::PumpSideShut, "");
        let withdrawal = shut.withdrawal(760.0);
        assert_eq!(withdrawal.note, "withdraws pump_side_shut at 754.250 s");
        assert_eq!(withdrawal.kind, MarkKind::Note);
        assert_eq!(
            withdrawal.withdraws(),
            Some((MarkKind::PumpSideShut, 754.25))
        );
    }

    #[test]
    fn the_manifold_is_shut_by_a_remark_of_a_fixed_form() {
        for note in [
            Mark::MANIFOLD_SHUT,
            "Manifold valves shut.",
            " manifold_shut ",
            "manifold-valve shut",
        ] {
            assert!(mark(1.0, MarkKind::Note, note).is_manifold_shut(), "{note}");
        }
        for note in [
            "",
            "manifold valves not shut",
            "manifold",
            "shut the manifold valves later",
        ] {
            assert!(
                !mark(1.0, MarkKind::Note, note).is_manifold_shut(),
                "{note}"
            );
        }
        let act = mark(1.0, MarkKind::PumpStopped, Mark::MANIFOLD_SHUT);
        assert!(!act.is_manifold_shut(), "an act is no remark");
    }

    #[test]
    fn the_gas_ballast_is_closed_by_a_remark_of_a_fixed_form() {
        for note in [
            Mark::BALLAST_CLOSED,
            "Gas ballast closed.",
            "ballast_closed",
            "gas ballast closed [device K7QF]",
        ] {
            let remark = mark(1.0, MarkKind::Note, note);
            assert!(remark.is_ballast_closed(), "{note}");
            assert!(!remark.is_manifold_shut(), "{note}");
        }
        for note in ["", "gas ballast not closed", "gas ballast opened"] {
            let remark = mark(1.0, MarkKind::Note, note);
            assert!(!remark.is_ballast_closed(), "{note}");
        }
    }

    #[test]
    fn a_device_stands_behind_the_words_and_changes_none_of_them() {
        for (words, note) in [
            ("", "[device K7QF]"),
            ("door open", "door open [device K7QF]"),
            // somebody types what looks like a device: the real one comes last
            ("a [device ABCD]", "a [device ABCD] [device K7QF]"),
        ] {
            assert_eq!(Mark::noted_by(words, "K7QF"), note);
            let stamped = mark(1.0, MarkKind::Note, note);
            assert_eq!((stamped.words(), stamped.device()), (words, Some("K7QF")));
        }
        for note in [
            "door open",
            "[device ]",
            "[device K7 QF]",
            "[device K7QF] door",
            "[device 12345678901234567]",
        ] {
            let stamped = mark(1.0, MarkKind::Note, note);
            assert_eq!((stamped.words(), stamped.device()), (note, None));
        }
        let shut = Mark::noted_by(Mark::MANIFOLD_SHUT, "K7QF");
        assert!(mark(1.0, MarkKind::Note, &shut).is_manifold_shut());
        let shut = mark(754.25, MarkKind::PumpSideShut, "[device K7QF]");
        let mut withdrawal = shut.withdrawal(760.0);
        withdrawal.note = Mark::noted_by(&withdrawal.note, "AB12");
        assert_eq!(
            withdrawal.withdraws(),
            Some((MarkKind::PumpSideShut, 754.25))
        );
    }

    #[test]
    fn other_remarks_withdraw_nothing() {
        for note in [
            "withdraws",
            "withdraws pump_side_shut",
            "withdraws the hose at 7 s",
            "withdraws pump_side_shut at noon s",
            "withdraws pump_side_shut at NaN s",
            "it withdraws pump_side_shut at 7.000 s",
        ] {
            assert_eq!(mark(9.0, MarkKind::Note, note).withdraws(), None, "{note}");
        }
        let act = mark(9.0, MarkKind::Throttled, "withdraws note at 7.000 s");
        assert_eq!(act.withdraws(), None, "an act is no remark");
    }

    #[test]
    fn the_last_mark_that_fits_goes_and_no_other() {
        let shut = mark(7.0, MarkKind::PumpSideShut, "");
        let mut marks = vec![
            mark(5.0, MarkKind::PumpSideShut, ""),
            mark(7.0, MarkKind::PumpStopped, ""),
            // as a record keeps it
            mark(7.000_4, MarkKind::PumpSideShut, ""),
        ];
        assert_eq!(
            Mark::withdraw_from(&shut.withdrawal(9.0), &mut marks),
            Some(2)
        );
        assert_eq!(Mark::withdraw_from(&shut.withdrawal(9.5), &mut marks), None);
        assert_eq!(marks.len(), 2);
    }
}
