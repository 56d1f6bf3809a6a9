//! Curves that may be alike, found without comparing each with each.
//!
//! p-stable locality-sensitive hashing (Datar, Immorlica, Indyk, Mirrokni, "Locality-sensitive
//! hashing scheme based on p-stable distributions", SCG 2004): a curve is projected onto a few
//! random directions, each projection is cut into cells, and curves that share every cell of
//! one table are candidates. Curves that are near share cells often, others hardly ever. The
//! directions are drawn from a fixed seed: the same curves give the same candidates.

use std::collections::{BTreeMap, BTreeSet};

/// Tables: a pair that misses in one may meet in another.
const TABLES: usize = 16;
/// Directions of a table.
const DIRECTIONS: usize = 5;
/// Width of a cell, in the unit of the curves (decades of pressure).
const CELL: f64 = 0.25;
/// With so many before it in a cell a curve is compared; where many are copies of one, each is
/// near some of them.
const MOST_BEFORE: usize = 64;

/// Pairs of places, the smaller first, of curves (all of one length) that may be near each
/// other.
pub(super) fn candidates(curves: &[(usize, Vec<f64>)]) -> BTreeSet<(usize, usize)> {
    let mut pairs = BTreeSet::new();
    let length = curves.first().map_or(0, |(_, curve)| curve.len());
    let mut draw = Draw(0x9e37_79b9_7f4a_7c15);
    for _ in 0..TABLES {
        let directions: Vec<(Vec<f64>, f64)> = (0..DIRECTIONS)
            .map(|_| ((0..length).map(|_| draw.normal()).collect(), draw.unit()))
            .collect();
        let mut cells: BTreeMap<Vec<i32>, Vec<usize>> = BTreeMap::new();
        for (place, curve) in curves {
            let cell = |(direction, from): &(Vec<f64>, f64)| {
                let along: f64 = direction.iter().zip(curve).map(|(a, x)| a * x).sum();
                (along / CELL + from).floor() as i32
            };
            let key: Vec<i32> = directions.iter().map(cell).collect();
            let here = cells.entry(key).or_default();
            let before = here.iter().rev().take(MOST_BEFORE);
            pairs.extend(before.map(|other| (*other.min(place), *other.max(place))));
            here.push(*place);
        }
    }
    pairs
}

/// Random numbers from a fixed seed, the same on every computer (splitmix64: Steele, Lea,
/// Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014).
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// 0 to 1.
    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// As good as normal, with a deviation of 1: twelve uniform draws together.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_curves_meet_and_others_do_not() {
        let mut draw = Draw(7);
        let mut curves: Vec<(usize, Vec<f64>)> = (0..400)
            .map(|place| {
                let slope = draw.unit();
                let level = 4.0 * draw.unit();
                let bend = draw.unit();
                let at = |i: usize| level - slope * i as f64 / 8.0 + bend * (i as f64 / 9.0).sin();
                (place, (0..32).map(at).collect())
            })
            .collect();
        for place in 0..50 {
            let near = curves[place].1.iter().map(|x| x + 0.004 * draw.normal());
            let near = (place + 400, near.collect());
            curves.push(near);
        }
        let found = candidates(&curves);
        let met = (0..50).filter(|p| found.contains(&(*p, p + 400))).count();
        assert!(met >= 49, "{met} of 50");
        assert!(found.len() < 1_000, "{} of 100,000 pairs", found.len());
    }
}
