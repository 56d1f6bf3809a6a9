//! Asks for a passphrase at the terminal without showing it.

use std::io::{self, IsTerminal};

use seal_keys::Passphrase;

use console::{complain_lines, finish, in_foreground};

/// What came from the keyboard.
pub enum Typed {
    /// A passphrase; empty for Enter alone.
    Passphrase(Passphrase),
    /// Ctrl-C, Ctrl-D, or the terminal went away.
    Left,
}

/// True when somebody sits at a terminal who sees the question and may answer.
pub fn is_possible() -> bool {
    io::stdin().is_terminal() && io::stderr().is_terminal() && in_foreground()
}

/// Takes bytes up to the end of a line.
fn read(mut next: impl FnMut() -> Option<u8>) -> Typed {
    let mut typed = Passphrase::new();
    let mut in_sequence = false;
    while let Some(byte) = next() {
        match byte {
            // a key that is no character sends ESC, signs, and a last one from @ to ~
            _ if in_sequence => in_sequence = matches!(byte, b'[' | b'O' | 0x20..=0x3f),
            0x1b => in_sequence = true,
            b'\r' | b'\n' => return Typed::Passphrase(typed),
            // Ctrl-C, Ctrl-D, Ctrl-\
            0x03 | 0x04 | 0x1c => return Typed::Left,
            0x08 | 0x7f => typed.pop(),
            // Ctrl-U
            0x15 => typed = Passphrase::new(),
            0..0x20 => {}
            // one that is too long is a wrong one
            byte => drop(typed.push(byte)),
        }
    }
    Typed::Left
}

/// The keyboard without echo, lines and signals for as long as this lives: also between two
/// questions, for whoever answers fast. As it was before once dropped.
pub struct Keyboard {
    #[cfg(unix)]
    before: rustix::termios::Termios,
}

impl Keyboard {
    /// Asks once.
    pub fn ask(&mut self, question: &str) -> Typed {
        complain_lines(question);
        // it stands there before anybody answers
        finish();
        read(|| byte().ok().flatten())
    }
}

#[cfg(unix)]
impl Keyboard {
    /// Takes the echo away.
    pub fn silent() -> io::Result<Self> {
        use rustix::termios::{LocalModes, OptionalActions, tcgetattr, tcsetattr};
        let keyboard = io::stdin();
        let before = tcgetattr(&keyboard)?;
        let mut silent = before.clone();
        silent.local_modes -=
            LocalModes::ECHO | LocalModes::ECHONL | LocalModes::ICANON | LocalModes::ISIG;
        tcsetattr(&keyboard, OptionalActions::Now, &silent)?;
        Ok(Self { before })
    }
}

#[cfg(unix)]
impl Drop for Keyboard {
    fn drop(&mut self) {
        use rustix::termios::{OptionalActions, tcsetattr};
        let _ = tcsetattr(io::stdin(), OptionalActions::Now, &self.before);
    }
}

/// The next byte, past the buffer of the library, which nobody clears.
#[cfg(unix)]
fn byte() -> io::Result<Option<u8>> {
    let mut byte = [0];
    loop {
        match rustix::io::read(io::stdin(), &mut byte) {
            Ok(0) => return Ok(None),
            Ok(_) => return Ok(Some(byte[0])),
            Err(rustix::io::Errno::INTR) => {}
            Err(e) => return Err(e.into()),
        }
    }
}

#[cfg(not(unix))]
impl Keyboard {
    /// Takes the echo away.
    pub fn silent() -> io::Result<Self> {
        ratatui::crossterm::terminal::enable_raw_mode()?;
        Ok(Self {})
    }
}

#[cfg(not(unix))]
impl Drop for Keyboard {
    fn drop(&mut self) {
        let _ = ratatui::crossterm::terminal::disable_raw_mode();
    }
}

/// The next byte.
#[cfg(not(unix))]
fn byte() -> io::Result<Option<u8>> {
    use std::io::Read;
    let mut byte = [0];
    let count = io::stdin().read(&mut byte)?;
    Ok((count > 0).then_some(byte[0]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(bytes: &[u8]) -> Option<Passphrase> {
        let mut bytes = bytes.iter().copied();
        match read(|| bytes.next()) {
            Typed::Passphrase(typed) => Some(typed),
            Typed::Left => None,
        }
    }

    #[test]
    fn keys_that_are_no_characters_do_not_count() {
        let plain = typed("käse 7\r".as_bytes()).expect("a passphrase");
        for same in [
            "käse 7\n",
            "käsex\u{7f} 7\r",
            "wrong\u{15}käse 7\r",
            "kä\u{1b}[Cse\u{1b}[1;5D\u{1b}OA 7\r",
            "käsß\u{8}e 7\t\r",
        ] {
            let also = typed(same.as_bytes()).expect("a passphrase");
            assert!(also.is_same(&plain), "{same:?}");
        }
        assert!(typed(b"\r").expect("nothing").is_empty());
        for left in [&b"abc\x03"[..], b"\x04", b"abc"] {
            assert!(typed(left).is_none(), "{left:?}");
        }
    }
}
