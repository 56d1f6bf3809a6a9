//! What really happened, worked out from the plant and never from the readings.
//!
//! The causes of a rise are found by counterfactual: the hold is run again from
//! the moment of isolation with the leak plugged, with everything volatile frozen,
//! and with both. What is missing from the re-run is what that cause contributed.

use vacuum::{Criteria, PressureUnit};

use crate::{
    gauge::Gauge,
    rig::{Played, Rig},
    stall::{self, TrueStall},
    world::World,
};

/// The verdict a run deserves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Expected {
    /// Target reached, hold long enough, ceiling kept, data sound.
    Pass,
    /// Data sound and a criterion broken.
    Fail,
    /// The record cannot decide.
    NotProven,
}

impl Expected {
    /// The word: `pass`, `fail` or `not_proven`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::NotProven => "not_proven",
        }
    }
}

/// How the pressure really rose in the hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ExpectedRise {
    /// Nothing beyond gauge noise.
    None,
    /// A leak.
    Leak,
    /// Something volatile.
    Moisture,
    /// Both.
    LeakAndMoisture,
    /// There is a rise, and this hold on this gauge cannot show its cause.
    Unclear,
}

impl ExpectedRise {
    /// The word, as in findings.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Leak => "leak",
            Self::Moisture => "moisture",
            Self::LeakAndMoisture => "leak_and_moisture",
            Self::Unclear => "unclear",
        }
    }
}

/// The truth of one run. Rounds before the last have no part in it, except
/// for the stalls and the list of isolations.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// Verdict by 500 micron, 10 minutes, 500 micron.
    pub verdict: Expected,
    /// Verdicts that are not wrong, `verdict` among them: more than one where a
    /// criterion is met or missed by less than the gauge can show.
    pub verdict_acceptable: Vec<Expected>,
    /// Cause of the rise; `None` without a hold.
    pub rise: Option<ExpectedRise>,
    /// Causes that are not wrong, `rise` among them.
    pub rise_acceptable: Vec<ExpectedRise>,
    /// Mean rise that the leak alone makes at the gauge over the settled hold,
    /// micron of air per minute; 0 when tight.
    pub leak_micron_per_min: f64,
    /// Isolation of the last round, s; `None` when the pump was never valved off.
    pub isolation_s: Option<f64>,
    /// Isolation of every round, s.
    pub isolations_s: Vec<f64>,
    /// False when shutting the valve left next to no trace in the pressure, so
    /// that without a mark `no_isolation` is a right answer.
    pub isolation_visible: bool,
    /// End of equalisation, s.
    pub settled_s: Option<f64>,
    /// End of the record, s.
    pub end_s: f64,
    /// First time the noise-free indication reached the target, s.
    pub reached_target_s: Option<f64>,
    /// Rise over the settled hold caused by the leak, micron indicated.
    pub leak_part_micron: f64,
    /// The same by water and other volatiles, micron indicated.
    pub volatile_part_micron: f64,
    /// The same by gas behind the capillary tube and by temperature.
    pub internal_part_micron: f64,
    /// Standard deviation of the gauge near the hold's end, quantisation included, micron.
    pub noise_micron: f64,
    /// Stretches of pull-down without progress.
    pub stalls: Vec<TrueStall>,
    /// The pump was stopped while its valve was open.
    pub pump_open_at_stop: bool,
    /// Part of the system lies behind a capillary tube.
    pub one_sided: bool,
    /// What a gauge at the pump would have shown without noise; `None` without one.
    pub pump_side: Option<TruePumpSide>,
}

/// The pump side of the hoses beside the far side, noise apart.
#[derive(Debug, Clone, PartialEq)]
pub struct TruePumpSide {
    /// When the gauge at the pump came down to the target to stay until the last
    /// isolation, s.
    pub reached_target_s: Option<f64>,
    /// What it showed when the judged gauge reached the target, micron.
    pub at_target_micron: Option<f64>,
    /// What it showed just before the last isolation, micron.
    pub at_isolation_micron: Option<f64>,
    /// How many times more the judged gauge showed then.
    pub at_isolation_ratio: Option<f64>,
    /// Lowest it showed, micron.
    pub lowest_micron: f64,
}

impl TruePumpSide {
    fn of(played: &Played, target_micron: f64) -> Option<Self> {
        let glimpses = || {
            let both = played.glimpses.iter();
            both.filter_map(|g| Some((g.t_s, g.shown_micron, g.pump_side_micron?)))
        };
        let lowest_micron = glimpses().map(|(.., p)| p).reduce(f64::min)?;
        let isolation_s = played.isolations.last().copied();
        let end_s = isolation_s.unwrap_or(played.end_s);
        let above = glimpses().rfind(|g| g.0 < end_s && g.2 > target_micron);
        let kept_s = above.and_then(|a| glimpses().map(|g| g.0).find(|t| *t > a.0 && *t < end_s));
        let before = isolation_s.and_then(|at| glimpses().take_while(|(t, ..)| *t < at).last());
        Some(Self {
            reached_target_s: kept_s,
            at_target_micron: glimpses().find(|g| g.1 <= target_micron).map(|g| g.2),
            at_isolation_micron: before.map(|g| g.2),
            at_isolation_ratio: before.map(|(_, far, pump)| far / pump),
            lowest_micron,
        })
    }
}

/// Rises of one re-run hold, micron, over the same instants.
struct Rerun {
    shown: Vec<f64>,
    true_micron: Vec<f64>,
}

struct Parts {
    settled_s: f64,
    span_s: f64,
    leak: f64,
    leak_true: f64,
    volatile: f64,
    /// Largest departure of the volatile rise from its chord.
    bend: f64,
    internal: f64,
    jump: f64,
}

impl Parts {
    fn caused(&self) -> f64 {
        self.leak + self.volatile
    }

    /// The kind when a part counts from `needed` micron and from `share` of the whole.
    fn kind(&self, needed: f64, share: f64) -> ExpectedRise {
        let counts = |part: f64| part > needed && part > share * self.caused();
        match (counts(self.leak), counts(self.volatile)) {
            (false, false) => ExpectedRise::None,
            (true, false) => ExpectedRise::Leak,
            (false, true) => ExpectedRise::Moisture,
            (true, true) => ExpectedRise::LeakAndMoisture,
        }
    }
}

const POINTS: usize = 80;

impl Truth {
    pub(crate) fn of(played: &Played, rig: &Rig) -> Self {
        let criteria = Criteria::common_practice();
        let isolation_s = played.isolations.last().copied();
        let mut truth = Self {
            verdict: Expected::NotProven,
            verdict_acceptable: vec![Expected::NotProven],
            rise: None,
            rise_acceptable: Vec::new(),
            leak_micron_per_min: 0.0,
            isolation_s,
            isolations_s: played.isolations.clone(),
            isolation_visible: false,
            settled_s: None,
            end_s: played.end_s,
            reached_target_s: None,
            leak_part_micron: 0.0,
            volatile_part_micron: 0.0,
            internal_part_micron: 0.0,
            noise_micron: 0.0,
            stalls: stall::find(&played.glimpses, rig, criteria.target_micron),
            pump_open_at_stop: played.stopped_open_s.is_some(),
            one_sided: rig.one_sided,
            pump_side: TruePumpSide::of(played, criteria.target_micron),
        };
        truth.reached_target_s = played
            .glimpses
            .iter()
            .find(|g| g.shown_micron <= criteria.target_micron)
            .map(|g| g.t_s);
        if let (Some(at), Some((world, gauge))) = (isolation_s, &played.at_isolation) {
            truth.causes(at, world, gauge, played.end_s - at);
        }
        truth.judge(played, &criteria);
        truth
    }

    fn causes(&mut self, isolation_s: f64, world: &World, gauge: &Gauge, length_s: f64) {
        let parts = split(world, gauge, length_s);
        self.settled_s = Some(isolation_s + parts.settled_s);
        self.leak_part_micron = parts.leak;
        self.volatile_part_micron = parts.volatile;
        self.internal_part_micron = parts.internal;
        self.leak_micron_per_min = parts.leak_true / (parts.span_s / 60.0).max(1e-3);
        let level = gauge.clean_micron() + parts.leak + parts.volatile;
        let step = gauge.rounding.step(level);
        self.noise_micron = gauge.noise_at(level).hypot(step / 12f64.sqrt());
        let visible = parts.jump.abs() + parts.leak + parts.volatile;
        self.isolation_visible = visible > 6.0 * self.noise_micron.max(0.3 * step);
        let independent = parts.span_s / gauge.interval_s.max(gauge.wander_s()).max(gauge.lag_s);
        self.name_rise(&parts, independent.max(1.0));
    }

    /// Names the rise, and the names that are not wrong.
    ///
    /// The limits are wide on purpose: where a part is neither clearly above the
    /// gauge's noise nor clearly below, both answers count.
    fn name_rise(&mut self, parts: &Parts, independent: f64) {
        let noise = self.noise_micron.max(1e-6);
        let mut expected = parts.kind(3.0 * noise, 0.1);
        let mut fine = vec![expected];
        for (needed, share) in [(0.7, 0.04), (0.7, 0.25), (7.0, 0.04), (7.0, 0.25)] {
            fine.push(parts.kind(needed * noise, share));
        }
        // a few micron of dissolved gas or a crawl of air: a technician says "none"
        if parts.leak.max(0.0) + parts.volatile.max(0.0) < 12.0 {
            fine.push(ExpectedRise::None);
        }
        let power = independent.sqrt() / noise;
        let volatile = matches!(
            expected,
            ExpectedRise::Moisture | ExpectedRise::LeakAndMoisture
        );
        let bent = parts.bend * power;
        if volatile && (bent < 25.0 || parts.bend < 0.12 * parts.volatile) {
            fine.push(ExpectedRise::Unclear);
            if bent < 4.0 || parts.bend < 0.04 * parts.volatile {
                expected = ExpectedRise::Unclear;
            }
        }
        let weak_leak = expected == ExpectedRise::Leak && parts.leak * power < 80.0;
        let short = parts.span_s < 300.0 && expected != ExpectedRise::None;
        let marginal = fine.contains(&ExpectedRise::None) && fine.iter().any(|k| *k != fine[0]);
        if weak_leak || short || marginal {
            fine.push(ExpectedRise::Unclear);
        }
        fine.extend(self.lookalikes(parts));
        if self.one_sided && parts.internal > (3.0 * noise).max(0.15 * parts.caused()) {
            expected = ExpectedRise::Unclear;
        }
        fine.push(expected);
        fine.sort_by_key(|k| *k as u8);
        fine.dedup();
        self.rise = Some(expected);
        self.rise_acceptable = fine;
    }

    /// What gas from another part of the system may be taken for.
    fn lookalikes(&self, parts: &Parts) -> Vec<ExpectedRise> {
        let noise = self.noise_micron.max(1e-6);
        if self.one_sided && parts.internal > 3.0 * noise {
            // it rises like a leak, then like moisture
            return vec![
                ExpectedRise::Unclear,
                ExpectedRise::Moisture,
                ExpectedRise::Leak,
                ExpectedRise::LeakAndMoisture,
            ];
        }
        if parts.internal > (4.0 * noise).max(0.1 * parts.leak.abs()) {
            // a choked line equalises for minutes, which looks like boil-out
            let looks_like = if parts.leak > 3.0 * noise {
                ExpectedRise::LeakAndMoisture
            } else {
                ExpectedRise::Moisture
            };
            return vec![ExpectedRise::Unclear, looks_like];
        }
        Vec::new()
    }

    fn judge(&mut self, played: &Played, criteria: &Criteria) {
        let Some(isolation) = self.isolation_s else {
            if self.pump_open_at_stop {
                self.verdict_acceptable.push(Expected::Fail);
            }
            return;
        };
        let hold_s = self.end_s - isolation;
        let reached = played
            .glimpses
            .iter()
            .filter(|g| g.t_s <= isolation + 1.0)
            .map(|g| g.shown_micron)
            .fold(f64::INFINITY, f64::min);
        let highest = played
            .glimpses
            .iter()
            .filter(|g| g.t_s >= isolation)
            .map(|g| g.shown_micron)
            .fold(0.0, f64::max);
        let long_enough = hold_s >= criteria.hold_min * 60.0;
        let near = |value: f64, limit: f64| {
            (value - limit).abs() < (0.02 * limit).max(4.0 * self.noise_micron)
        };
        let spoiled =
            played.outage.is_some_and(|(from, _)| from < self.end_s) || self.pump_open_at_stop;
        let broken = reached > criteria.target_micron || highest > criteria.ceiling_micron;
        self.verdict = if spoiled {
            Expected::NotProven
        } else if broken {
            Expected::Fail
        } else if long_enough {
            Expected::Pass
        } else {
            Expected::NotProven
        };
        let mut fine = vec![self.verdict];
        if broken && (spoiled || !long_enough) {
            fine.extend([Expected::Fail, Expected::NotProven]);
        }
        let close = near(reached, criteria.target_micron)
            || near(highest, criteria.ceiling_micron)
            || (hold_s - criteria.hold_min * 60.0).abs() < 6.0;
        if close && !spoiled {
            let otherwise = if long_enough {
                Expected::Pass
            } else {
                Expected::NotProven
            };
            fine.extend([Expected::Fail, otherwise]);
            if (hold_s - criteria.hold_min * 60.0).abs() < 6.0 {
                fine.extend([Expected::Pass, Expected::NotProven]);
            }
        }
        fine.sort_by_key(|k| *k as u8);
        fine.dedup();
        self.verdict_acceptable = fine;
    }
}

fn split(world: &World, gauge: &Gauge, length_s: f64) -> Parts {
    let full = rerun(world.clone(), gauge, length_s);
    let mut plugged = world.clone();
    plugged.leaks.clear();
    let mut frozen = world.clone();
    frozen.held.clear();
    frozen.pools.clear();
    let mut both = plugged.clone();
    both.held.clear();
    both.pools.clear();
    let plugged = rerun(plugged, gauge, length_s);
    let frozen = rerun(frozen, gauge, length_s);
    let both = rerun(both, gauge, length_s);

    let last = POINTS - 1;
    let at = |i: usize| time_of(i, length_s);
    // equalised once what is left of the movement is small, 2 minutes at the most
    let end = both.shown[last];
    let first = (0..POINTS)
        .find(|&i| (both.shown[i] - end).abs() < (0.02 * end).max(1.0) || at(i) > 120.0)
        .unwrap_or(0)
        .min(last - 3);
    let gained = |a: &Rerun, b: &Rerun, i: usize| {
        (a.shown[i] - b.shown[i]) - (a.shown[first] - b.shown[first])
    };
    // stop where the gauge goes over its range
    let until = (first + 3..POINTS)
        .find(|&i| full.shown[i] > gauge.top_micron)
        .unwrap_or(last);
    let volatile = gained(&full, &frozen, until);
    let bend = (first..=until)
        .map(|i| {
            let share = (at(i) - at(first)) / (at(until) - at(first)).max(1e-9);
            (gained(&full, &frozen, i) - share * volatile).abs()
        })
        .fold(0.0, f64::max);
    let leak_true = (full.true_micron[until] - plugged.true_micron[until])
        - (full.true_micron[first] - plugged.true_micron[first]);
    Parts {
        settled_s: at(first),
        span_s: at(until) - at(first),
        leak: gained(&full, &plugged, until),
        leak_true,
        volatile,
        bend,
        internal: both.shown[until] - both.shown[first],
        jump: both.shown[first] - both.shown[0],
    }
}

/// Instants of a re-run: dense at first, to see the equalisation.
fn time_of(index: usize, length_s: f64) -> f64 {
    let x = index as f64 / (POINTS - 1) as f64;
    length_s * x * x
}

fn rerun(mut world: World, gauge: &Gauge, length_s: f64) -> Rerun {
    let mut gauge = gauge.clone();
    // a step between two sensors is no rise
    gauge.hand_over = None;
    let start = world.time_s;
    let micron = PressureUnit::Micron.pa();
    let mut out = Rerun {
        shown: Vec::with_capacity(POINTS),
        true_micron: Vec::with_capacity(POINTS),
    };
    for i in 0..POINTS {
        let due = start + time_of(i, length_s);
        while world.time_s < due - 1e-9 {
            let dt = world.step(due - world.time_s);
            let partial = std::array::from_fn(|g| world.partial(g, gauge.node));
            gauge.feel(&partial, dt);
        }
        out.shown.push(gauge.clean_micron());
        out.true_micron.push(world.total(gauge.node) / micron);
    }
    out
}
