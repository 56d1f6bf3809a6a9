//! The keyboard of the calm line. What is typed is echoed by that line itself, beside the
//! reading: the terminal's own echo would be written over by the next reading.

use std::sync::mpsc::{Receiver, Sender};

use tokio::sync::{mpsc::UnboundedSender, watch::Sender as Shown};
use watch::{Act, Watch};

use crate::{
    choice::Surroundings,
    keyboard::{self, Input},
    keys::Key,
    terminal, text,
    typed_lines::{Reply, TypedLines},
};

/// Longest line typed here.
const LONGEST: usize = 500;

/// What is being typed, as the line shows it.
pub(crate) type TypedNow = tokio::sync::watch::Receiver<String>;

/// Takes the keyboard of a terminal; `None` where lines come from elsewhere, or only whole.
pub(crate) fn start(watch: Watch, asks: UnboundedSender<Act>) -> Option<(Sender<Input>, TypedNow)> {
    if !Surroundings::now().terminal || terminal::without_echo().is_err() {
        return None;
    }
    let (shown, typed) = tokio::sync::watch::channel(String::new());
    let (sender, inputs) = keyboard::start();
    std::thread::spawn(move || read(&watch, &inputs, &asks, &shown));
    Some((sender, typed))
}

fn read(
    watch: &Watch,
    inputs: &Receiver<Input>,
    asks: &UnboundedSender<Act>,
    shown: &Shown<String>,
) {
    let mut typed = TypedLines::default();
    let mut line = String::new();
    while let Ok(input) = inputs.recv() {
        match input {
            Input::Key(Key::Char(c)) if line.chars().count() < LONGEST => line.push(c),
            Input::Key(Key::Backspace) => drop(line.pop()),
            Input::Key(Key::Escape) => line.clear(),
            Input::Key(Key::Enter) => {
                let now = watch.borrow().now.clone();
                let Reply { act, words } = typed.line(line.trim(), &now);
                line.clear();
                let _ = shown.send(String::new());
                if let Some(words) = words {
                    // over the line that is there: it is drawn anew below
                    let columns = terminal::size().map_or(0, |s| usize::from(s.0.max(2)) - 1);
                    for line in text::wrapped(&words, columns) {
                        console::say_over(&line, columns);
                    }
                }
                if act.is_some_and(|act| asks.send(act).is_err()) {
                    return;
                }
            }
            // stopped, and going on: the shell had the terminal meanwhile
            Input::Show => drop(terminal::without_echo()),
            Input::Lost => return,
            Input::Key(_) | Input::Ask => {}
        }
        if shown.send(line.clone()).is_err() {
            return;
        }
    }
}
