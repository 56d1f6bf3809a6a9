//! What is known around a pull-down, and what is found in it.

use findings::StallKind;
use run_memory::Block;
use vacuum::Mark;

/// Near the end of the pull-down: nothing came after, s (common practice, no source).
pub(super) const END_S: f64 = 25.0;

/// What is known around a pull-down.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PulldownContext<'a> {
    /// The whole record: it shows what the gauge does by itself.
    pub(crate) record: &'a [Block],
    pub(crate) marks: &'a [Mark],
    pub(crate) target_micron: f64,
    pub(crate) ambient_c: Option<f64>,
    /// Only one side of the capillary tube is evacuated.
    pub(crate) one_side: bool,
    /// The pull-down ended by valving the pump off.
    pub(crate) isolated: bool,
}

/// A stretch with a name, before its evidence is collected.
#[derive(Debug, Clone, Copy)]
pub(super) struct NamedStretch {
    pub(super) kind: StallKind,
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) ends_at_micron: Option<f64>,
}

/// Above this many times the target something holds a pull-down up; nearer to it nobody
/// waits (common practice, no source).
const HELD_UP: f64 = 1.05;

/// ln p above which something holds a pull-down up.
pub(super) fn held_up_above(target_micron: f64) -> f64 {
    (HELD_UP * target_micron).ln()
}
