//! What of the leak of a hold is the rig's own.

use findings::Estimate;
use rig_history::RigShare;
use serde::Serialize;

use super::number::Number;

#[derive(Serialize)]
pub(super) struct ShareWire {
    rig_micron_per_min: IntervalWire,
    system_micron_per_min: IntervalWire,
    volumes_known: bool,
    explains_all: bool,
}

#[derive(Serialize)]
struct IntervalWire {
    value: Number,
    low: Number,
    high: Number,
}

pub(super) fn share(from: &RigShare) -> ShareWire {
    let interval = |e: Estimate| IntervalWire {
        value: Number(e.value),
        low: Number(e.low),
        high: Number(e.high),
    };
    ShareWire {
        rig_micron_per_min: interval(from.rig_micron_per_min),
        system_micron_per_min: interval(from.left_micron_per_min()),
        volumes_known: from.volumes_known,
        explains_all: from.explains_all,
    }
}
