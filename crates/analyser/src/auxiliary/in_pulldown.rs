//! The far side above the pump side in the pull-down.
//!
//! Gas flows from the far side to the pump through hoses, valve cores and perhaps
//! a capillary of conductance C. The throughput is the same everywhere,
//! Q = S·p_pump = C·(p_far − p_pump), so p_far/p_pump = 1 + S/C: the ratio tells
//! directly which share of the pump's speed the system feels,
//! S_far/S = p_pump/p_far. It is a lower bound of the ratio of speeds: near its
//! ultimate pressure the pump takes less than S·p_pump, and once nothing flows
//! both gauges agree whatever the hose. Source of the series law:
//! [`Pair::ratio`].

use findings::{AuxiliaryFindings, FarSide, Finding, Pair, Pulldown, Statement};
use statistics::robust::median_of;

use super::{ACT_S, Comparison, middle};

/// So many times above the pump side, the system feels less than a quarter of the
/// pump; sound evacuation hoses reach 2 to 3 near 500 micron (common practice, no
/// source).
const LAGS: f64 = 4.0;
/// For at least so long, s (common practice, no source).
const LASTING_S: f64 = 300.0;
/// Pauses in it shorter than this do not count, s (common practice, no source).
const PAUSE_S: f64 = 30.0;
/// Stretches over which a ratio is a median, s (common practice, no source).
const STRETCH_S: f64 = 30.0;

impl Comparison<'_> {
    /// The stretch of the pull-down in which the judged gauge stood highest above
    /// the other.
    pub(super) fn furthest_apart(&self, pulldown: &Pulldown) -> Option<Pair> {
        let pairs = self.within(pulldown.start_s, pulldown.end_s - ACT_S);
        let stretches = pairs.chunk_by(|a, b| slot(a) == slot(b));
        stretches
            .filter_map(middle)
            .max_by(|a, b| a.ratio().total_cmp(&b.ratio()))
    }

    /// Said when the far side lags far behind for long, above the target.
    pub(super) fn far_side_lags(
        &self,
        pulldown: &Pulldown,
        target_micron: f64,
        auxiliary: &AuxiliaryFindings,
    ) -> Option<Finding> {
        let all = self.within(pulldown.start_s, pulldown.end_s);
        let lagging: Vec<Pair> = all
            .iter()
            .copied()
            .filter(|p| p.far_micron > target_micron && p.ratio() >= LAGS)
            .collect();
        let stretches = lagging.chunk_by(|a, b| b.at_s - a.at_s <= PAUSE_S);
        let length =
            |s: &&[Pair]| s.last().map_or(0.0, |p| p.at_s) - s.first().map_or(0.0, |p| p.at_s);
        let longest = stretches.max_by(|a, b| length(a).total_cmp(&length(b)))?;
        let lasted_s = length(&longest);
        if lasted_s < LASTING_S {
            return None;
        }
        let ratio = median_of(longest.iter().map(Pair::ratio));
        let example = longest.get(longest.len() / 2)?;
        Some(Finding {
            at_s: longest.first().map(|p| p.at_s),
            statement: Statement::FarSideLags {
                ratio,
                lasted_s,
                far_micron: example.far_micron,
                auxiliary_micron: example.auxiliary_micron,
                far_side: waited(auxiliary, pulldown),
            },
        })
    }
}

/// Who was at the target first.
fn waited(auxiliary: &AuxiliaryFindings, pulldown: &Pulldown) -> FarSide {
    match (auxiliary.reached_target_s, pulldown.reached_target_s) {
        (Some(pump_s), Some(far_s)) if far_s > pump_s => FarSide::Later(far_s - pump_s),
        (Some(_), None) => FarSide::Never,
        _ => FarSide::NotLater,
    }
}

fn slot(pair: &Pair) -> f64 {
    (pair.at_s / STRETCH_S).floor()
}
