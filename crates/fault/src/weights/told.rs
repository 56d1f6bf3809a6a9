//! What a customer tells and what eyes find outside the sealed system: common practice, no
//! source. Short charge and high-side leak are alike in all but the trace of a leak.

use super::row::{Row, Source};
use crate::observed::Sign;

const fn row(sign: Sign, of_100: [[u8; 6]; 9]) -> Row {
    Row {
        sign,
        source: Source::CommonPractice,
        of_100,
    }
}

/// Two levels, where only what is outside the sealed system differs: `bad` of 100 there,
/// `by_chance` of 100 otherwise.
const fn outside(sign: Sign, bad: u8, by_chance: u8) -> Row {
    let other = [by_chance, 100 - by_chance, 0, 0, 0, 0];
    let here = [bad, 100 - bad, 0, 0, 0, 0];
    row(
        sign,
        [other, other, other, other, other, other, other, other, here],
    )
}

#[rustfmt::skip]
pub(super) const ROWS: [Row; 9] = [
    // since the last service, slowly, suddenly
    row(Sign::Onset, [
        [20, 60, 20, 0, 0, 0],
        [40, 45, 15, 0, 0, 0],
        [40, 45, 15, 0, 0, 0],
        [25, 50, 25, 0, 0, 0],
        [25, 30, 45, 0, 0, 0],
        [10, 65, 25, 0, 0, 0],
        [70, 15, 15, 0, 0, 0],
        [65, 20, 15, 0, 0, 0],
        [10, 45, 45, 0, 0, 0],
    ]),
    // no, yes
    row(Sign::Opened, [
        [60, 40, 0, 0, 0, 0],
        [40, 60, 0, 0, 0, 0],
        [40, 60, 0, 0, 0, 0],
        [55, 45, 0, 0, 0, 0],
        [55, 45, 0, 0, 0, 0],
        [75, 25, 0, 0, 0, 0],
        [8, 92, 0, 0, 0, 0],
        [12, 88, 0, 0, 0, 0],
        [80, 20, 0, 0, 0, 0],
    ]),
    // nowhere, low side, high side
    row(Sign::Trace, [
        [60, 36, 4, 0, 0, 0],
        [60, 4, 36, 0, 0, 0],
        [92, 4, 4, 0, 0, 0],
        [92, 4, 4, 0, 0, 0],
        [92, 4, 4, 0, 0, 0],
        [92, 4, 4, 0, 0, 0],
        [92, 4, 4, 0, 0, 0],
        [92, 4, 4, 0, 0, 0],
        [92, 4, 4, 0, 0, 0],
    ]),
    // no, yes
    outside(Sign::Starts, 12, 1),
    outside(Sign::Supply, 15, 3),
    outside(Sign::Condenser, 30, 12),
    outside(Sign::Fans, 20, 4),
    outside(Sign::EvaporatorAir, 25, 5),
    outside(Sign::Door, 25, 5),
];
