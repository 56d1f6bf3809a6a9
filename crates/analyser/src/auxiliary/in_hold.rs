//! Both gauges after isolation.
//!
//! Whether they feel one volume is not told by where they agree but by how they
//! move: a ratio that flow made in the pull-down collapses at once when the gas
//! between them comes to rest, and in one volume both rise alike. A gauge on the
//! pump's side of the valve goes its own way.

use findings::{AuxiliaryHold, Finding, Hold, Pair, Pulldown, Statement};
use statistics::robust::median;
use vacuum::ReadingState;

use super::{Comparison, NEAR_S, middle};
use crate::settings::GAUGE_ACCURACY;

/// A move that is not noise, micron (common practice, no source).
const MOVES_MICRON: f64 = 20.0;
/// A rise alone is at least this much, micron, and this many times where it began (common
/// practice, no source).
const ALONE: (f64, f64) = (200.0, 3.0);
/// The other gauge moves by less than this share of it meanwhile (common practice, no
/// source).
const ALONE_SHARE: f64 = 0.1;
/// It happens within this time, s; slower is no hose (common practice, no source).
const QUICK_S: f64 = 600.0;
/// A pump stopped so long before a rise explains it, s (common practice, no source).
const AFTER_STOP_S: f64 = 120.0;

/// The smaller of two rises over the larger, from which they are alike, and below which
/// only one gauge rose (common practice, no source).
const ALIKE: f64 = 0.7;
const ONE_ROSE: f64 = 0.2;
/// A move in standard deviations of the noise, and a difference between two gauges likewise
/// (common practice, no source).
const MOVES_SDS: f64 = 10.0;
const APART_SDS: f64 = 3.0;
/// Change of ln of the ratio of two gauges in a hold: up to the first the ratio stands,
/// from the second on they go their own ways (common practice, no source).
const RATIO_STANDS: f64 = 0.1;
const RATIO_DRIFTS: f64 = 0.5;
/// A ratio that flow made falls by more than the first factor at isolation, to less than
/// the second (common practice, no source).
const COLLAPSES: (f64, f64) = (1.5, 2.0);
/// A gauge that has not yet risen stands below this times its lowest (common practice, no
/// source).
const STILL: f64 = 1.2;

/// Median level at the beginning and the end of a stretch.
struct Ends {
    start: Pair,
    end: Pair,
}

impl Ends {
    fn of(pairs: &[Pair]) -> Option<Self> {
        let part = (pairs.len() / 10).clamp(1, 60);
        Some(Self {
            start: middle(pairs.get(..part)?)?,
            end: middle(pairs.get(pairs.len() - part..)?)?,
        })
    }

    /// Alike in micron, as gauges do whose zeros differ, or in shares of where they
    /// began, as gauges do whose scales differ.
    fn rise_alike(&self) -> bool {
        let alike = |a: f64, b: f64| a.min(b) > ALIKE * a.max(b);
        let (far, auxiliary) = self.rises();
        let scaled = alike(
            far / self.start.far_micron,
            auxiliary / self.start.auxiliary_micron,
        );
        alike(far, auxiliary) || scaled
    }

    /// Rise of the judged gauge and of the other, micron.
    fn rises(&self) -> (f64, f64) {
        (
            self.end.far_micron - self.start.far_micron,
            self.end.auxiliary_micron - self.start.auxiliary_micron,
        )
    }
}

impl Comparison<'_> {
    /// The other gauge in the settled hold.
    pub(super) fn in_hold(
        &self,
        hold: &Hold,
        pulldown: Option<&Pulldown>,
    ) -> Option<AuxiliaryHold> {
        let pairs = self.within(hold.settled_at_s, hold.end_s);
        let ends = Ends::of(pairs)?;
        let centre = middle(pairs)?;
        let flowing = pulldown.and_then(|p| self.last_minute(p));
        Some(AuxiliaryHold {
            start_micron: ends.start.auxiliary_micron,
            end_micron: ends.end.auxiliary_micron,
            difference_micron: centre.far_micron - centre.auxiliary_micron,
            same_volume: self.same_volume(hold, &ends, centre, flowing),
        })
    }

    fn same_volume(
        &self,
        hold: &Hold,
        ends: &Ends,
        centre: Pair,
        flowing: Option<Pair>,
    ) -> Option<bool> {
        if let Some(over_s) = self.over_range_from(hold) {
            // where the judged gauge ran over as well, nothing is told
            return self.far_at(over_s + NEAR_S).map(|_| false);
        }
        let (far_noise, beside_noise) = self.noise(hold.settled_at_s, hold.end_s);
        let noise = far_noise.reading_micron.max(beside_noise.reading_micron);
        let moves = MOVES_MICRON.max(MOVES_SDS * noise);
        let (far, auxiliary) = ends.rises();
        let drift = (ends.end.ratio() / ends.start.ratio()).ln().abs();
        let (less, more) = (far.min(auxiliary), far.max(auxiliary));
        if more > moves && less < ONE_ROSE * more {
            return Some(false);
        }
        if less > moves && ends.rise_alike() {
            return Some(true);
        }
        if drift > RATIO_DRIFTS {
            return Some(false);
        }
        // flow held them apart, and they came together when it ended
        let now = centre.ratio().ln();
        let fell = flowing.map_or(0.0, |p| p.ratio().ln() - now);
        let collapsed = fell > COLLAPSES.0.ln() && now.abs() < COLLAPSES.1.ln();
        (collapsed && drift < RATIO_STANDS).then_some(true)
    }

    /// Said when both feel one volume and read too differently.
    pub(super) fn gauges_disagree(
        &self,
        hold: &Hold,
        in_hold: Option<AuxiliaryHold>,
    ) -> Option<Finding> {
        in_hold.filter(|h| h.same_volume == Some(true))?;
        let centre = middle(self.within(hold.settled_at_s, hold.end_s))?;
        let (far, auxiliary) = self.noise(hold.settled_at_s, hold.end_s);
        let steps = far.step_micron.unwrap_or(0.0) + auxiliary.step_micron.unwrap_or(0.0);
        let noise = APART_SDS * far.reading_micron.hypot(auxiliary.reading_micron);
        let accuracy = GAUGE_ACCURACY * (centre.far_micron + centre.auxiliary_micron);
        let apart = (centre.far_micron - centre.auxiliary_micron).abs();
        (apart > accuracy + steps + noise).then(|| Finding {
            at_s: Some(hold.settled_at_s),
            statement: Statement::GaugesDisagree {
                far_micron: centre.far_micron,
                auxiliary_micron: centre.auxiliary_micron,
                place: self.other.place.clone(),
                accuracy: GAUGE_ACCURACY,
            },
        })
    }

    /// When the other gauge ran over its range in the hold to stay, s.
    fn over_range_from(&self, hold: &Hold) -> Option<f64> {
        let after = |t: f64| t >= hold.isolated_at_s && t <= hold.end_s;
        let all = self.other.outages.all().iter();
        let mut over =
            all.filter(|o| o.state == ReadingState::Over && o.rows >= 3 && after(o.start_s));
        over.next().map(|o| o.start_s)
    }

    /// Said when the pump side rises quickly and the judged gauge does not.
    pub(super) fn rises_alone(&self, hold: &Hold) -> Option<Finding> {
        let pairs = self.within(hold.isolated_at_s, hold.end_s);
        let lowest = pairs
            .iter()
            .min_by(|a, b| a.auxiliary_micron.total_cmp(&b.auxiliary_micron))?;
        let low = lowest.auxiliary_micron;
        let high = |p: &&Pair| {
            p.at_s > lowest.at_s
                && p.auxiliary_micron > ALONE.1 * low
                && p.auxiliary_micron > low + ALONE.0
        };
        let risen = pairs.iter().find(high);
        let over_s = self
            .over_range_from(hold)
            .filter(|t| *t > lowest.at_s - NEAR_S);
        let until_s = risen.map(|p| p.at_s).or(over_s)?;
        // the last time it still stood near its lowest
        let still = |p: &&Pair| p.at_s <= until_s && p.auxiliary_micron < STILL * low;
        let began = pairs.iter().rfind(still)?;
        let far_now = self.far_at(until_s)?;
        let rose = risen.map_or(f64::INFINITY, |p| p.auxiliary_micron - low);
        let far_rose = far_now - began.far_micron;
        if until_s - began.at_s > QUICK_S || far_rose > ALONE_SHARE * rose.max(ALONE.0) {
            return None;
        }
        let (to_micron, end_s) = match over_s {
            Some(over_s) => (None, over_s),
            None => {
                let top = pairs
                    .iter()
                    .max_by(|a, b| a.auxiliary_micron.total_cmp(&b.auxiliary_micron))?;
                (Some(top.auxiliary_micron), top.at_s)
            }
        };
        let alone = Statement::PumpSideRisesAlone {
            from_micron: low,
            to_micron,
            within_s: (end_s - began.at_s).max(1.0),
            far_micron: far_now,
            pump_stopped: self.pump_stopped_within(began.at_s - AFTER_STOP_S, until_s),
        };
        Some(Finding::at(began.at_s, alone))
    }

    /// The judged gauge around an instant, micron, whether or not the other
    /// measures then.
    fn far_at(&self, at_s: f64) -> Option<f64> {
        let near = self.view.blocks.iter();
        let near = near.filter(|b| (b.t() - at_s).abs() <= NEAR_S);
        let mut levels: Vec<f64> = near.map(run_memory::Block::p).collect();
        (!levels.is_empty()).then(|| median(&mut levels))
    }
}
