//! Asking, one question a line.

use std::{io::Write, sync::mpsc::Receiver};

use chrono::NaiveDate;
use toml::Value;

use super::{
    check::{Around, check, overdue},
    document::{Document, shown},
    fields::{Asked, FIELDS, Field, Kind, field},
    typed::Typed,
};

/// The person left before the end.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Left;

/// Questions to one person.
pub(crate) struct Dialogue<W> {
    typed: Receiver<Typed>,
    out: W,
    today: NaiveDate,
}

impl<W: Write> Dialogue<W> {
    pub(crate) fn new(typed: Receiver<Typed>, out: W, today: NaiveDate) -> Self {
        Self { typed, out, today }
    }

    /// Says a line.
    pub(crate) fn say(&mut self, line: &str) {
        // nobody is there to be told when this fails
        let _ = writeln!(self.out, "{line}");
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
                "" if before.is_some() => return Ok(before.cloned()),
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
    pub(crate) fn each_job(&mut self, document: &mut Document) -> Result<(), Left> {
        let own = |f: &Field| f.table == "criteria" && f.key != "name";
        for field in FIELDS
            .iter()
            .filter(|f| f.asked == Asked::EachJob && !own(f))
        {
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
            let number = |key| -> Option<f64> { document.get(field("criteria", key)?)?.as_float() };
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
    pub(crate) fn shop(&mut self, document: &mut Document) -> Result<(), Left> {
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
    pub(crate) fn offer_shop(&mut self, document: &mut Document) -> Result<(), Left> {
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
pub(crate) fn listed(document: &Document, today: NaiveDate) -> Vec<String> {
    let mut lines = Vec::new();
    for (field, value) in document.answered() {
        let label = field.label.split(" (").next().unwrap_or(field.label);
        lines.push(format!("{label}: {}", shown(value)));
        if field.kind == Kind::CalibrationDue {
            lines.extend(overdue(&shown(value), today));
        }
    }
    lines
}
