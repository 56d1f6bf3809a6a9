//! Prints what the appliances of some seeds do with each fault.
#![expect(clippy::print_stdout, reason = "an example")]
use simulated_appliances::{Truth, appliance_with};

fn main() {
    for seed in 0..6 {
        for truth in Truth::ALL {
            let c = appliance_with(seed, truth);
            let i = c.inside;
            println!(
                "{:<22} Te {:6.1} Tc {:5.1} pd {:6.0} P {:5.0}/{:4.0} Q {:5.0} wet {:4.2} sub {:4.1} cab {:5.1} duty {:4.2} m {:5.0} g x{:4.2} | {}",
                truth.word(),
                i.evaporating_c,
                i.condensing_c,
                i.discharge_kpa,
                i.power_w,
                c.seen.rated_w,
                i.capacity_w,
                i.wetted,
                i.subcooled_k,
                i.cabinet_c,
                i.duty,
                c.seen.nameplate_g,
                i.charge_share,
                c.story
            );
        }
        println!();
    }
}
