//! Asking a person, one question a line.

use std::{
    io::{self, BufRead, Read, Write},
    sync::mpsc::{Receiver, SyncSender},
};

use crate::harmless;

/// Longest answer, bytes.
const LONGEST: usize = 1_000;

/// What came from the keyboard.
#[derive(Debug, PartialEq, Eq)]
pub enum Typed {
    /// A line, without its end.
    Line(String),
    /// A line that is no answer, and why.
    Unusable(&'static str),
    /// Nothing more will come (Ctrl-D, or the end of a pipe).
    End,
    /// Ctrl-C.
    Stop,
}

/// The person left before the end.
#[derive(Debug, PartialEq, Eq)]
pub struct Left;

/// Questions to one person.
///
/// ```
/// use std::sync::mpsc::channel;
/// use console::{Questions, Typed};
///
/// let (send, typed) = channel();
/// send.send(Typed::Line(" mbar ".into()))?;
/// let mut out = Vec::new();
/// assert_eq!(Questions::new(typed, &mut out, 80).line("Unit: "), Ok("mbar".to_owned()));
/// assert_eq!(out, b"Unit: ");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub struct Questions<W> {
    typed: Receiver<Typed>,
    out: W,
    columns: usize,
}

impl<W: Write> Questions<W> {
    /// Takes lines from `typed`, and asks on `out` in so many columns.
    pub fn new(typed: Receiver<Typed>, out: W, columns: usize) -> Self {
        Self {
            typed,
            out,
            columns,
        }
    }

    /// Says a line, broken between words.
    pub fn say(&mut self, line: &str) {
        for row in wrapped(line, self.columns) {
            // nobody is there to be told when this fails
            let _ = writeln!(self.out, "{}", harmless(&row));
        }
    }

    /// A line that was typed behind this prompt, without blanks around it.
    ///
    /// # Errors
    /// [`Left`] when nothing more comes.
    pub fn line(&mut self, prompt: &str) -> Result<String, Left> {
        loop {
            let _ = write!(self.out, "{}", harmless(prompt));
            let _ = self.out.flush();
            match self.typed.recv() {
                Ok(Typed::Line(line)) => return Ok(line.trim().to_owned()),
                Ok(Typed::Unusable(why)) => self.say(&format!("  {why}")),
                Ok(Typed::End | Typed::Stop) | Err(_) => break,
            }
        }
        self.say("");
        Err(Left)
    }

    /// Yes, no, or nothing for Enter.
    ///
    /// # Errors
    /// [`Left`] when nothing more comes.
    pub fn yes_or_no(&mut self, prompt: &str) -> Result<Option<bool>, Left> {
        loop {
            match self.line(prompt)?.to_lowercase().as_str() {
                "" => return Ok(None),
                "y" | "yes" => return Ok(Some(true)),
                "n" | "no" => return Ok(Some(false)),
                _ => self.say("  answer yes or no"),
            }
        }
    }
}

/// Sends the lines of `input` on until it ends or nobody takes them.
pub fn forward(input: &mut impl BufRead, send: &SyncSender<Typed>) {
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

/// A line broken between words, its rows indented as it is.
fn wrapped(line: &str, columns: usize) -> Vec<String> {
    let indent: String = line.chars().take_while(|c| *c == ' ').collect();
    let mut rows = vec![indent.clone()];
    for word in line.trim_start().split(' ') {
        let Some(row) = rows.last_mut() else {
            continue;
        };
        let used = row.chars().count();
        let starts = row.trim().is_empty();
        if !starts && used + 1 + word.chars().count() > columns {
            rows.push(format!("{indent}{word}"));
        } else {
            if !starts {
                row.push(' ');
            }
            row.push_str(word);
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_than_the_screen_and_no_word_is_lost() {
        let text = "  one two three  four five";
        for columns in [0, 1, 9, 80] {
            let rows = wrapped(text, columns);
            let words = rows.join(" ");
            assert!(
                words.split_whitespace().eq(text.split_whitespace()),
                "{rows:?}"
            );
            let fits = |row: &String| row.chars().count() <= columns.max(7);
            assert!(rows.iter().all(fits), "{columns}: {rows:?}");
        }
        assert_eq!(wrapped("", 80), [""]);
    }

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
