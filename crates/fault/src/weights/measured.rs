//! Counted on simulated appliances by `scorecard fault-weights`. Do not edit.

use super::row::{Row, Source};
use crate::observed::Sign;

#[rustfmt::skip]
pub(super) const ROWS: [Row; 14] = [
    // nearly a vacuum; far colder than usual; colder than usual; as usual; warmer than usual; far warmer than usual
    Row { sign: Sign::Evaporating, source: Source::Simulated, of_100: [
        [11, 12, 49, 28, 4, 4], // low_side_leak
        [19, 19, 56, 6, 4, 4], // high_side_leak
        [19, 19, 56, 6, 4, 4], // short_charge
        [52, 24, 22, 4, 4, 4], // partial_restriction
        [99, 4, 4, 4, 4, 4], // total_restriction
        [4, 4, 4, 33, 54, 13], // weak_compressor
        [4, 4, 4, 97, 4, 4], // overcharge
        [4, 4, 4, 94, 4, 4], // air_in_system
        [4, 4, 24, 71, 4, 4], // outside_sealed_system
    ] },
    // hardly above the room; lower than usual; as usual; higher than usual; far higher than usual
    Row { sign: Sign::Condensing, source: Source::Simulated, of_100: [
        [4, 4, 19, 41, 37, 0], // low_side_leak
        [7, 57, 36, 4, 4, 0], // high_side_leak
        [7, 57, 36, 4, 4, 0], // short_charge
        [11, 47, 42, 4, 4, 0], // partial_restriction
        [99, 4, 4, 4, 4, 0], // total_restriction
        [4, 52, 45, 4, 4, 0], // weak_compressor
        [4, 4, 77, 22, 4, 0], // overcharge
        [4, 4, 4, 13, 85, 0], // air_in_system
        [4, 13, 55, 10, 22, 0], // outside_sealed_system
    ] },
    // no liquid: as warm as it condenses; a little below; as usual; nearly at the room's temperature; the head pressure is too low to tell
    Row { sign: Sign::Subcooling, source: Source::Simulated, of_100: [
        [4, 5, 89, 4, 4, 0], // low_side_leak
        [53, 25, 15, 4, 7, 0], // high_side_leak
        [53, 25, 15, 4, 7, 0], // short_charge
        [4, 4, 4, 86, 11, 0], // partial_restriction
        [4, 4, 4, 4, 98, 0], // total_restriction
        [50, 33, 14, 4, 4, 0], // weak_compressor
        [4, 4, 37, 59, 4, 0], // overcharge
        [4, 5, 92, 4, 4, 0], // air_in_system
        [32, 28, 31, 9, 4, 0], // outside_sealed_system
    ] },
    // less than half of what is usual; far less than usual; less than usual; as usual; more than usual; far more than usual
    Row { sign: Sign::Draw, source: Source::Simulated, of_100: [
        [4, 10, 49, 30, 9, 4], // low_side_leak
        [4, 28, 59, 12, 4, 4], // high_side_leak
        [4, 28, 59, 12, 4, 4], // short_charge
        [7, 58, 29, 5, 4, 4], // partial_restriction
        [99, 4, 4, 4, 4, 4], // total_restriction
        [4, 11, 64, 25, 4, 4], // weak_compressor
        [4, 4, 4, 60, 37, 4], // overcharge
        [4, 4, 4, 26, 53, 20], // air_in_system
        [4, 4, 17, 52, 22, 8], // outside_sealed_system
    ] },
    // hardly warm; warm; hot; very hot
    Row { sign: Sign::HotGas, source: Source::Simulated, of_100: [
        [4, 4, 28, 70, 0, 0], // low_side_leak
        [4, 5, 48, 46, 0, 0], // high_side_leak
        [4, 5, 48, 46, 0, 0], // short_charge
        [4, 4, 30, 69, 0, 0], // partial_restriction
        [4, 4, 4, 99, 0, 0], // total_restriction
        [4, 19, 33, 48, 0, 0], // weak_compressor
        [4, 57, 39, 4, 0, 0], // overcharge
        [4, 10, 49, 40, 0, 0], // air_in_system
        [4, 20, 56, 24, 0, 0], // outside_sealed_system
    ] },
    // as cold as it should be; too warm; far too warm
    Row { sign: Sign::Cabinet, source: Source::Simulated, of_100: [
        [72, 20, 8, 0, 0, 0], // low_side_leak
        [72, 20, 8, 0, 0, 0], // high_side_leak
        [72, 20, 8, 0, 0, 0], // short_charge
        [39, 19, 42, 0, 0, 0], // partial_restriction
        [4, 4, 99, 0, 0, 0], // total_restriction
        [73, 24, 4, 0, 0, 0], // weak_compressor
        [99, 4, 4, 0, 0, 0], // overcharge
        [98, 4, 4, 0, 0, 0], // air_in_system
        [77, 11, 12, 0, 0, 0], // outside_sealed_system
    ] },
    // stops now and then; never stops
    Row { sign: Sign::Runs, source: Source::Simulated, of_100: [
        [50, 50, 0, 0, 0, 0], // low_side_leak
        [52, 48, 0, 0, 0, 0], // high_side_leak
        [52, 48, 0, 0, 0, 0], // short_charge
        [25, 75, 0, 0, 0, 0], // partial_restriction
        [8, 92, 0, 0, 0, 0], // total_restriction
        [47, 53, 0, 0, 0, 0], // weak_compressor
        [91, 9, 0, 0, 0, 0], // overcharge
        [86, 14, 0, 0, 0, 0], // air_in_system
        [76, 24, 0, 0, 0, 0], // outside_sealed_system
    ] },
    // none; at the inlet only; on a part; everywhere
    Row { sign: Sign::Frost, source: Source::Simulated, of_100: [
        [7, 61, 28, 4, 0, 0], // low_side_leak
        [7, 78, 15, 4, 0, 0], // high_side_leak
        [7, 78, 15, 4, 0, 0], // short_charge
        [22, 73, 4, 4, 0, 0], // partial_restriction
        [99, 4, 4, 4, 0, 0], // total_restriction
        [9, 4, 4, 88, 0, 0], // weak_compressor
        [4, 4, 4, 99, 0, 0], // overcharge
        [4, 4, 4, 95, 0, 0], // air_in_system
        [4, 4, 16, 83, 0, 0], // outside_sealed_system
    ] },
    // warm; cold; frosted
    Row { sign: Sign::SuctionLine, source: Source::Simulated, of_100: [
        [75, 24, 4, 0, 0, 0], // low_side_leak
        [73, 27, 4, 0, 0, 0], // high_side_leak
        [73, 27, 4, 0, 0, 0], // short_charge
        [77, 22, 4, 0, 0, 0], // partial_restriction
        [74, 26, 4, 0, 0, 0], // total_restriction
        [26, 61, 13, 0, 0, 0], // weak_compressor
        [4, 22, 75, 0, 0, 0], // overcharge
        [32, 59, 8, 0, 0, 0], // air_in_system
        [40, 53, 8, 0, 0, 0], // outside_sealed_system
    ] },
    // nothing; gas; liquid
    Row { sign: Sign::Sound, source: Source::Simulated, of_100: [
        [7, 68, 25, 0, 0, 0], // low_side_leak
        [7, 63, 30, 0, 0, 0], // high_side_leak
        [7, 63, 30, 0, 0, 0], // short_charge
        [7, 4, 89, 0, 0, 0], // partial_restriction
        [85, 8, 7, 0, 0, 0], // total_restriction
        [7, 47, 46, 0, 0, 0], // weak_compressor
        [5, 6, 89, 0, 0, 0], // overcharge
        [6, 15, 79, 0, 0, 0], // air_in_system
        [6, 11, 83, 0, 0, 0], // outside_sealed_system
    ] },
    // fast; as usual; slowly; never
    Row { sign: Sign::Meet, source: Source::Simulated, of_100: [
        [4, 93, 4, 4, 0, 0], // low_side_leak
        [4, 94, 4, 4, 0, 0], // high_side_leak
        [4, 94, 4, 4, 0, 0], // short_charge
        [4, 38, 59, 4, 0, 0], // partial_restriction
        [5, 4, 36, 56, 0, 0], // total_restriction
        [48, 49, 4, 4, 0, 0], // weak_compressor
        [4, 94, 4, 4, 0, 0], // overcharge
        [4, 94, 4, 4, 0, 0], // air_in_system
        [5, 91, 4, 4, 0, 0], // outside_sealed_system
    ] },
    // no; yes
    Row { sign: Sign::Standing, source: Source::Simulated, of_100: [
        [93, 7, 0, 0, 0, 0], // low_side_leak
        [95, 5, 0, 0, 0, 0], // high_side_leak
        [95, 5, 0, 0, 0, 0], // short_charge
        [59, 41, 0, 0, 0, 0], // partial_restriction
        [62, 38, 0, 0, 0, 0], // total_restriction
        [92, 8, 0, 0, 0, 0], // weak_compressor
        [91, 9, 0, 0, 0, 0], // overcharge
        [93, 7, 0, 0, 0, 0], // air_in_system
        [93, 7, 0, 0, 0, 0], // outside_sealed_system
    ] },
    // below saturation; at saturation; a little above saturation; above saturation
    Row { sign: Sign::Rest, source: Source::Simulated, of_100: [
        [50, 26, 17, 7, 0, 0], // low_side_leak
        [61, 38, 4, 4, 0, 0], // high_side_leak
        [61, 38, 4, 4, 0, 0], // short_charge
        [14, 80, 7, 4, 0, 0], // partial_restriction
        [11, 82, 6, 4, 0, 0], // total_restriction
        [14, 80, 6, 4, 0, 0], // weak_compressor
        [7, 87, 6, 4, 0, 0], // overcharge
        [5, 47, 27, 22, 0, 0], // air_in_system
        [9, 85, 5, 4, 0, 0], // outside_sealed_system
    ] },
    // far less than the nameplate; less; the same; more
    Row { sign: Sign::Charge, source: Source::Simulated, of_100: [
        [69, 28, 4, 4, 0, 0], // low_side_leak
        [86, 13, 4, 4, 0, 0], // high_side_leak
        [86, 13, 4, 4, 0, 0], // short_charge
        [4, 4, 97, 4, 0, 0], // partial_restriction
        [4, 4, 96, 4, 0, 0], // total_restriction
        [4, 4, 96, 4, 0, 0], // weak_compressor
        [4, 4, 4, 96, 0, 0], // overcharge
        [4, 4, 96, 4, 0, 0], // air_in_system
        [4, 4, 97, 4, 0, 0], // outside_sealed_system
    ] },
];
