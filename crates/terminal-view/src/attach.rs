//! Puts a view before a recording.

use std::{io::IsTerminal, sync::mpsc::Sender};

use tokio::sync::mpsc::{UnboundedReceiver, UnboundedSender, unbounded_channel};
use watch::{Act, Follow, Watch};
use wording::{Voice, say};

use crate::{
    choice::ViewKind,
    code::PageCode,
    full, key_help,
    keyboard::{self, Input},
    line, line_keys, spoken, terminal, text,
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
    let (voice, stamps) = {
        let first = watch(Follow::Calmly);
        let now = &first.borrow().now;
        (now.voice, now.stamps.clone())
    };
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
            hint(&voice, &stamps);
            console::say(say!(voice, "spoken-ask"));
            spoken::start(watch(Follow::Calmly), received, views.up());
            read_lines(
                Some(watch(Follow::Calmly)),
                asks.clone(),
                Some(sender.clone()),
            );
            Some(sender)
        }
        ViewKind::Line => {
            hint(&voice, &stamps);
            let keys = line_keys::start(watch(Follow::Calmly), asks.clone());
            if keys.is_none() {
                read_lines(Some(watch(Follow::Calmly)), asks.clone(), None);
            }
            let (sender, typed) = keys.unzip();
            tokio::spawn(line::show(watch(Follow::Calmly), typed, views.up()));
            sender
        }
        ViewKind::Off => {
            read_lines(None, asks.clone(), None);
            None
        }
    };
    attached((asks, acts), inputs, views, voice)
}

/// Starts the line without a keyboard: only others ask. Called on the runtime that records.
pub fn attach_line_without_keys(watch: Watch) -> Attached {
    let views = Views::default();
    let voice = watch.borrow().now.voice;
    tokio::spawn(line::show(watch, None, views.up()));
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
fn hint(voice: &Voice, stamps: &str) {
    const COLUMNS: usize = 86;
    let columns =
        terminal::size().map_or(COLUMNS, |(columns, _)| usize::from(columns).min(COLUMNS));
    let marks = key_help::stamping(voice, stamps);
    let marks: Vec<String> = marks.map(|(key, act)| format!("{key} {act}")).collect();
    let hint = say!(voice, "typed-marks", marks = marks.join(", "));
    for line in text::wrapped(&hint, columns) {
        console::say(line);
    }
}
