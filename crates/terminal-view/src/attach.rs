//! Puts a view before a recording.

use std::{io::IsTerminal, sync::mpsc::Sender};

use tokio::sync::mpsc::{UnboundedReceiver, UnboundedSender, unbounded_channel};
use watch::{Act, Follow, Watch};
use wording::{Voice, say};

use crate::{
    choice::ViewKind,
    code::PageCode,
    full,
    keyboard::{self, Input},
    line, spoken, text,
    typed_lines::read_lines,
    up::Views,
};

/// A view that shows a recording, and the keyboard that belongs to it.
pub struct Attached {
    /// Where others ask too: a page, a nudge.
    pub asks: UnboundedSender<Act>,
    /// What is asked for.
    pub acts: UnboundedReceiver<Act>,
    /// Somebody sits at a terminal: when it goes, recording goes on.
    pub interactive: bool,
    /// To be waited for before anything else is printed.
    pub views: Views,
}

/// Starts the view that was chosen, and looks after the signals of its terminal; `page`
/// says where the recording's page is, if it has one. Called on the runtime that records.
pub fn attach(
    mut watch: impl FnMut(Follow) -> Watch,
    kind: ViewKind,
    page: Option<PageCode>,
) -> Attached {
    let (asks, acts) = unbounded_channel();
    let views = Views::default();
    let voice = watch(Follow::Calmly).borrow().now.voice;
    let inputs = match kind {
        ViewKind::Full => {
            let (sender, received) = keyboard::start();
            full::start(
                watch(Follow::Closely),
                received,
                asks.clone(),
                page,
                views.up(),
            );
            Some(sender)
        }
        ViewKind::Spoken => {
            let (sender, received) = std::sync::mpsc::channel();
            hint(&voice);
            console::say(say!(voice, "spoken-ask"));
            spoken::start(watch(Follow::Calmly), received, views.up());
            read_lines(asks.clone(), Some(sender.clone()));
            Some(sender)
        }
        ViewKind::Line => {
            hint(&voice);
            tokio::spawn(line::show(watch(Follow::Calmly), views.up()));
            read_lines(asks.clone(), None);
            None
        }
        ViewKind::Off => {
            read_lines(asks.clone(), None);
            None
        }
    };
    attached((asks, acts), inputs, views, voice)
}

/// Starts the line without a keyboard: only others ask. Called on the runtime that records.
pub fn attach_line_without_keys(watch: Watch) -> Attached {
    let views = Views::default();
    let voice = watch.borrow().now.voice;
    tokio::spawn(line::show(watch, views.up()));
    attached(unbounded_channel(), None, views, voice)
}

fn attached(
    (asks, acts): (UnboundedSender<Act>, UnboundedReceiver<Act>),
    inputs: Option<Sender<Input>>,
    views: Views,
    voice: Voice,
) -> Attached {
    let interactive = std::io::stdout().is_terminal();
    #[cfg(unix)]
    tokio::spawn(keyboard::follow_signals(
        inputs,
        interactive,
        asks.clone(),
        voice,
    ));
    #[cfg(not(unix))]
    drop((inputs, voice));
    Attached {
        asks,
        acts,
        interactive,
        views,
    }
}

/// Says what may be typed, in lines of a size that every terminal has room for.
fn hint(voice: &Voice) {
    const COLUMNS: usize = 86;
    for line in text::wrapped(&say!(voice, "typed-marks"), COLUMNS) {
        console::say(line);
    }
}
