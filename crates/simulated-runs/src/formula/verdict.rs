//! The verdict a run of formulas deserves, and its truth as a whole.

use vacuum::Criteria;

use super::{anatomy::Anatomy, hold::Hold, naming, pulldown::Twist, scene::Scene, sight, stalls};
use rehearsal::{Expected, Truth};

use crate::Hints;

/// Significance of what changes at isolation from which it leaves a trace.
const TRACE: f64 = 6.0;

/// Everything that is true of a scene, and the figures it rests on.
pub(super) fn truth(scene: &Scene, hints: &Hints) -> (Truth, String) {
    let criteria = Criteria::common_practice();
    let mut truth = Truth {
        verdict: Expected::NotProven,
        verdict_acceptable: vec![Expected::NotProven],
        rise: None,
        rise_acceptable: Vec::new(),
        leak_micron_per_min: 0.0,
        isolation_s: scene.isolated_s,
        isolations_s: scene.pulldown.isolations_s.clone(),
        isolation_visible: false,
        settled_s: None,
        end_s: scene.end_s(),
        reached_target_s: reached(scene, criteria.target_micron),
        leak_part_micron: 0.0,
        volatile_part_micron: 0.0,
        internal_part_micron: 0.0,
        noise_micron: 0.0,
        stalls: stalls::find(scene, criteria.target_micron),
        pump_open_at_stop: scene.stopped_open,
        one_sided: scene.twist == Twist::OneSide,
        pump_side: None,
    };
    truth.isolations_s.extend(scene.isolated_s);
    let (Some(at), Some(hold)) = (scene.isolated_s, &scene.hold) else {
        if scene.stopped_open {
            truth.verdict_acceptable.push(Expected::Fail);
        }
        return (truth, String::new());
    };
    let parts = Anatomy::of(scene, hold);
    truth.settled_s = Some(at + parts.settled_s);
    truth.leak_micron_per_min = hold.leak_per_min;
    truth.leak_part_micron = parts.leak;
    truth.volatile_part_micron = parts.volatile + parts.gas;
    truth.internal_part_micron = parts.bleed - parts.fall;
    truth.noise_micron = parts.noise;
    let one_side_told = hints.access_sides == Some(vacuum::AccessSides::One);
    let named = naming::rise(scene, hold, one_side_told);
    truth.rise = named.expected;
    truth.rise_acceptable = named.fine;
    let located = hints.marks_present || hints.isolated_at_s.is_some();
    let error_s = sight::isolation_error_s(scene, hold);
    let told_by = hold.jump.abs() + parts.leak + parts.volatile + parts.gas;
    let hidden = told_by < TRACE * parts.noise;
    // three standard errors within what is asked for: 5 s or three readings
    truth.isolation_visible =
        3.0 * error_s <= 5f64.max(3.0 * scene.gauge.interval_s) && !hidden && !scene.stopped_open;
    judge(&mut truth, scene, hold, &parts, &criteria);
    if !located {
        let hidden = hidden || scene.twist == Twist::StartsIsolated;
        // where the hold began is not known well enough to say that it was long enough
        let spare_s = scene.hold_s() - 60.0 * criteria.hold_min;
        let short = spare_s > 0.0 && spare_s < 3.0 * error_s.min(scene.hold_s());
        if (hidden || short) && !truth.verdict_acceptable.contains(&Expected::NotProven) {
            truth.verdict_acceptable.push(Expected::NotProven);
        }
    }
    (
        truth,
        format!("{}, isolation to {error_s:.1} s", named.words),
    )
}

fn reached(scene: &Scene, target_micron: f64) -> Option<f64> {
    let until = scene.isolated_s.unwrap_or(scene.end_s());
    let track = &scene.pulldown.track;
    (0..=until as u32)
        .map(f64::from)
        .find(|t| scene.gauge.shows(track.at(*t)) <= target_micron)
}

fn judge(truth: &mut Truth, scene: &Scene, hold: &Hold, parts: &Anatomy, criteria: &Criteria) {
    let gauge = &scene.gauge;
    let until = scene.isolated_s.unwrap_or(0.0);
    let track = &scene.pulldown.track;
    let lowest = (0..=until as u32)
        .map(|t| gauge.shows(track.at(f64::from(t))))
        .fold(scene.shown(hold, 0.0), f64::min);
    let long_enough = scene.hold_s() >= 60.0 * criteria.hold_min;
    let near = |value: f64, limit: f64| {
        (value - limit).abs() < (0.01 * limit).max(3.0 * gauge.noise_at(limit))
    };
    let spoiled = scene.outage.is_some() || scene.stopped_open;
    let broken = lowest > criteria.target_micron || parts.highest > criteria.ceiling_micron;
    let otherwise = if long_enough && !spoiled {
        Expected::Pass
    } else {
        Expected::NotProven
    };
    truth.verdict = if broken && !spoiled {
        Expected::Fail
    } else {
        otherwise
    };
    let mut fine = vec![truth.verdict];
    if broken && (spoiled || !long_enough) {
        fine.extend([Expected::Fail, Expected::NotProven]);
    }
    let close =
        near(lowest, criteria.target_micron) || near(parts.highest, criteria.ceiling_micron);
    if close {
        fine.extend([Expected::Fail, otherwise]);
    }
    fine.sort_by_key(|v| *v as u8);
    fine.dedup();
    truth.verdict_acceptable = fine;
}
