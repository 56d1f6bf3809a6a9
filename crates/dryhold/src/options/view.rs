//! What shows a recording.

use clap::ValueEnum;
use console::complain;
use terminal_view::{Surroundings, ViewKind};

/// What shows a recording.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ViewChoice {
    /// The whole screen
    Full,
    /// One line kept up to date; keys need Enter
    Line,
    /// A whole sentence for each thing that happens, nothing redrawn; keys need Enter
    Spoken,
    /// Nothing
    Off,
}

impl ViewChoice {
    const fn kind(self) -> ViewKind {
        match self {
            Self::Full => ViewKind::Full,
            Self::Line => ViewKind::Line,
            Self::Spoken => ViewKind::Spoken,
            Self::Off => ViewKind::Off,
        }
    }
}

/// What is shown where nothing was asked for (`usual`), and what was asked for.
pub(crate) fn chosen(asked: Option<ViewChoice>, usual: ViewChoice) -> ViewKind {
    let asked = asked.map(ViewChoice::kind);
    let (kind, why_another) = ViewKind::choose(asked, usual.kind(), Surroundings::now());
    if let Some(why) = why_another {
        complain(why);
    }
    kind
}
