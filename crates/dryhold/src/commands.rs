//! The commands, one module each; none is used by another.

pub(crate) mod charge;
pub(crate) mod desk;
pub(crate) mod fault;
pub(crate) mod job;
pub(crate) mod key;
pub(crate) mod list;
pub(crate) mod listen;
pub(crate) mod log;
pub(crate) mod ports;
pub(crate) mod rehearse;
pub(crate) mod report;
pub(crate) mod review;
pub(crate) mod rig;
pub(crate) mod seal;
pub(crate) mod show;
pub(crate) mod stop;
pub(crate) mod verify;
