//! Which key stamps which mark: one table for keyboard, typed lines and page.

use vacuum::MarkKind;

use crate::{act::Act, marks::MANIFOLD_SHUT};

/// The keys that stamp, in the order of a job.
pub const STAMPS: &str = "ospmtbhn";

/// What a single key stamps, and the remark that goes with it.
///
/// ```
/// use vacuum::MarkKind;
/// assert_eq!(watch::keys::mark_of_key('s'), Some((MarkKind::PumpSideShut, "")));
/// assert_eq!(watch::keys::mark_of_key('x'), None);
/// ```
pub fn mark_of_key(key: char) -> Option<(MarkKind, &'static str)> {
    Some(match key {
        's' => (MarkKind::PumpSideShut, ""),
        'p' => (MarkKind::PumpStopped, ""),
        'm' => (MarkKind::Note, MANIFOLD_SHUT),
        'o' => (MarkKind::ValveOpened, ""),
        'n' => (MarkKind::NitrogenBreak, ""),
        't' => (MarkKind::Throttled, ""),
        'b' => (MarkKind::BallastOpened, ""),
        'h' => (MarkKind::HeatApplied, ""),
        _ => return None,
    })
}

/// What a typed line asks for: a letter or code is an act, anything else a remark; an
/// empty line asks for nothing.
pub fn act_of_line(line: &str) -> Option<Act> {
    let mut letters = line.chars();
    let key = letters.next()?;
    if letters.next().is_none() {
        if key == 'u' {
            return Some(Act::Undo(None));
        }
        if let Some((kind, note)) = mark_of_key(key) {
            return Some(Act::Mark(kind, note.to_owned()));
        }
    }
    Some(match MarkKind::from_code(line) {
        Some(kind) => Act::Mark(kind, String::new()),
        None => Act::Mark(MarkKind::Note, line.to_owned()),
    })
}
