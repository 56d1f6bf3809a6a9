//! On this system a recording needs its terminal, and no other one comes to it.

use recorder::Recorder;
use terminal_view::PageCode;
use tokio::sync::mpsc::UnboundedSender;
use watch::Act;

use crate::outcome::{Failure, Outcome};

/// Nobody comes.
pub(crate) fn open(_: &mut Recorder, _: bool, _: &UnboundedSender<Act>, _: Option<PageCode>) {}

/// There is no background here.
pub(crate) fn begin_in_background() -> Result<Outcome, Failure> {
    Err(Failure::usage("--background works on Unix systems only"))
}

/// The same.
pub(crate) fn leave_terminal() -> Result<(), Failure> {
    begin_in_background().map(drop)
}
