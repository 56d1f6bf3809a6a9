//! Which hold the verdict speaks of: the last one, unless it never got anywhere.
//!
//! A stray stamp after the criteria are met begins a hold that nobody wanted. Broken off
//! before it could show anything, it takes nothing from the complete hold before it. One
//! that failed, or that shows a leak, is never passed over, and no hold counts for a system
//! that was let in again afterwards.

use findings::{Reason, RiseKind, Verdict};
use vacuum::{MarkKind, ReadingState};

use crate::{
    evacuation::{hold::JudgedHold, rounds::BROKEN_MICRON},
    run_view::RunView,
};

/// A valve that stayed shut lets the pressure fall no further than by this share between
/// two stamps (common practice, no source: a gauge that settles).
const STAYED_SHARE: f64 = 0.05;

/// A hold with what was made of it.
#[derive(Debug)]
pub(crate) struct Candidate {
    /// Its place among the rounds.
    pub(crate) round: usize,
    pub(crate) held: JudgedHold,
    /// The target was reached before it.
    pub(crate) reached: bool,
    pub(crate) verdict: Verdict,
    pub(crate) reasons: Vec<Reason>,
}

impl Candidate {
    /// It was broken off before it could decide anything, and nothing speaks against the
    /// system.
    fn got_nowhere(&self) -> bool {
        let hold = &self.held.hold;
        let only_short = self.reasons.iter().all(|reason| {
            matches!(
                reason,
                Reason::HoldTooShort
                    | Reason::GapInHold
                    | Reason::NoReadings
                    | Reason::GaugeTooCoarse
                    | Reason::UnitDoubtful
            )
        });
        let leak = matches!(hold.rise.kind, RiseKind::Leak | RiseKind::LeakAndMoisture);
        self.verdict == Verdict::NotProven
            && self.is_short()
            && only_short
            && hold.early_answer.is_none()
            && !leak
    }

    fn is_short(&self) -> bool {
        self.reasons.contains(&Reason::HoldTooShort)
    }
}

/// The place, among the candidates, of the one that counts.
pub(crate) fn that_counts(view: &RunView<'_>, all: &[Candidate]) -> Option<usize> {
    let last = all.len().checked_sub(1)?;
    let later = all.iter().rev().take_while(|c| c.got_nowhere()).count();
    let Some(before) = (all.len() - later).checked_sub(1) else {
        return Some(last);
    };
    let from_s = all[before].held.hold.isolated_at_s;
    let to_s = all[last].held.hold.end_s;
    let stands = !all[before].is_short() && !let_in_between(view, from_s, to_s);
    Some(if stands { before } else { last })
}

/// Nitrogen, or air, came in between.
fn let_in_between(view: &RunView<'_>, from_s: f64, to_s: f64) -> bool {
    let inside = |t: f64| (from_s..=to_s).contains(&t);
    let mut marks = view.marks.iter();
    let mut outages = view.outages.all().iter();
    let from = view.blocks.partition_point(|b| b.t() < from_s);
    let blocks = view.blocks.get(from..).unwrap_or_default();
    marks.any(|m| m.kind == MarkKind::NitrogenBreak && inside(m.elapsed_s))
        || outages.any(|o| o.state == ReadingState::Over && inside(o.start_s))
        || blocks
            .iter()
            .any(|b| inside(b.t()) && b.p() > BROKEN_MICRON)
}

/// True where the pump was not on the system between two stamps: then what was reached
/// before the first is reached before the second too.
pub(crate) fn stayed_shut(view: &RunView<'_>, before: &JudgedHold, now: &JudgedHold) -> bool {
    let (from_s, to_s) = (before.hold.isolated_at_s, now.hold.isolated_at_s);
    let (Some(end), Some(start)) = (before.hold.end_micron, now.hold.start_micron) else {
        return false;
    };
    let opened = view.opened_before_s(to_s) > from_s;
    !opened && start >= end * (1.0 - STAYED_SHARE) && !let_in_between(view, from_s, to_s)
}
