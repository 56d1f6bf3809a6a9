//! A third family of runs: pull-downs that are held up, for measuring a stall finder.

mod draw;
mod instrument;
mod play;
mod pocket;
mod rig;
mod truth;

use rehearsal::TrueStall;
use vacuum::Entry;

/// One pull-down that is held up, or is not.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldUp {
    /// Its seed.
    pub seed: u64,
    /// Its story, for tables.
    pub family: &'static str,
    /// The draw in words.
    pub description: String,
    /// Readings and marks in order.
    pub entries: Vec<Entry>,
    /// Room temperature, °C, where the technician told it.
    pub ambient_c: Option<f64>,
    /// What really held it up.
    pub stalls: Vec<TrueStall>,
}

/// Draws and plays the pull-down of `seed`.
///
/// Pockets of water with a heat balance of their own: they boil, cool, freeze at the
/// triple point (some only after cooling below it), sublime on the heat that comes in
/// from the room, and run dry. They are left alone, heated, or broken with nitrogen.
/// Oil that foams from second 0 to 20 on, or later. Floors made by a leak or a
/// worn pump, of which some are heated or broken too; choked lines; tails of outgassing; plain
/// falls with a valve shut for a moment. The gauge lags, hums, rounds and clips.
///
/// Nothing is shared with the plant of [`bench_case`](crate::bench_case) nor with the
/// formulas of [`formula_case`](crate::formula_case), and saturation pressures are not
/// those of [`vacuum::water`]. Even seeds are for tuning an analyser, odd ones for
/// reporting only.
///
/// # Rules of the truth
/// * *Foaming*: gas from the pump's oil makes more than 0.4 of the inlet pressure. Certain
///   from 90 s on, above the target and within the gauge's range, when the indication
///   hunts by more than 3 % and 2.5 times the gauge's noise. Where it does not, the
///   name of water at that level is not wrong: to such a gauge it is as smooth.
/// * *Boil-off*, *ice*: water vapour makes more than 0.6 of the pressure, water is left, and
///   ln p falls by no more than 1 in 90 s. It is cut where the indication passes the
///   triple point (4,588 micron) and where heat or nitrogen came: boil-off above, ice
///   below. Within 12 % of the triple point, and where the pocket is not what the
///   indication says (a pressure drop before the gauge), both names are right. Certain
///   from 120 s (boil-off, 1 in 180 s over all) or 150 s (ice, 1 in 400 s).
/// * Ice that does not give way cannot be told from a floor unless the indication shows
///   that liquid water was there before (a minute of standing above the triple point,
///   or a fall that gets 2.5 times as steep while the pocket freezes): without it both
///   names are right, none is certain.
/// * *Floor*: flat within 1 in 2,000 s without water or foam for 120 s. Certain from
///   240 s, above the target, 1 in 3,000 s, not undercut later. Between the triple point
///   and saturation at ambient `boil_off` is not wrong: the pressure alone does not tell.
/// * *Choked*: a steady fall of 1 in 120 to 3,000 s that the hose makes. Certain from 400 s
///   where ln p falls at the end by 0.8 of what it does at the start.
#[must_use]
pub fn held_up_case(seed: u64) -> HeldUp {
    let drawn = draw::draw(seed);
    let stalls = truth::find(&drawn);
    HeldUp {
        seed,
        family: drawn.family,
        description: drawn.description,
        entries: drawn.played.entries,
        ambient_c: drawn.ambient_c,
        stalls,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rehearsal::ExpectedStall;

    #[test]
    fn every_story_is_played_and_seeds_repeat() {
        let families: std::collections::BTreeSet<&str> =
            (0..60).map(|seed| held_up_case(seed).family).collect();
        assert!(families.len() >= 10, "{families:?}");
        assert_eq!(held_up_case(5), held_up_case(5));
    }

    #[test]
    fn ice_lies_below_the_triple_point_and_boiling_above() {
        let stalls = (0..40).flat_map(|seed| held_up_case(seed).stalls);
        let (mut ice, mut boiling) = (0, 0);
        for s in stalls {
            match s.kind {
                ExpectedStall::Ice => {
                    assert!(s.level_micron < 4_588.0, "{s:?}");
                    ice += 1;
                }
                ExpectedStall::BoilOff => {
                    assert!(s.level_micron > 4_587.0, "{s:?}");
                    boiling += 1;
                }
                _ => {}
            }
        }
        assert!(ice > 4 && boiling > 4, "{ice} {boiling}");
    }
}
