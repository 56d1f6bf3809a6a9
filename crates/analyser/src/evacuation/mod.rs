//! The judgement of an evacuation: pull-down, isolation, hold, cause of the rise, verdict.

mod advice;
mod drift;
pub mod false_passes;
mod forecast;
mod further;
mod gauge_shut_off;
mod hold;
mod isolation;
pub(crate) mod judge;
pub(crate) mod live;
pub mod method;
mod pass;
mod rise;
mod rounds;
mod stall;
mod unit_check;
mod which_hold;
