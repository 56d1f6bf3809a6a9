//! From rests, disturbances and acts to what is said of a charge.

use findings::{Charge, ChargeBasis, ChargeNotice, ChargePhase, Estimate};
use vacuum::{ChargingAct, Mark, Weighed, Weighing};

use crate::{
    disturbance::{Disturbance, Watcher},
    rest::Rest,
    steps::Steps,
};

/// How far from the nameplate a charge may lie where nobody said otherwise, g (common
/// practice with small charges, no source).
pub const DEFAULT_TOLERANCE_G: f64 = 1.0;

/// Rests and disturbances that are kept; where more come, the oldest but the first go.
const MOST_KEPT: usize = 512;
/// So long before the weigh-in was said to begin the scale may have stood still last, s.
const BEFORE_S: f64 = 30.0;
/// A scale that stood still last this long before the end has moved since, s.
const STILL_S: f64 = 6.0;
/// A scale that stands still within this time after the end still belongs to it, s.
const AFTER_S: f64 = 10.0;
/// Creep of a scale in half an hour: half a step (OIML R 76-1, from memory).
const CREEP_STEPS: f64 = 0.5;
/// A movement of more than this is never taken for steps and scatter, g: no scale that a
/// charge is weighed on is coarser than a quarter of it.
const COARSEST_G: f64 = 20.0;
/// Two-sided 95 % of a normal distribution.
const COVERAGE: f64 = 1.96;
/// Longer without a word of the scale, s, is told.
const LONG_SILENCE_S: f64 = 5.0;
/// Scatter that is taken for that of a scale before any rest, in steps.
const USUAL_SCATTER_STEPS: f64 = 0.5;

/// What is known of a charge before it is weighed.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Setup {
    /// What the nameplate says, g.
    pub nameplate_g: Option<f64>,
    /// What the hoses keep, g: so much more is to leave the cylinder.
    pub left_in_hoses_g: Option<f64>,
    /// How far from the nameplate the charge may lie, g; [`DEFAULT_TOLERANCE_G`] if `None`.
    pub tolerance_g: Option<f64>,
}

/// A weigh-in, reading by reading.
#[derive(Debug, Clone)]
pub struct WeighIn {
    setup: Setup,
    steps: Steps,
    rests: Vec<Rest>,
    /// The stretch that may become a rest, or is one already.
    open: Option<Rest>,
    /// Highest value since the last rest, g.
    highest_g: f64,
    watcher: Watcher,
    disturbances: Vec<Disturbance>,
    /// From when to when the scale was not heard, or not well.
    silences: Vec<(f64, f64)>,
    last: Option<(f64, Option<f64>)>,
    marks: Vec<Mark>,
    /// A hold had passed when the weigh-in began, as far as somebody knows.
    hold_passed: Option<bool>,
}

impl WeighIn {
    /// Before the first reading.
    #[must_use]
    pub fn new(setup: Setup) -> Self {
        Self {
            setup,
            steps: Steps::default(),
            rests: Vec::new(),
            open: None,
            highest_g: f64::NEG_INFINITY,
            watcher: Watcher::default(),
            disturbances: Vec::new(),
            silences: Vec::new(),
            last: None,
            marks: Vec::new(),
            hold_passed: None,
        }
    }

    /// Says whether a hold had passed when the weigh-in began.
    pub fn hold_passed(&mut self, passed: bool) {
        self.hold_passed = Some(passed);
    }

    /// Takes a mark; those that are no acts of charging are passed over. A mark that takes
    /// back an act takes it out again.
    pub fn mark(&mut self, mark: &Mark) {
        if mark.charging_act().is_some() {
            self.marks.push(mark.clone());
        } else if mark.withdraws().is_some() {
            Mark::withdraw_from(mark, &mut self.marks);
        }
    }

    /// True once a weigh-in was said to begin.
    #[must_use]
    pub fn has_begun(&self) -> bool {
        self.when(ChargingAct::WeighInBegins).is_some()
    }

    /// Takes what the scale says.
    pub fn push(&mut self, weighing: &Weighing) {
        let at_s = weighing.elapsed_s;
        let (before_s, before_g) = self.last.unwrap_or((at_s, None));
        let g = weighing.on_scale_g();
        if at_s - before_s > LONG_SILENCE_S || g.is_none() || before_g.is_none() {
            self.not_heard(before_s, at_s);
        }
        self.last = Some((at_s, g));
        let Some(g) = g else {
            self.close();
            self.watcher.forget();
            return;
        };
        self.steps.push(g);
        self.highest_g = self.highest_g.max(g);
        let noise_g = self.noise_g();
        if !self.rests.is_empty() || self.open.is_some_and(|r| r.is_long_enough()) {
            let back = self.watcher.push(at_s, g, noise_g);
            self.disturbances.extend(back);
        }
        let said = match weighing.weighed {
            Weighed::Mass { steadiness, .. } => steadiness,
            _ => return,
        };
        if said == vacuum::Steadiness::Moving {
            self.close();
            return;
        }
        let width_g = self.width_g();
        let took = self
            .open
            .as_mut()
            .is_some_and(|rest| rest.takes(at_s, g, width_g));
        if !took {
            self.close();
            self.open = Some(Rest::starting(at_s, g, self.highest_g));
        }
        if let Some(rest) = self.open.filter(Rest::is_long_enough) {
            let ended = self
                .watcher
                .stands_still(rest.from_s, rest.mean_g(), noise_g);
            self.disturbances.extend(ended);
            limit(&mut self.disturbances);
        }
    }

    fn not_heard(&mut self, from_s: f64, to_s: f64) {
        match self.silences.last_mut() {
            Some((_, until)) if *until >= from_s => *until = to_s,
            _ => self.silences.push((from_s, to_s)),
        }
        limit(&mut self.silences);
    }

    fn close(&mut self) {
        if let Some(rest) = self.open.take().filter(Rest::is_long_enough) {
            self.rests.push(rest);
            self.highest_g = f64::NEG_INFINITY;
            limit(&mut self.rests);
        }
    }

    /// What the values of one rest scatter, g: the middle of the rests there were.
    fn scatter_g(&self) -> f64 {
        let mut all: Vec<f64> = self
            .rests
            .iter()
            .rev()
            .take(9)
            .map(Rest::scatter_g)
            .collect();
        all.sort_by(f64::total_cmp);
        let step_g = self.steps.step_g().unwrap_or(0.0);
        let usual = USUAL_SCATTER_STEPS * step_g;
        all.get(all.len() / 2)
            .map_or(usual, |middle| middle.max(usual))
    }

    /// What steps and scatter alone may move a value, g.
    fn noise_g(&self) -> f64 {
        // while only one value was seen nobody knows the step
        let step_g = self.steps.step_g().unwrap_or(COARSEST_G);
        (4.0 * step_g).max(7.0 * self.scatter_g()).min(COARSEST_G)
    }

    /// How far apart the values of one rest may lie, g.
    fn width_g(&self) -> f64 {
        let step_g = self.steps.step_g().unwrap_or(0.0);
        (3.0 * step_g).max(7.0 * self.scatter_g()).min(COARSEST_G) * (1.0 + 1e-6)
    }

    fn when(&self, act: ChargingAct) -> Option<f64> {
        let mut found = self.marks.iter().filter(|m| m.charging_act() == Some(act));
        // begun again after a mistake: the last beginning counts
        found.next_back().map(|m| m.elapsed_s)
    }

    /// What there is to say; `None` before a weigh-in was said to begin.
    #[must_use]
    pub fn charge(&self) -> Option<Charge> {
        let begun_at_s = self.when(ChargingAct::WeighInBegins)?;
        let later = |at: &f64| *at >= begun_at_s;
        let ended_at_s = self.when(ChargingAct::WeighInEnds).filter(later);
        let open = self.open.filter(Rest::is_long_enough);
        let rests: Vec<Rest> = self.rests.iter().copied().chain(open).collect();
        let before = before(&rests, begun_at_s, ended_at_s.unwrap_or(f64::INFINITY))
            .filter(|rest| self.is_before_the_flow(rest, begun_at_s));
        let after = before.and_then(|b| after(&rests, &b, ended_at_s));
        // whoever takes the cylinder off afterwards disturbs nothing
        let until_s = ended_at_s.map_or(f64::INFINITY, |end| {
            after.map_or(end, |rest| rest.from_s.max(end))
        });
        let mut notices = self.notices(begun_at_s, until_s);
        let zero_lost = notices
            .iter()
            .any(|n| matches!(n, ChargeNotice::ZeroLost { .. }));
        let lost = match (before, after) {
            (Some(b), Some(a)) if !zero_lost && !self.is_unsure(&b, &a) => {
                Some(self.difference(&b, &a))
            }
            _ => None,
        };
        let hoses_g = self.setup.left_in_hoses_g.unwrap_or(0.0);
        let shifted = |e: Estimate| Estimate {
            value: e.value - hoses_g,
            low: e.low - hoses_g,
            high: e.high - hoses_g,
        };
        let tolerance_g = self.setup.tolerance_g.unwrap_or(DEFAULT_TOLERANCE_G);
        let charged_g = lost.map(shifted);
        if before.is_none() && (self.last.is_some() || ended_at_s.is_some()) {
            notices.push(ChargeNotice::NotSettledBefore);
        }
        if ended_at_s.is_some() {
            if before.is_some() && after.is_none() && !zero_lost {
                notices.push(ChargeNotice::NotSettledAfter);
            }
            notices.extend(self.against_nameplate(charged_g, tolerance_g));
        }
        let now_g = self.last.and_then(|(_, g)| g).filter(|_| !zero_lost);
        let to_go_g = self
            .setup
            .nameplate_g
            .zip(before)
            .and_then(|(nameplate_g, b)| {
                let gone = match ended_at_s {
                    Some(_) => lost?.value,
                    None => b.mean_g() - now_g?,
                };
                Some(nameplate_g + hoses_g - gone)
            });
        if ended_at_s.is_none() && to_go_g.is_some_and(|g| g < -tolerance_g) {
            let by_g = -to_go_g.unwrap_or(0.0);
            notices.push(ChargeNotice::TooMuch { by_g });
        }
        Some(Charge {
            basis: ChargeBasis::Weighed,
            phase: match (ended_at_s, before) {
                (Some(_), _) => ChargePhase::Ended,
                (None, Some(_)) => ChargePhase::Filling,
                (None, None) => ChargePhase::Settling,
            },
            begun_at_s: Some(begun_at_s),
            ended_at_s,
            nameplate_g: self.setup.nameplate_g,
            tolerance_g,
            left_in_hoses_g: self.setup.left_in_hoses_g,
            left_cylinder_g: lost,
            charged_g,
            to_go_g,
            step_g: self.steps.step_g(),
            acts: self
                .marks
                .iter()
                .filter(|m| m.elapsed_s >= begun_at_s)
                .filter_map(|m| Some((m.elapsed_s, m.charging_act()?)))
                .collect(),
            notices,
        })
    }

    /// What left between two rests.
    fn difference(&self, before: &Rest, after: &Rest) -> Estimate {
        let step_g = self.steps.step_g().unwrap_or(0.0);
        let between_s = (after.from_s - before.to_s).max(0.0);
        let rectangular = step_g * step_g / 12.0;
        let creep = (CREEP_STEPS * step_g).powi(2) / 3.0;
        // a scale that drifts does so in both rests; where only one moves, refrigerant flowed
        let slopes = significant_slope(before, step_g).zip(significant_slope(after, step_g));
        let drift = match slopes {
            Some((a, b)) if a * b > 0.0 => (a.abs().min(b.abs()) * between_s).powi(2),
            _ => 0.0,
        };
        let variance =
            2.0 * rectangular + before.mean_variance() + after.mean_variance() + creep + drift;
        let value = before.mean_g() - after.mean_g();
        let off = COVERAGE * variance.sqrt();
        Estimate {
            value,
            low: value - off,
            high: value + off,
        }
    }

    /// False for a rest that the scale came to only after it had fallen: refrigerant had left
    /// by then.
    fn is_before_the_flow(&self, rest: &Rest, begun_at_s: f64) -> bool {
        let fell = rest.came_from_g - rest.mean_g() > self.noise_g();
        !fell || rest.from_s <= begun_at_s
    }

    /// True if something that moved the scale between these rests was not seen to come back:
    /// refrigerant that flowed meanwhile hides how much of it stayed.
    fn is_unsure(&self, before: &Rest, after: &Rest) -> bool {
        let mut all = self.disturbances.iter().copied().chain(self.watcher.now());
        all.any(|d| d.at_s > before.to_s - 1.0 && d.at_s < after.to_s && !d.came_back)
    }

    fn notices(&self, begun_at_s: f64, until_s: f64) -> Vec<ChargeNotice> {
        let mut notices = Vec::new();
        if self.hold_passed == Some(false) {
            notices.push(ChargeNotice::NoHoldPassed);
        }
        let all = self.disturbances.iter().copied().chain(self.watcher.now());
        for moved in all.filter(|d| d.at_s >= begun_at_s && d.at_s <= until_s) {
            let (at_s, by_g) = (moved.at_s, moved.by_g);
            notices.push(match moved.fell_for_good_g {
                Some(by_g) => ChargeNotice::ZeroLost { at_s, by_g },
                None => ChargeNotice::Touched {
                    at_s,
                    by_g,
                    came_back: moved.came_back,
                },
            });
        }
        for (from_s, to_s) in self.silences.iter().copied() {
            if to_s > from_s && to_s > begun_at_s && from_s < until_s {
                notices.push(ChargeNotice::NotHeard { from_s, to_s });
            }
        }
        let step_g = self.steps.step_g().unwrap_or(0.0);
        let resting = self.rests.iter().chain(self.open.as_ref());
        let in_it = |rest: &&Rest| rest.to_s >= begun_at_s && rest.from_s <= until_s;
        let drifts = resting
            .filter(in_it)
            .filter(|rest| rest.to_s - rest.from_s >= 10.0)
            .filter_map(|rest| significant_slope(rest, step_g))
            // a cylinder that gets lighter is what is wanted
            .filter(|slope| *slope > 0.0)
            .max_by(f64::total_cmp);
        notices.extend(drifts.map(|slope| ChargeNotice::Drifts {
            g_per_min: slope * 60.0,
        }));
        notices
    }

    fn against_nameplate(
        &self,
        charged_g: Option<Estimate>,
        tolerance_g: f64,
    ) -> Option<ChargeNotice> {
        let by_g = charged_g?.value - self.setup.nameplate_g?;
        match by_g {
            by_g if by_g > tolerance_g => Some(ChargeNotice::TooMuch { by_g }),
            by_g if by_g < -tolerance_g => Some(ChargeNotice::TooLittle { by_g: -by_g }),
            _ => None,
        }
    }
}

/// Slope of a rest, g/s, where the rest shows that there is one: beyond three standard
/// errors, and by more than a step over its length.
fn significant_slope(rest: &Rest, step_g: f64) -> Option<f64> {
    let (slope, error) = rest.slope();
    let moved = slope.abs() * (rest.to_s - rest.from_s);
    (slope.abs() > 3.0 * error && moved > step_g).then_some(slope)
}

/// The last rest before the cylinder was opened: the first one that lasts beyond the
/// beginning of the weigh-in, else the last one shortly before.
fn before(rests: &[Rest], begun_at_s: f64, until_s: f64) -> Option<Rest> {
    let lasts = rests
        .iter()
        .find(|r| r.to_s >= begun_at_s && r.from_s <= until_s);
    let earlier = rests
        .iter()
        .rev()
        .find(|r| r.to_s < begun_at_s && r.to_s >= begun_at_s - BEFORE_S);
    match (lasts, earlier) {
        // it was opened in the moment in which the beginning was stamped
        (Some(lasts), Some(earlier)) if lasts.from_s > begun_at_s + SOON_S => Some(*earlier),
        (lasts, earlier) => lasts.or(earlier).copied(),
    }
}

/// A scale that was still before and stands still again sooner than this after the beginning
/// has only settled.
const SOON_S: f64 = 20.0;

/// The last rest of the weigh-in: the last one that had begun by its end, else the first one
/// shortly after.
fn after(rests: &[Rest], before: &Rest, ended_at_s: Option<f64>) -> Option<Rest> {
    let behind = || rests.iter().filter(|r| r.from_s > before.to_s);
    let Some(end) = ended_at_s else {
        return behind().next_back().copied();
    };
    let begun = behind().rfind(|r| r.from_s <= end && r.to_s >= end - STILL_S);
    let soon = || behind().find(|r| r.from_s > end && r.from_s <= end + AFTER_S);
    begun.or_else(soon).copied()
}

/// Drops the second oldest where there are too many: the first is where a weigh-in began.
fn limit<T>(kept: &mut Vec<T>) {
    if kept.len() > MOST_KEPT {
        kept.remove(1);
    }
}
