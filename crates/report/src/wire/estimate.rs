//! A value with its interval in JSON.

use findings::Estimate;
use serde::Serialize;

use super::number::Number;

#[derive(Serialize)]
pub(super) struct EstimateWire {
    value: Number,
    low: Number,
    high: Number,
}

pub(super) fn estimate(e: &Estimate) -> EstimateWire {
    EstimateWire {
        value: Number(e.value),
        low: Number(e.low),
        high: Number(e.high),
    }
}
