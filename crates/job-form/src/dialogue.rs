//! Asking, one question a line.

use std::{io::Write, sync::mpsc::Receiver};

use chrono::NaiveDate;
use toml::Value;

use crate::{
    check::{Around, check, overdue, profiles},
    document::{Document, shown},
    fields::{Asked, FIELDS, Field, Kind, field},
};
use console::harmless;

/// What came from the keyboard.
#[derive(Debug, PartialEq)]
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
pub struct Dialogue<W> {
    typed: Receiver<Typed>,
    out: W,
    today: NaiveDate,
    columns: usize,
}

impl<W: Write> Dialogue<W> {
    /// A dialogue that takes its lines from `typed`, and asks on `out` in so many columns.
    pub fn new(typed: Receiver<Typed>, out: W, today: NaiveDate, columns: usize) -> Self {
        Self {
            typed,
            out,
            today,
            columns,
        }
    }

    /// Says a line.
    pub fn say(&mut self, line: &str) {
        for row in wrapped(line, self.columns) {
            // nobody is there to be told when this fails
            let _ = writeln!(self.out, "{}", harmless(&row));
        }
    }

    /// A line that was typed behind this prompt.
    fn line(&mut self, prompt: &str) -> Result<String, Left> {
        loop {
            let _ = write!(self.out, "{prompt}");
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

    /// Asks for one field. `before` is kept when only Enter is typed.
    fn ask(&mut self, field: &Field, before: Option<&Value>) -> Result<Option<Value>, Left> {
        let prompt = match before {
            Some(value) => format!("{} [{}]: ", field.label, shown(value)),
            None => format!("{}: ", field.label),
        };
        let mut refused = None;
        loop {
            let text = self.line(&prompt)?;
            match text.as_str() {
                "" if before.is_some() => {
                    let due = before.filter(|_| field.kind == Kind::CalibrationDue);
                    if let Some(caution) = due.and_then(|d| overdue(&shown(d), self.today)) {
                        self.say(&format!("  {caution}"));
                    }
                    return Ok(before.cloned());
                }
                "" | "-" if field.kind == Kind::JobId => {
                    self.say("  This one is needed: it names the record. Ctrl-D leaves.");
                }
                "" | "-" => return Ok(None),
                "?" => self.say(&format!("  {}", field.why)),
                text => {
                    let insisted = refused.as_deref() == Some(text);
                    let today = self.today;
                    match check(field, text, Around { today, insisted }) {
                        Ok(kept) => {
                            for line in kept.said {
                                self.say(&format!("  {line}"));
                            }
                            return Ok(Some(kept.value));
                        }
                        Err(why) => self.say(&format!("  {why}")),
                    }
                    refused = Some(text.to_owned());
                }
            }
        }
    }

    /// Asks for what belongs to one job.
    pub fn each_job(&mut self, document: &mut Document) -> Result<(), Left> {
        let own = |f: &Field| f.table == "criteria" && f.key != "name";
        for field in FIELDS
            .iter()
            .filter(|f| f.asked == Asked::EachJob && !own(f))
        {
            if field.kind == Kind::Profile {
                for line in profiles() {
                    self.say(&format!("  {line}"));
                }
            }
            let answer = self.ask(field, None)?;
            if field.kind == Kind::Profile && answer == Some(Value::from("own")) {
                self.own_criteria(document)?;
            } else {
                document.set(field, answer);
            }
        }
        Ok(())
    }

    /// Asks for numbers of one's own until they can be judged against.
    fn own_criteria(&mut self, document: &mut Document) -> Result<(), Left> {
        loop {
            for key in ["target_micron", "hold_min", "ceiling_micron", "source"] {
                if let Some(field) = field("criteria", key) {
                    let answer = self.ask(field, None)?;
                    document.set(field, answer);
                }
            }
            let number = |key| -> Option<f64> {
                document
                    .get(field("criteria", key)?)
                    .and_then(|v| shown(v).parse().ok())
            };
            let target = number("target_micron");
            match number("ceiling_micron") {
                Some(ceiling) if ceiling < target.unwrap_or(500.0) => {
                    self.say("  The hold may not be held below the target. Once more:");
                }
                _ => return Ok(()),
            }
        }
    }

    /// Asks for what belongs to the shop; what is remembered stands in brackets.
    pub fn shop(&mut self, document: &mut Document) -> Result<(), Left> {
        for field in FIELDS.iter().filter(|f| f.asked == Asked::Once) {
            // without a second gauge there is nothing to say of it
            let second = field.table == "pump_gauge" && field.key != "description";
            let has_second = document.answered().any(|(f, _)| f.table == "pump_gauge");
            if second && !has_second {
                continue;
            }
            let before = document.get(field).cloned();
            let answer = self.ask(field, before.as_ref())?;
            document.set(field, answer);
        }
        Ok(())
    }

    /// Offers what is remembered as a whole; goes through it when that is wished.
    pub fn offer_shop(&mut self, document: &mut Document) -> Result<(), Left> {
        self.say("");
        self.say("Remembered of the shop:");
        for line in listed(document, self.today) {
            self.say(&format!("  {line}"));
        }
        loop {
            match self
                .line("Enter keeps all of it, c goes through it: ")?
                .as_str()
            {
                "" => return Ok(()),
                "c" | "C" => return self.shop(document),
                "?" => {
                    self.say("  With c each is asked; Enter then keeps what stands in brackets.")
                }
                _ => self.say("  Press Enter, or type c"),
            }
        }
    }
}

/// Answers as lines, with what has to be said about them.
pub fn listed(document: &Document, today: NaiveDate) -> Vec<String> {
    let mut lines = Vec::new();
    for (field, value) in document.answered() {
        let label = field
            .label
            .split([',', '('])
            .next()
            .unwrap_or(field.label)
            .trim_end();
        lines.push(format!("{label}: {}", shown(value)));
        if field.kind == Kind::CalibrationDue {
            lines.extend(overdue(&shown(value), today));
        }
    }
    lines
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
    use std::sync::mpsc::channel;

    use super::*;

    /// What is said and kept when these lines are typed.
    fn talk(lines: &[&str]) -> (Result<Document, Left>, String) {
        let (send, typed) = channel();
        for line in lines {
            send.send(Typed::Line((*line).into())).expect("it is heard");
        }
        send.send(Typed::End).expect("it is heard");
        let mut out = Vec::new();
        let today = NaiveDate::from_ymd_opt(2026, 3, 14).expect("a day");
        let mut document = Document::default();
        let mut dialogue = Dialogue::new(typed, &mut out, today, 80);
        let answered = dialogue.each_job(&mut document);
        let said = String::from_utf8(out).expect("UTF-8");
        (answered.map(|()| document), said)
    }

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

    #[test]
    fn a_job_needs_its_number_only() {
        let (document, said) = talk(&[
            "", "-", "4711", "", "", "", "", "", "", "", "", "", "", "", "", "",
        ]);
        let document = document.expect("all was asked");
        assert_eq!(document.answered().count(), 1, "{document:?}");
        assert_eq!(said.matches("This one is needed").count(), 2, "{said}");
        assert!(
            said.contains("2  facilities one hour: down to 300 micron"),
            "{said}"
        );
    }

    #[test]
    fn leaving_at_any_question_leaves() {
        let all = [
            "1", "", "", "", "", "", "", "", "", "", "", "", "", "own", "300", "20", "500",
        ];
        for n in 0..all.len() {
            assert_eq!(talk(&all[..n]).0, Err(Left), "after {n}");
        }
    }

    #[test]
    fn own_criteria_are_asked_until_they_can_be_judged_against() {
        let before = ["1", "", "", "", "", "", "", "", "", "", "", "", "", "own"];
        let numbers = [
            "600", "20", "", "x", "600", "20", "500", "", "300", "20", "300", "plate",
        ];
        // 600 with no ceiling is sound; the rest is not read then
        let (document, _) = talk(&[&before[..], &numbers[..4]].concat());
        assert!(document.is_ok());
        let (document, said) = talk(&[&before[..], &numbers[4..]].concat());
        let target = field("criteria", "target_micron").expect("a field");
        let document = document.expect("sound numbers");
        assert_eq!(document.get(target), Some(&Value::Integer(300)));
        assert!(said.contains("below the target"), "{said}");
    }
}
