//! Water that freezes under the pump.

use vacuum::AccessSides;

use super::parts::{Row, freezer, hold, rig};
use crate::{
    rig::{Rig, Step, Until},
    rng::Rng,
};

/// Its row in the table.
pub(super) const ROW: Row = Row {
    name: "frozen-water",
    title: "Water freezes under the pump",
    story: "Two grams of water lie in a cold corner where hardly any heat comes in. They boil, \
         cool themselves and freeze; the pull-down stands near 2,300 micron, and looks like a floor \
         until warm water is laid on the cold spot.",
    sides: AccessSides::Both,
    repair: "evaporator leak under the ice repaired",
    build,
};

fn build(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.add_pool(2.0, 3.0, 0.09);
    let script = [
        vec![
            Step::Note("rehearsal: invented system"),
            Step::Wait(Until::Time(20.0)),
            Step::Open(1.0),
            Step::Wait(Until::Time(900.0)),
            Step::Heat(1.2),
            Step::Wait(Until::Below {
                micron: 300.0,
                dwell_s: 600.0,
                at_most_s: 2400.0,
            }),
        ],
        hold(780.0),
    ]
    .concat();
    rig(world, rng, script)
}
