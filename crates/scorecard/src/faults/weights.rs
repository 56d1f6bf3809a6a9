//! The table of the diagnosis, counted on simulated appliances.

use fault::{FaultCode, LEVELS, Sign, low_side_draws_air, observations};
use simulated_appliances::appliance_case;

use super::as_signs;
use crate::print::say;

/// Least of 100 in any field: the appliances of this world are not those of the simulator.
const LEAST: f64 = 4.0;

/// The signs that are counted; the others are common practice.
const COUNTED: [Sign; 14] = [
    Sign::Evaporating,
    Sign::Condensing,
    Sign::Subcooling,
    Sign::Draw,
    Sign::HotGas,
    Sign::Cabinet,
    Sign::Runs,
    Sign::Frost,
    Sign::SuctionLine,
    Sign::Sound,
    Sign::Meet,
    Sign::Standing,
    Sign::Rest,
    Sign::Charge,
];

/// Prints `measured.rs`.
pub(crate) fn print_weights(seeds: &[u64]) {
    let mut counts = vec![[[0_u32; LEVELS]; 9]; COUNTED.len()];
    for seed in seeds {
        let case = appliance_case(*seed);
        let Some(signs) = as_signs::signs(&case.seen) else {
            continue;
        };
        let code = as_signs::code(case.truth);
        // a low side above the air outside loses refrigerant as the high side does
        if code == FaultCode::LowSideLeak && !low_side_draws_air(&signs) {
            continue;
        }
        for seen in observations(&signs) {
            if let Some(sign) = COUNTED.iter().position(|sign| *sign == seen.sign) {
                counts[sign][code.place()][seen.level] += 1;
            }
        }
    }
    say("//! Counted on simulated appliances by `scorecard fault-weights`. Do not edit.");
    say("");
    say("use super::row::{Row, Source};\nuse crate::observed::Sign;\n");
    say("#[rustfmt::skip]");
    say(&format!(
        "pub(super) const ROWS: [Row; {}] = [",
        COUNTED.len()
    ));
    for (sign, of_sign) in COUNTED.iter().zip(&mut counts) {
        let levels = sign.levels();
        say(&format!("    // {}", levels.join("; ")));
        say(&format!(
            "    Row {{ sign: Sign::{sign:?}, source: Source::Simulated, of_100: ["
        ));
        // on instruments both are one
        let high = FaultCode::HighSideLeak.place();
        let short = FaultCode::ShortCharge.place();
        let both = std::array::from_fn(|i| of_sign[high][i] + of_sign[short][i]);
        of_sign[high] = both;
        of_sign[short] = both;
        for (code, counts) in FaultCode::ALL.iter().zip(of_sign.iter()) {
            say(&format!(
                "        {:?}, // {}",
                of_100(counts, levels.len()),
                code.word()
            ));
        }
        say("    ] },");
    }
    say("];");
}

fn of_100(counts: &[u32; LEVELS], levels: usize) -> [u32; LEVELS] {
    let sum: u32 = counts.iter().sum();
    std::array::from_fn(|i| {
        if i >= levels {
            return 0;
        }
        // one appliance more on every level: nothing is known of what was never seen
        let share = f64::from(counts[i] + 1) / f64::from(sum + levels as u32);
        (100.0 * share).round().max(LEAST) as u32
    })
}
