//! The other side of a visit: this terminal shows what the recording draws.

use std::{
    io::{self, IsTerminal, Read, Write},
    net::Shutdown,
    os::unix::net::UnixStream,
    time::Duration,
};

use rustix::termios::{OptionalActions, Termios, tcgetattr, tcgetwinsize, tcsetattr};

use crate::{
    error::LiveError,
    message::{self, Sent, Wants},
    runs::LiveRun,
};

/// How often the size of the window is looked at.
const SIZE_EVERY: Duration = Duration::from_millis(200);
/// What tells how to draw.
const VARS: [&str; 5] = ["TERM", "LANG", "LC_ALL", "LC_CTYPE", "NO_COLOR"];
/// Leaves the whole screen and shows the cursor, whatever the other side has still said.
const LEAVE: &[u8] = b"\x1b[?1049l\x1b[?25h";

/// Shows a recording on this terminal until its run ends or the person leaves; true where
/// the run goes on.
///
/// # Errors
/// Without a terminal, or where the recording cannot be reached.
pub fn look(run: &LiveRun) -> Result<bool, LiveError> {
    let (stdin, stdout) = (io::stdin(), io::stdout());
    if !stdin.is_terminal() || !stdout.is_terminal() {
        return Err(LiveError::NoTerminal);
    }
    let unusable = |why: io::Error| LiveError::Unusable {
        what: run.name.clone(),
        why,
    };
    let shown = (|| -> io::Result<()> {
        let stream = UnixStream::connect(&run.socket)?;
        let (columns, rows) = size();
        let mut values = vec![
            ("COLUMNS".to_owned(), columns.to_string()),
            ("ROWS".to_owned(), rows.to_string()),
        ];
        let var = |name: &str| std::env::var(name).ok().map(|v| (name.to_owned(), v));
        values.extend(VARS.into_iter().filter_map(var));
        message::greet(&stream, Wants::Look, &values)?;
        let _raw = RawTerminal::take()?;
        show(stream, (columns, rows))
    })();
    // the run that has ended is no error
    shown.map_err(unusable)?;
    Ok(run.goes_on())
}

fn show(stream: UnixStream, first: (u16, u16)) -> io::Result<()> {
    let mut keys = stream.try_clone()?;
    std::thread::spawn(move || {
        let mut bytes = [0; 256];
        // past the library's own buffer, which belongs to nobody else here
        let mut keyboard = io::stdin();
        while let Ok(count @ 1..) = keyboard.read(&mut bytes) {
            if message::send(&mut keys, &Sent::Keys(bytes[..count].to_vec())).is_err() {
                return;
            }
        }
        let _ = keys.shutdown(Shutdown::Both);
    });
    let mut sizes = stream.try_clone()?;
    std::thread::spawn(move || {
        let mut last = first;
        loop {
            std::thread::sleep(SIZE_EVERY);
            let now = size();
            if now != last && message::send(&mut sizes, &Sent::Size(now.0, now.1)).is_err() {
                return;
            }
            last = now;
        }
    });
    let mut from = stream;
    let mut out = io::stdout();
    let mut bytes = [0; 8_192];
    loop {
        match from.read(&mut bytes) {
            Ok(0) | Err(_) => return Ok(()),
            Ok(count) => {
                out.write_all(&bytes[..count])?;
                out.flush()?;
            }
        }
    }
}

fn size() -> (u16, u16) {
    tcgetwinsize(io::stdout()).map_or((80, 24), |size| (size.ws_col, size.ws_row))
}

/// This terminal without lines and echo; as it was before when dropped.
struct RawTerminal(Termios);

impl RawTerminal {
    fn take() -> io::Result<Self> {
        let before = tcgetattr(io::stdin())?;
        let mut raw = before.clone();
        raw.make_raw();
        tcsetattr(io::stdin(), OptionalActions::Flush, &raw)?;
        Ok(Self(before))
    }
}

impl Drop for RawTerminal {
    fn drop(&mut self) {
        let mut out = io::stdout();
        let _ = out.write_all(LEAVE).and_then(|()| out.flush());
        let _ = tcsetattr(io::stdin(), OptionalActions::Flush, &self.0);
    }
}
