//! What criteria ask for besides target, hold and ceiling: measured in the record.

use findings::{FurtherCriterion, Hold, Reason, Round};
use run_memory::Block;
use statistics::robust::median_of;
use vacuum::{RoundCriteria, Steady};

use crate::{run_view::RunView, settings::ROUNDING};

/// A time in whole seconds is half a second off at most, s (derived).
const CLOCK_S: f64 = 0.5;
/// Parts of the steady time, and how many of them have to have been measured (common
/// practice, no source).
const TENTHS: u32 = 10;
const FEWEST_LEVELS: usize = 8;

/// Each further criterion with what the record shows of it. `rounds` are all of the run,
/// `hold` is the one that is judged.
pub(crate) fn measured(view: &RunView<'_>, rounds: &[Round], hold: &Hold) -> Vec<FurtherCriterion> {
    let criteria = &view.settings.criteria.further;
    let is_judged = |h: &Hold| h.isolated_at_s.total_cmp(&hold.isolated_at_s).is_eq();
    let at = rounds
        .iter()
        .rposition(|r| r.hold.as_ref().is_some_and(is_judged));
    let judged = at.and_then(|at| rounds.get(at));
    let before = rounds.get(..at.unwrap_or(0)).unwrap_or_default();
    let mut all = FurtherCriterion::asked(criteria);
    for criterion in &mut all {
        match criterion {
            FurtherCriterion::PumpOn { on_s, .. } => *on_s = judged.and_then(pump_on_s),
            FurtherCriterion::Rise { rose_micron, .. } => {
                let ends = hold.highest_micron.zip(hold.start_micron);
                *rose_micron = ends.map(|(highest, start)| highest - start);
            }
            FurtherCriterion::Steady { moved_micron, .. } => {
                let steady = criteria.steady;
                *moved_micron = steady.and_then(|s| moved(&view.blocks, hold, s));
            }
            FurtherCriterion::BelowRepeat { highest_micron, .. } => {
                *highest_micron = hold.highest_micron;
            }
            FurtherCriterion::EarlierRounds { met, .. } => {
                *met = rounds_met(before, &criteria.earlier_rounds);
            }
            FurtherCriterion::BothSides { sides } => *sides = view.settings.access_sides,
            FurtherCriterion::Ambient { ambient_c, .. } => *ambient_c = view.settings.ambient_c,
            _ => {}
        }
    }
    all
}

/// The reasons of those that are not met or not shown: what breaks the system's own
/// criteria, then what leaves them unproven.
pub(crate) fn reasons(all: &[FurtherCriterion]) -> (Vec<Reason>, Vec<Reason>) {
    let unmet = all.iter().filter(|c| c.is_met() != Some(true));
    let (broken, doubtful): (Vec<_>, Vec<_>) =
        unmet.partition(|c| c.fails() && c.is_met() == Some(false));
    let reasons = |of: Vec<&FurtherCriterion>| of.into_iter().map(|c| c.reason()).collect();
    (reasons(broken), reasons(doubtful))
}

/// From the target reached and kept to the earliest instant at which the pump can have
/// been valved off, s.
fn pump_on_s(round: &Round) -> Option<f64> {
    let reached_s = round.pulldown.as_ref()?.reached_target_s?;
    let off_s = round.hold.as_ref()?.isolated_window_s.low_s;
    Some((off_s - reached_s + CLOCK_S).max(0.0))
}

/// Highest less lowest level in the last minutes of a hold, micron; `None` where it was not
/// measured over all of them. Levels are medians of a tenth of that time, so that the noise
/// of single readings does not count.
fn moved(blocks: &[Block], hold: &Hold, steady: Steady) -> Option<f64> {
    let from_s = hold.end_s - 60.0 * steady.last_min;
    if from_s < hold.isolated_at_s - CLOCK_S {
        return None;
    }
    let edge = |tenth: u32| from_s + 6.0 * steady.last_min * f64::from(tenth);
    let levels: Vec<f64> = (0..TENTHS)
        .filter_map(|i| {
            let a = blocks.partition_point(|b| b.t() < edge(i));
            let b = blocks.partition_point(|b| b.t() <= edge(i + 1));
            let inside = blocks.get(a..b).filter(|inside| !inside.is_empty())?;
            Some(median_of(inside.iter().map(Block::p)))
        })
        .collect();
    // a gap at either end would hide what moved there
    if levels.len() < FEWEST_LEVELS {
        return None;
    }
    let low = levels.iter().copied().reduce(f64::min)?;
    Some(levels.iter().copied().reduce(f64::max)? - low)
}

/// How many of the rounds that were asked for were there, in their order.
fn rounds_met(before: &[Round], asked: &[RoundCriteria]) -> usize {
    let mut rounds = before.iter();
    asked
        .iter()
        .take_while(|criteria| rounds.any(|round| reaches(round, criteria)))
        .count()
}

fn reaches(round: &Round, criteria: &RoundCriteria) -> bool {
    let at_most =
        |value: Option<f64>, limit: f64| value.is_some_and(|v| v <= limit * (1.0 + ROUNDING));
    let lowest = round.pulldown.as_ref().and_then(|p| p.lowest_micron);
    let hold = round.hold.as_ref();
    let started = hold.and_then(|h| h.start_micron);
    let down = at_most(lowest, criteria.target_micron) || at_most(started, criteria.target_micron);
    let held_s = hold.map_or(0.0, |h| h.duration_s + CLOCK_S);
    let long = criteria.hold_min.is_none_or(|min| held_s >= 60.0 * min);
    let highest = hold.and_then(|h| h.highest_micron);
    let low = criteria
        .ceiling_micron
        .is_none_or(|limit| at_most(highest, limit));
    down && long && low
}
