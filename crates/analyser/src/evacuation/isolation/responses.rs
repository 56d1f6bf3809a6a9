//! How gauge and system answer when the valve is shut.

use statistics::change_point::{Response, Responses};

const fn response(jump_s: Option<f64>, lag_s: f64, ln_weight: f64) -> Response {
    Response {
        jump_s,
        lag_s,
        ln_weight,
    }
}

/// The responses that are tried: lags of gauges from none to some 10 s, equalisation as
/// fast as a hose and as slow as a choked one. Weights: common practice, no source.
const ALL: [Response; 16] = [
    response(None, 0.0, -1.3),
    response(None, 1.0, -1.5),
    response(None, 2.5, -2.0),
    response(None, 5.0, -2.7),
    response(None, 9.0, -3.6),
    response(Some(1.3), 0.0, -3.0),
    response(Some(4.0), 0.0, -3.0),
    response(Some(12.0), 0.0, -3.0),
    response(Some(35.0), 0.0, -3.3),
    response(Some(1.3), 2.0, -3.2),
    response(Some(4.0), 2.2, -3.2),
    response(Some(12.0), 2.0, -3.2),
    response(Some(1.3), 6.0, -3.8),
    response(Some(4.0), 6.0, -3.8),
    response(Some(12.0), 6.0, -3.8),
    response(Some(35.0), 6.0, -4.0),
];

/// Responses of gauges and systems. What falls for longer than 20 s is the pump's doing,
/// and equalisation downwards is rarer than upwards (common practice, no source).
pub(crate) const RESPONSES: Responses<'static> = Responses {
    all: &ALL,
    longest_fall_s: 20.0,
    ln_weight_of_a_fall: -2.0,
};
