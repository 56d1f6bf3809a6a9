//! Bytes of a keyboard in raw mode to keys.
//!
//! Read here and not by the terminal library, because that spins without
//! end once its terminal is gone, and a recording goes on without one.

/// A key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Key {
    /// A letter or sign.
    Char(char),
    Enter,
    Backspace,
    Escape,
    /// Ctrl-C.
    Interrupt,
    /// Ctrl-Z.
    Suspend,
    Left,
    Right,
    PageUp,
    PageDown,
    Home,
    End,
}

/// Puts keys together that come in several bytes, perhaps in several pieces.
#[derive(Debug, Default)]
pub(crate) struct Keys {
    waiting: Vec<u8>,
}

impl Keys {
    /// Takes what came; gives the keys that are whole.
    pub(crate) fn take(&mut self, bytes: &[u8]) -> Vec<Key> {
        self.waiting.extend_from_slice(bytes);
        let mut keys = Vec::new();
        let mut rest = self.waiting.as_slice();
        while let Some((key, used)) = next(rest) {
            keys.extend(key);
            rest = &rest[used..];
        }
        self.waiting = rest.to_vec();
        keys
    }

    /// Nothing more came for a while: an escape that began nothing is the key itself.
    pub(crate) fn pause(&mut self) -> Option<Key> {
        let alone = self.waiting == [0x1b];
        // and a letter that was never finished is none
        self.waiting.clear();
        alone.then_some(Key::Escape)
    }

    /// True while a key is half there.
    pub(crate) fn is_waiting(&self) -> bool {
        !self.waiting.is_empty()
    }
}

/// The first key of these bytes and how many it takes; `None` while it is not whole.
fn next(bytes: &[u8]) -> Option<(Option<Key>, usize)> {
    let first = *bytes.first()?;
    let key = match first {
        0x03 => Key::Interrupt,
        0x1a => Key::Suspend,
        b'\r' | b'\n' => Key::Enter,
        0x08 | 0x7f => Key::Backspace,
        0x1b => return escape(bytes),
        0..=0x1f => return Some((None, 1)),
        _ => return letter(bytes),
    };
    Some((Some(key), 1))
}

/// `ESC [ … letter`, `ESC [ … ~`, `ESC O letter`.
fn escape(bytes: &[u8]) -> Option<(Option<Key>, usize)> {
    match *bytes.get(1)? {
        b'[' => {
            let end = bytes[2..].iter().position(|b| (0x40..=0x7e).contains(b))? + 2;
            let number: String = bytes[2..end]
                .iter()
                .take_while(|b| b.is_ascii_digit())
                .map(|b| char::from(*b))
                .collect();
            let key = match (bytes[end], number.as_str()) {
                (b'C', _) => Some(Key::Right),
                (b'D', _) => Some(Key::Left),
                (b'H', _) | (b'~', "1" | "7") => Some(Key::Home),
                (b'F', _) | (b'~', "4" | "8") => Some(Key::End),
                (b'~', "5") => Some(Key::PageUp),
                (b'~', "6") => Some(Key::PageDown),
                _ => None,
            };
            Some((key, end + 1))
        }
        b'O' => {
            let key = match *bytes.get(2)? {
                b'C' => Some(Key::Right),
                b'D' => Some(Key::Left),
                b'H' => Some(Key::Home),
                b'F' => Some(Key::End),
                _ => None,
            };
            Some((key, 3))
        }
        // two keys, quickly one after the other
        _ => Some((Some(Key::Escape), 1)),
    }
}

fn letter(bytes: &[u8]) -> Option<(Option<Key>, usize)> {
    let length = match bytes[0] {
        0..=0x7f => 1,
        0xc2..=0xdf => 2,
        0xe0..=0xef => 3,
        0xf0..=0xf4 => 4,
        _ => return Some((None, 1)),
    };
    let whole = bytes.get(..length)?;
    match std::str::from_utf8(whole) {
        Ok(text) => Some((text.chars().next().map(Key::Char), length)),
        Err(_) => Some((None, 1)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Key::{
        Backspace, Char, End, Enter, Escape, Home, Interrupt, Left, PageDown, PageUp, Right,
    };

    #[test]
    fn keys_are_understood_whole_and_in_pieces() {
        let typed = "sé€🔧\r\x7f\x03\x1b[C\x1b[D\x1bOC\x1b[5~\x1b[6~\x1b[H\x1b[4~\x1b[1;5Cx";
        let wanted = [
            Char('s'),
            Char('é'),
            Char('€'),
            Char('🔧'),
            Enter,
            Backspace,
            Interrupt,
            Right,
            Left,
            Right,
            PageUp,
            PageDown,
            Home,
            End,
            Right,
            Char('x'),
        ];
        assert_eq!(Keys::default().take(typed.as_bytes()), wanted);
        let mut keys = Keys::default();
        let one_by_one: Vec<Key> = typed.bytes().flat_map(|b| keys.take(&[b])).collect();
        assert_eq!(one_by_one, wanted);
    }

    #[test]
    fn an_escape_alone_is_a_key_after_a_pause() {
        let mut keys = Keys::default();
        assert_eq!(keys.take(b"\x1b"), []);
        assert!(keys.is_waiting());
        assert_eq!(keys.pause(), Some(Escape));
        assert_eq!(keys.take(b"\x1bq"), [Escape, Char('q')]);
    }

    #[test]
    fn rubbish_is_passed_over() {
        let mut keys = Keys::default();
        let typed = b"\xff\xc3\x28\x00\x1b[200~a\x1b[9;9;9zb";
        assert_eq!(keys.take(typed), [Char('('), Char('a'), Char('b')]);
        for byte in 0..=255 {
            keys.take(&[byte, byte, byte]);
            keys.pause();
        }
    }
}
