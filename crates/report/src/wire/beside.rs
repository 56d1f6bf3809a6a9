//! Gauges and channels recorded beside the judged one, in JSON.

use findings::{AuxiliaryFindings, Pair};
use serde::Serialize;

use super::number::{Number, Seconds};

#[derive(Serialize)]
pub(super) struct BesideWire<'a> {
    name: &'a str,
    place: &'a str,
    rows: u64,
    used: u64,
    lowest_micron: Option<Number>,
    reached_target_s: Option<Seconds>,
    at_target_micron: Option<Number>,
    at_isolation_micron: Option<Number>,
    ratio: RatioWire,
    hold: Option<BesideHoldWire>,
}

/// The judged gauge's pressure over this one's at the same instant.
#[derive(Serialize)]
struct RatioWire {
    at_target: Option<Number>,
    at_isolation: Option<Number>,
    largest: Option<Number>,
    largest_at_s: Option<Seconds>,
}

#[derive(Serialize)]
struct BesideHoldWire {
    start_micron: Number,
    end_micron: Number,
    difference_micron: Number,
    same_volume: Option<bool>,
}

pub(super) fn beside(b: &AuxiliaryFindings) -> BesideWire<'_> {
    let level = |pair: Option<Pair>| pair.map(|p| Number(p.auxiliary_micron));
    let ratio = |pair: Option<Pair>| pair.map(|p| Number(p.ratio()));
    BesideWire {
        name: &b.name,
        place: &b.place,
        rows: b.rows,
        used: b.used,
        lowest_micron: b.lowest_micron.map(Number),
        reached_target_s: b.reached_target_s.map(Seconds),
        at_target_micron: level(b.at_target),
        at_isolation_micron: level(b.at_isolation),
        ratio: RatioWire {
            at_target: ratio(b.at_target),
            at_isolation: ratio(b.at_isolation),
            largest: ratio(b.furthest_apart),
            largest_at_s: b.furthest_apart.map(|p| Seconds(p.at_s)),
        },
        hold: b.hold.map(|h| BesideHoldWire {
            start_micron: Number(h.start_micron),
            end_micron: Number(h.end_micron),
            difference_micron: Number(h.difference_micron),
            same_volume: h.same_volume,
        }),
    }
}
