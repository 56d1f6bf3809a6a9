//! A run as the functions see it that judge it.

use std::borrow::Cow;

use run_memory::{Block, Outages, TargetStretches};
use vacuum::{Mark, MarkKind, ReadingState};

use crate::settings::Settings;

/// The memory of a run as the judging functions see it.
pub(crate) struct RunView<'a> {
    pub(crate) settings: &'a Settings,
    pub(crate) blocks: Cow<'a, [Block]>,
    pub(crate) outages: &'a Outages,
    pub(crate) target_stretches: &'a TargetStretches,
    pub(crate) marks: &'a [Mark],
    pub(crate) rows: u64,
    pub(crate) used: u64,
    /// Time of the last row of any kind, s.
    pub(crate) last_s: Option<f64>,
    /// First measurement: time in s, pressure in micron.
    pub(crate) first: Option<(f64, f64)>,
    /// True where the first five measurements stand within 1 %.
    pub(crate) begins_still: bool,
    /// Last measurement: time in s, pressure in micron.
    pub(crate) newest: Option<(f64, f64)>,
}

impl RunView<'_> {
    /// When the valve to the pump was last opened before a time, s; minus infinity if it
    /// never was.
    pub(crate) fn opened_before_s(&self, before_s: f64) -> f64 {
        let opened = self
            .marks
            .iter()
            .filter(|m| m.kind == MarkKind::ValveOpened);
        let times = opened.map(|m| m.elapsed_s).filter(|t| *t < before_s);
        times.fold(f64::NEG_INFINITY, f64::max)
    }

    /// Over-range rows at the very end of the record, if any: start, s.
    pub(crate) fn ends_over_range(&self) -> Option<f64> {
        let last = self.outages.all().last()?;
        (last.state == ReadingState::Over && last.open).then_some(last.start_s)
    }
}
