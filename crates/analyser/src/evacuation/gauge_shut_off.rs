//! Whether the gauge was open to the system in a hold.

use crate::{evacuation::hold::JudgedHold, run_view::RunView};

/// The remark that the manifold valves were shut, where it makes the hold doubtful:
/// its time in s. It counts from the last time the system was opened to the pump
/// until the hold is as long as asked, unless the gauge is known to stay open to the
/// system.
pub(crate) fn gauge_shut_off(view: &RunView<'_>, held: &JudgedHold) -> Option<f64> {
    if view.settings.gauge_open_to_system == Some(true) {
        return None;
    }
    let hold = &held.hold;
    let opened_s = view.opened_before_s(hold.isolated_at_s);
    let enough_s = held.hold.isolated_window_s.high_s + 60.0 * view.settings.criteria.hold_min;
    view.marks
        .iter()
        .filter(|m| m.is_manifold_shut())
        .map(|m| m.elapsed_s)
        .find(|t| *t > opened_s && *t <= hold.end_s && *t < enough_s)
}
