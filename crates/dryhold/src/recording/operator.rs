//! The person at the terminal, as the recorder knows one.

use std::{future::Future, pin::Pin};

use console::{complain, say};

use recorder::asked_to_stop;

/// Reads the terminal of this program, and gives up by Ctrl-C.
pub(crate) struct AtTerminal;

impl recorder::Operator for AtTerminal {
    fn warn(&self, words: &str) {
        complain(words);
    }

    fn stands_still(&self, words: &str) {
        // a full screen says it itself
        if !terminal_view::is_up() {
            complain(words);
        }
    }

    fn tell(&self, words: &str) {
        say(words);
    }

    fn gives_up(&self) -> Pin<Box<dyn Future<Output = ()> + '_>> {
        Box::pin(asked_to_stop(true))
    }
}
