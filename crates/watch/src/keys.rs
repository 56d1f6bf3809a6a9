//! Which key stamps which mark: one table for keyboard, typed lines and page.

use vacuum::{ChargingAct, Mark, MarkKind, TestKind};

use crate::act::Act;

const MANIFOLD_SHUT: &str = Mark::MANIFOLD_SHUT;
const BALLAST_CLOSED: &str = Mark::BALLAST_CLOSED;

/// The keys that stamp, in the order of a job: those of an evacuation, then those of a
/// pressure test.
pub const STAMPS: &str = "ospmtbghnfev";

/// The keys that stamp the acts of charging, in their order, where a scale is recorded.
pub const CHARGING: &str = "wxaklz";

/// The key that stamps this act of charging.
pub(crate) fn key_of_charging(act: ChargingAct) -> Option<char> {
    let at = ChargingAct::ALL.iter().position(|other| *other == act)?;
    CHARGING.chars().nth(at)
}

/// Those of them that a run of this kind offers. Shutting the manifold cuts many a gauge off from the
/// system, so that the hold shows the manifold: it is offered only where the job says that
/// the gauge stays open to the system then (`gauge_open_to_system = true`).
///
/// ```
/// use vacuum::TestKind;
/// assert_eq!(watch::keys::offered(TestKind::Evacuation, Some(true)), "ospmtbghn");
/// assert_eq!(watch::keys::offered(TestKind::Evacuation, None), "osptbghn");
/// assert_eq!(watch::keys::offered(TestKind::PressureDecay, None), "fev");
/// ```
pub fn offered(test: TestKind, gauge_open_to_system: Option<bool>) -> String {
    let open = gauge_open_to_system == Some(true);
    let belongs = |key: &char| match test {
        TestKind::Evacuation => !"fev".contains(*key) && (*key != 'm' || open),
        TestKind::PressureDecay => "fev".contains(*key),
        TestKind::BlankOff => "osptbg".contains(*key),
    };
    STAMPS.chars().filter(belongs).collect()
}

/// What a single key stamps, and the remark that goes with it. A capital letter is the
/// same key: Caps Lock costs no mark.
///
/// ```
/// use vacuum::{Mark, MarkKind};
/// assert_eq!(watch::keys::mark_of_key('s'), Some((MarkKind::PumpSideShut, "")));
/// assert_eq!(watch::keys::mark_of_key('S'), Some((MarkKind::PumpSideShut, "")));
/// assert_eq!(watch::keys::mark_of_key('y'), None);
/// ```
pub fn mark_of_key(key: char) -> Option<(MarkKind, &'static str)> {
    Some(match key.to_ascii_lowercase() {
        's' => (MarkKind::PumpSideShut, ""),
        'p' => (MarkKind::PumpStopped, ""),
        'm' => (MarkKind::Note, MANIFOLD_SHUT),
        'o' => (MarkKind::ValveOpened, ""),
        'n' => (MarkKind::NitrogenBreak, ""),
        't' => (MarkKind::Throttled, ""),
        'b' => (MarkKind::BallastOpened, ""),
        'g' => (MarkKind::Note, BALLAST_CLOSED),
        'h' => (MarkKind::HeatApplied, ""),
        'f' => (MarkKind::Pressurised, ""),
        'e' => (MarkKind::SupplyShut, ""),
        'v' => (MarkKind::Vented, ""),
        key => {
            let at = CHARGING.find(key)?;
            (MarkKind::Note, ChargingAct::ALL.get(at)?.remark())
        }
    })
}

/// The letter of the key that stamps this mark; `r`, as for a remark, where none does.
pub fn letter(mark: &Mark) -> char {
    if let Some(key) = mark.charging_act().and_then(key_of_charging) {
        return key;
    }
    let is_it = |key: &char| match mark_of_key(*key) {
        Some((MarkKind::Note, MANIFOLD_SHUT)) => mark.is_manifold_shut(),
        Some((MarkKind::Note, BALLAST_CLOSED)) => mark.is_ballast_closed(),
        Some((kind, _)) => mark.kind == kind,
        None => false,
    };
    STAMPS.chars().find(is_it).unwrap_or('r')
}

/// What a typed line asks for: a letter of `offered` or a code is an act, anything else a
/// remark; an empty line asks for nothing.
///
/// ```
/// use watch::{Act, keys::act_of_line};
/// assert_eq!(act_of_line("Q", "os"), Some(Act::Stop));
/// assert_eq!(act_of_line("u", "os"), Some(Act::Undo(None)));
/// assert_eq!(act_of_line("", "os"), None);
/// ```
pub fn act_of_line(line: &str, offered: &str) -> Option<Act> {
    let mut letters = line.chars();
    let key = letters.next()?;
    if letters.next().is_none() {
        match key.to_ascii_lowercase() {
            'u' => return Some(Act::Undo(None)),
            'q' => return Some(Act::Stop),
            _ => {}
        }
        if let Some((kind, note)) =
            mark_of_key(key).filter(|_| offered.contains(key.to_ascii_lowercase()))
        {
            return Some(Act::Mark(kind, note.to_owned()));
        }
    }
    Some(match MarkKind::from_code(line) {
        Some(kind) => Act::Mark(kind, String::new()),
        None => Act::Mark(MarkKind::Note, line.to_owned()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_is_the_letter_of_what_it_stamps() {
        for key in STAMPS.chars() {
            let (kind, note) = mark_of_key(key).expect("a mark");
            let mark = Mark {
                elapsed_s: 1.0,
                kind,
                note: Mark::noted_by(note, "K7QF"),
            };
            assert_eq!(letter(&mark), key);
        }
        let remark = Mark {
            elapsed_s: 1.0,
            kind: MarkKind::Note,
            note: "the hose is cold".into(),
        };
        assert_eq!(letter(&remark), 'r');
    }

    #[test]
    fn the_manifold_is_a_key_only_where_the_gauge_stays_open_to_the_system() {
        let shut = Some(Act::Mark(MarkKind::Note, MANIFOLD_SHUT.to_owned()));
        assert_eq!(
            act_of_line("m", &offered(TestKind::Evacuation, Some(true))),
            shut
        );
        for unsure in [None, Some(false)] {
            let keys = offered(TestKind::Evacuation, unsure);
            assert!(!keys.contains('m'), "{keys}");
            let remark = Some(Act::Mark(MarkKind::Note, "m".to_owned()));
            assert_eq!(act_of_line("m", &keys), remark, "{unsure:?}");
        }
        let rest = |open| offered(TestKind::Evacuation, open).replace('m', "");
        assert_eq!(rest(Some(true)), rest(None), "nothing else depends on it");
    }
}
