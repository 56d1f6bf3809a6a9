//! What is said at the door of a recording.
//!
//! A visitor says one line, `dryhold 1 WHAT`, then lines `NAME=VALUE`, then an empty line.
//! `name` and `stop` are answered with one line, the name of the run, a tab, its folder. After `stop` the
//! connection stays open until the program ends. `look` is answered with what a terminal
//! draws; the visitor sends keys (`k`, two bytes of length, bytes) and sizes (`s`, columns
//! and rows, two bytes each), most significant byte first.

use std::io::{self, BufRead, Read, Write};

/// Lines and bytes of a greeting, at most.
const MOST_LINES: usize = 16;
const MOST_BYTES: u64 = 4_096;

/// What a visitor wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wants {
    Name,
    Look,
    Stop,
}

const WORDS: [(Wants, &str); 3] = [
    (Wants::Name, "name"),
    (Wants::Look, "look"),
    (Wants::Stop, "stop"),
];

/// Says what is wanted.
pub(crate) fn greet(
    mut to: impl Write,
    wants: Wants,
    values: &[(String, String)],
) -> io::Result<()> {
    let word = WORDS
        .iter()
        .find(|(w, _)| *w == wants)
        .map_or("", |(_, word)| word);
    let mut text = format!("dryhold 1 {word}\n");
    for (name, value) in values {
        text.push_str(&format!("{name}={}\n", value.replace(['\n', '\r'], " ")));
    }
    text.push('\n');
    to.write_all(text.as_bytes())
}

/// Understands what is wanted; reads no byte behind the empty line.
pub(crate) fn greeting(from: &mut impl BufRead) -> io::Result<(Wants, Vec<(String, String)>)> {
    let wrong = || io::Error::from(io::ErrorKind::InvalidData);
    let mut from = from.take(MOST_BYTES);
    let mut line = String::new();
    from.read_line(&mut line)?;
    let word = line
        .trim_end()
        .strip_prefix("dryhold 1 ")
        .ok_or_else(wrong)?;
    let wants = WORDS.iter().find(|(_, w)| *w == word).ok_or_else(wrong)?.0;
    let mut values = Vec::new();
    for _ in 0..MOST_LINES {
        line.clear();
        if from.read_line(&mut line)? == 0 {
            return Err(wrong());
        }
        match line.trim_end().split_once('=') {
            Some((name, value)) => values.push((name.to_owned(), value.to_owned())),
            None => return Ok((wants, values)),
        }
    }
    Err(wrong())
}

/// What a visitor who looks on sends.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Sent {
    Keys(Vec<u8>),
    Size(u16, u16),
}

/// Sends it.
pub(crate) fn send(mut to: impl Write, sent: &Sent) -> io::Result<()> {
    let bytes = match sent {
        Sent::Keys(keys) => {
            let length = u16::try_from(keys.len()).unwrap_or(u16::MAX);
            let mut bytes = vec![b'k'];
            bytes.extend(length.to_be_bytes());
            bytes.extend(keys.iter().take(usize::from(length)));
            bytes
        }
        Sent::Size(columns, rows) => {
            let mut bytes = vec![b's'];
            bytes.extend(columns.to_be_bytes());
            bytes.extend(rows.to_be_bytes());
            bytes
        }
    };
    to.write_all(&bytes)
}

/// Takes the next of it.
pub(crate) fn take(from: &mut impl Read) -> io::Result<Sent> {
    let mut kind = [0; 1];
    from.read_exact(&mut kind)?;
    let mut two = || {
        let mut bytes = [0; 2];
        from.read_exact(&mut bytes)
            .map(|()| u16::from_be_bytes(bytes))
    };
    match kind[0] {
        b'k' => {
            let mut keys = vec![0; usize::from(two()?)];
            from.read_exact(&mut keys)?;
            Ok(Sent::Keys(keys))
        }
        b's' => Ok(Sent::Size(two()?, two()?)),
        _ => Err(io::ErrorKind::InvalidData.into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_is_understood() {
        let values = vec![("TERM".to_owned(), "xterm=\n256color".to_owned())];
        for (wants, _) in WORDS {
            let mut said = Vec::new();
            greet(&mut said, wants, &values).expect("said");
            said.extend(b"k");
            let mut rest = said.as_slice();
            let (understood, heard) = greeting(&mut rest).expect("understood");
            assert_eq!(understood, wants);
            assert_eq!(heard, [("TERM".to_owned(), "xterm= 256color".to_owned())]);
            assert_eq!(rest, b"k", "nothing more is read");
        }
        for sent in [Sent::Keys(b"s\x1b[A".to_vec()), Sent::Size(80, 24)] {
            let mut bytes = Vec::new();
            send(&mut bytes, &sent).expect("sent");
            assert_eq!(take(&mut bytes.as_slice()).expect("taken"), sent);
        }
    }

    #[test]
    fn rubbish_is_refused() {
        let long = format!("dryhold 1 look\n{}", "A=1\n".repeat(20_000));
        for said in [
            "",
            "GET / HTTP/1.1\r\n\r\n",
            "dryhold 1 eat\n\n",
            &long,
            "dryhold 1 look",
        ] {
            assert!(greeting(&mut said.as_bytes()).is_err(), "{said:.20}");
        }
        assert!(take(&mut b"x".as_slice()).is_err());
        assert!(take(&mut b"k\xff\xffab".as_slice()).is_err());
    }
}
