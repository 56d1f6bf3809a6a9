//! Lines as they are typed or piped, and the wish to leave.

use std::{
    future::{Future, poll_fn},
    io::{self, BufRead, Read},
    pin::pin,
    sync::mpsc::{Receiver, SyncSender, sync_channel},
};

use job_form::Typed;

use crate::recording::{runtime, stop};

/// Longest answer, bytes.
const LONGEST: usize = 1_000;

/// Listens to standard input and to Ctrl-C, on threads of their own.
pub(super) fn listen() -> Receiver<Typed> {
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
    let mut stop = pin!(stop::asked_to_stop(true));
    // the first look at it is what begins to listen
    poll_fn(|context| {
        let polled = stop.as_mut().poll(context);
        let _ = ready.try_send(());
        polled
    })
    .await;
}

fn forward(input: &mut impl BufRead, send: &SyncSender<Typed>) {
    loop {
        let typed = line(input).unwrap_or(Typed::End);
        let last = typed == Typed::End;
        if send.send(typed).is_err() || last {
            return;
        }
    }
}

fn line(input: &mut impl BufRead) -> io::Result<Typed> {
    let mut bytes = Vec::new();
    let limit = LONGEST as u64 + 2;
    if input.by_ref().take(limit).read_until(b'\n', &mut bytes)? == 0 {
        return Ok(Typed::End);
    }
    let whole = bytes.ends_with(b"\n");
    while bytes.ends_with(b"\n") || bytes.ends_with(b"\r") {
        bytes.pop();
    }
    if bytes.len() > LONGEST {
        if !whole {
            input.skip_until(b'\n')?;
        }
        return Ok(Typed::Unusable("that is too long: at most 1000 characters"));
    }
    Ok(match String::from_utf8(bytes) {
        Err(_) => Typed::Unusable("that is not UTF-8 text: type it again"),
        Ok(text) if text.chars().any(|c| c.is_control() && c != '\t') => {
            Typed::Unusable("there is a control character in it (an arrow key?): type it again")
        }
        Ok(text) => Typed::Line(text.replace('\t', " ")),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(mut bytes: &[u8]) -> Vec<Typed> {
        let mut found = Vec::new();
        while found.last() != Some(&Typed::End) {
            found.push(line(&mut bytes).expect("memory is read"));
        }
        found.pop();
        found
    }

    #[test]
    fn what_is_no_answer_is_refused_and_the_next_line_is_whole() {
        let long = [b"x".repeat(5_000), b"\nnext\n".to_vec()].concat();
        let found = all(&long);
        assert!(matches!(found[0], Typed::Unusable(why) if why.contains("too long")));
        assert_eq!(found[1..], [Typed::Line("next".into())]);
        assert!(matches!(all(b"\x1b[A\n")[0], Typed::Unusable(_)));
        assert!(matches!(all(b"\xff\xfe\n")[0], Typed::Unusable(_)));
        assert!(matches!(all(b"a\0b\n")[0], Typed::Unusable(_)));
        let just = [b"y".repeat(LONGEST), b"\r\nz".to_vec()].concat();
        assert_eq!(all(&just)[0], Typed::Line("y".repeat(LONGEST)));
        assert_eq!(all(&just)[1], Typed::Line("z".into()));
    }
}
