//! Lines typed on standard input, for views that redraw nothing.

use std::io::BufRead;

use console::await_foreground;
use tokio::sync::mpsc::UnboundedSender;
use watch::{Act, keys::act_of_line};

use crate::keyboard::Input;

/// Reads what is typed on standard input, a line each; the end of input ends that,
/// not the run.
///
/// An empty line asks `status` how things stand, where there is one.
pub(crate) fn read_lines(
    send: UnboundedSender<Act>,
    status: Option<std::sync::mpsc::Sender<Input>>,
) {
    std::thread::spawn(move || {
        await_foreground();
        for line in std::io::stdin().lock().split(b'\n') {
            let Ok(line) = line else { return };
            // not every keyboard speaks UTF-8, and a remark is better kept with
            // a letter missing than not at all
            let line = String::from_utf8_lossy(&line);
            let Some(act) = act_of_line(line.trim()) else {
                status.as_ref().map(|s| s.send(Input::Ask));
                continue;
            };
            if send.send(act).is_err() {
                return;
            }
        }
    });
}
