//! The person at the keyboard: asked line by line, and free to leave.

use std::{
    future::{Future, poll_fn},
    io,
    pin::pin,
    sync::mpsc::{Receiver, SyncSender, sync_channel},
};

use console::{Questions, Typed, forward};

use crate::recording::runtime;

/// Whoever types at standard input; asked on standard error.
pub(crate) fn person() -> Questions<io::Stderr> {
    let size = terminal_size::terminal_size_of(io::stderr());
    let columns = size.map_or(80, |(width, _)| usize::from(width.0));
    Questions::new(listen(), io::stderr(), columns.clamp(20, 100))
}

/// Listens to standard input and to Ctrl-C, on threads of their own.
fn listen() -> Receiver<Typed> {
    let (send, receive) = sync_channel(1);
    let (ready, is_ready) = sync_channel(1);
    let stop = send.clone();
    std::thread::spawn(move || {
        if let Ok(runtime) = runtime() {
            runtime.block_on(stopped(&ready));
            let _ = stop.send(Typed::Stop);
        }
    });
    // no question before Ctrl-C is heard; a thread that ended is heard as well
    let _ = is_ready.recv();
    std::thread::spawn(move || forward(&mut io::stdin().lock(), &send));
    receive
}

/// Completes on Ctrl-C; says on `ready` when that is listened for.
async fn stopped(ready: &SyncSender<()>) {
    let mut stop = pin!(recorder::asked_to_stop(true));
    // the first look at it is what begins to listen
    poll_fn(|context| {
        let polled = stop.as_mut().poll(context);
        let _ = ready.try_send(());
        polled
    })
    .await;
}
