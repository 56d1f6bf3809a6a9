//! Options that several commands share: pure values, and what they mean.

pub(crate) mod import;
pub(crate) mod judging;
pub(crate) mod key;
pub(crate) mod notify;
pub(crate) mod page;
pub(crate) mod pressure_test;
pub(crate) mod sealing;
pub(crate) mod sheet;
pub(crate) mod view;
pub(crate) mod voice;
