//! What the screen is drawn from.

use std::time::Duration;

use vacuum::PressureUnit;
use watch::Frame;
use wording::Voice;

use crate::{app::App, theme::Theme};

/// A recorder that shows nothing new for so long is stuck.
pub(crate) const STANDS_STILL: Duration = Duration::from_secs(4);

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Picture<'a> {
    pub(crate) frame: &'a Frame,
    pub(crate) app: &'a App,
    pub(crate) theme: Theme,
    /// Since the frame came, s.
    pub(crate) since_s: f64,
    /// Where a finished run is looked at.
    pub(crate) scrub: Option<Scrub>,
}

impl Picture<'_> {
    /// The voice of the recording. Pressures are in micron, as the large number and the
    /// curve show them, whatever the unit of the sheet.
    pub(crate) fn voice(&self) -> Voice {
        Voice {
            unit: PressureUnit::Micron,
            ..self.frame.now.voice
        }
    }

    /// No frame came for so long that the recorder must be stuck: one a second is usual.
    pub(crate) fn stands_still(&self) -> bool {
        self.scrub.is_none() && self.since_s >= STANDS_STILL.as_secs_f64()
    }
}

/// A look back at a finished run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scrub {
    /// The moment looked at, s.
    pub(crate) at_s: f64,
    /// How much of the run has been gone through, 0 to 1.
    pub(crate) ready: f64,
    /// It plays by itself.
    pub(crate) playing: bool,
}
