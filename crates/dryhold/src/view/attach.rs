//! Puts a view before a recording.

use std::{io::IsTerminal, sync::mpsc::Sender};

use tokio::sync::mpsc::{UnboundedReceiver, UnboundedSender, unbounded_channel};

use super::{
    choice::{Surroundings, ViewKind},
    code::PageCode,
    keyboard::{self, Input},
    spoken,
};
use crate::{log::read_lines, outcome::say, session::Session, watch::Act};

/// A view that shows a recording, and the keyboard that belongs to it.
pub(crate) struct Attached {
    /// Where others ask too: a page, a nudge.
    pub(crate) asks: UnboundedSender<Act>,
    /// What is asked for.
    pub(crate) acts: UnboundedReceiver<Act>,
    /// Somebody sits at a terminal: when it goes, recording goes on.
    pub(crate) interactive: bool,
    inputs: Option<Sender<Input>>,
}

/// Starts the view that was chosen; `page` says where the recording's page is, if it
/// has one.
pub(crate) fn attach(session: &mut Session, kind: ViewKind, page: Option<PageCode>) -> Attached {
    let mut inputs = None;
    let (asks, acts) = unbounded_channel();
    match kind {
        ViewKind::Full => {
            session.leave_screen_to_views();
            let (sender, received) = keyboard::start();
            super::start(session.watch(), received, asks.clone(), page);
            inputs = Some(sender);
        }
        ViewKind::Spoken => {
            session.leave_screen_to_views();
            hint();
            say("An empty line says how things stand.");
            let (sender, received) = std::sync::mpsc::channel();
            spoken::start(session.watch(), received);
            inputs = Some(sender.clone());
            read_lines(asks.clone(), Some(sender));
        }
        ViewKind::Line => {
            hint();
            read_lines(asks.clone(), None);
        }
        ViewKind::Off => {
            session.show_nothing();
            read_lines(asks.clone(), None);
        }
    }
    Attached {
        asks,
        acts,
        interactive: std::io::stdout().is_terminal(),
        inputs,
    }
}

fn hint() {
    say("Stop with Ctrl-C. To stamp a mark, type its letter and Enter: s pump-side valve shut,");
    say("p pump stopped, m manifold valves shut, o valve opened, n nitrogen break, t throttled,");
    say("b ballast, h heat, u takes the last mark back, or a remark.");
}

impl Attached {
    /// Minds the signals of a terminal while the recording runs. Called on its runtime.
    pub(crate) fn mind_signals(&mut self) {
        #[cfg(unix)]
        tokio::spawn(keyboard::mind_signals(
            self.inputs.take(),
            self.interactive,
            self.asks.clone(),
        ));
    }
}

/// What is shown where nothing was asked for, and what was asked for.
pub(crate) fn chosen(asked: Option<ViewKind>, usual: ViewKind) -> ViewKind {
    let (kind, told) = ViewKind::choose(asked, usual, Surroundings::now());
    if let Some(told) = told {
        crate::outcome::complain(told);
    }
    kind
}
