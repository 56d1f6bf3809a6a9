//! The memory of a run: bounded, whatever its length, and the same for every kind of test.

pub(crate) mod gauge_noise;
pub(crate) mod history;
pub(crate) mod log_bins;
pub(crate) mod milestones;
pub(crate) mod outage;
pub(crate) mod run_view;
