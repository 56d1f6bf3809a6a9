//! What a page offers to stamp, and what a person there asks for as an act of the recorder.

use vacuum::{Mark, MarkKind};
use watch::{
    Act,
    keys::{CHARGING, STAMPS, mark_of_key},
};

use crate::{
    requests::{Asked, Stamp},
    session::Device,
};

/// The acts a page offers, in the order of a job.
pub fn stamps() -> Vec<Stamp> {
    STAMPS
        .chars()
        .chain(CHARGING.chars())
        .filter_map(|key| {
            let (kind, note) = mark_of_key(key)?;
            let label = match kind {
                MarkKind::Note => note,
                kind => kind.label(),
            };
            Some(Stamp {
                key,
                label: label.to_owned(),
            })
        })
        .collect()
}

/// What a device asks for, as an act of the recorder. The record says which device it was.
pub fn act(asked: Asked, device: Device) -> Option<Act> {
    let device = device.to_string();
    let mark = |kind, note: &str| Act::Mark(kind, Mark::noted_by(note, &device));
    match asked {
        Asked::Stamp(key) => mark_of_key(key).map(|(kind, note)| mark(kind, note)),
        Asked::Undo(number) => Some(Act::UndoFrom(number, device)),
        Asked::Note(text) => Some(mark(MarkKind::Note, &text)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A device, as a page names one.
    fn device() -> Device {
        Device::named("K7QF").expect("a name")
    }

    #[test]
    fn every_stamp_is_an_act_of_its_device() {
        let all = stamps();
        let offered = STAMPS.len() + CHARGING.len();
        assert_eq!(all.len(), offered);
        for stamp in &all {
            let Some(Act::Mark(_, note)) = act(Asked::Stamp(stamp.key), device()) else {
                panic!("{stamp:?}");
            };
            assert!(note.ends_with("[device K7QF]"), "{note}");
        }
        let kinds: std::collections::BTreeSet<_> = all.iter().map(|s| &s.label).collect();
        assert_eq!(kinds.len(), offered, "each says something else: {kinds:?}");
        let stop = act(Asked::Stamp('q'), device());
        assert_eq!(stop, None, "nobody stops a run from afar");
        let undo = act(Asked::Undo(3), device());
        assert_eq!(undo, Some(Act::UndoFrom(3, "K7QF".into())));
        let note = act(Asked::Note("door open".into()), device());
        let noted = "door open [device K7QF]".to_owned();
        assert_eq!(note, Some(Act::Mark(MarkKind::Note, noted)));
    }
}
