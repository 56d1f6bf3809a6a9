//! All answers once more before they are written, each to be changed by its number.

use std::io::Write;

use console::Left;

use crate::{
    dialogue::{Dialogue, is_asked, is_own_criterion, name_of, own_criteria},
    document::{Document, shown},
    fields::{Asked, FIELDS, Field, Kind},
};

impl<W: Write> Dialogue<W> {
    /// Shows the answers of a job and of the shop by number, and changes those that are
    /// named, until only Enter is typed.
    ///
    /// # Errors
    /// [`Left`] when the person leaves before.
    pub fn review(&mut self, job: &mut Document, shop: &mut Document) -> Result<(), Left> {
        loop {
            let fields = numbered(job, shop);
            self.say("");
            self.say("Your answers:");
            let mut open = Vec::new();
            for (number, field) in (1..).zip(&fields) {
                let answer = document(field, job, shop).get(field).map(shown);
                let name = name_of(field);
                match answer {
                    Some(answer) => self.say(&format!("  {number:>2}  {name}: {answer}")),
                    None => open.push(format!("{number} {}", name.to_lowercase())),
                }
            }
            if !open.is_empty() {
                self.say(&format!("Not answered: {}.", open.join(", ")));
            }
            let number = self.number(fields.len())?;
            let Some(field) = number.and_then(|n| fields.get(n - 1).copied()) else {
                return Ok(());
            };
            let document = match field.asked {
                Asked::Once => &mut *shop,
                _ => &mut *job,
            };
            let asked: Vec<&'static Field> = match field.kind {
                Kind::Profile => std::iter::once(field).chain(own_criteria()).collect(),
                // they have to fit each other
                _ if is_own_criterion(field) => own_criteria().collect(),
                _ => vec![field],
            };
            let own = document.has_own_criteria();
            self.walk(&asked, document, own)?;
        }
    }

    /// A number up to `most`, or nothing for Enter.
    fn number(&mut self, most: usize) -> Result<Option<usize>, Left> {
        loop {
            let typed = self
                .person
                .line("Enter writes the file; a number changes that answer: ")?;
            if typed.is_empty() {
                return Ok(None);
            }
            match typed.parse::<usize>() {
                Ok(number) if (1..=most).contains(&number) => return Ok(Some(number)),
                _ => self.say(&format!("  Press Enter, or type a number from 1 to {most}")),
            }
        }
    }
}

/// The fields that can be changed, in the order of the file.
fn numbered(job: &Document, shop: &Document) -> Vec<&'static Field> {
    let own = job.has_own_criteria();
    FIELDS
        .iter()
        .filter(|f| f.asked != Asked::Never && is_asked(f, document(f, job, shop), own))
        .collect()
}

/// Where the answer of this field stands.
fn document<'d>(field: &Field, job: &'d Document, shop: &'d Document) -> &'d Document {
    match field.asked {
        Asked::Once => shop,
        _ => job,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use chrono::NaiveDate;
    use console::{Questions, Typed};
    use toml::Value;

    use super::*;
    use crate::fields::field;

    /// Answers after these lines are typed at the review, and what was said.
    fn reviewed(
        job: &mut Document,
        shop: &mut Document,
        lines: &[&str],
    ) -> (Result<(), Left>, String) {
        let (send, typed) = channel();
        for line in lines {
            send.send(Typed::Line((*line).into())).expect("it is heard");
        }
        send.send(Typed::End).expect("it is heard");
        let mut out = Vec::new();
        let today = NaiveDate::from_ymd_opt(2026, 3, 14).expect("a day");
        let person = Questions::new(typed, &mut out, 200);
        let done = Dialogue::new(person, today).review(job, shop);
        (done, String::from_utf8(out).expect("UTF-8"))
    }

    fn set(document: &mut Document, key: &str, value: &str) {
        let known = field("job", key).expect("a field");
        document.set(known, Some(Value::from(value)));
    }

    #[test]
    fn every_answer_can_be_changed_by_its_number() {
        let (mut job, mut shop) = (Document::default(), Document::default());
        set(&mut job, "id", "4711");
        set(&mut job, "refrigerant", "R-600a");
        set(&mut shop, "technician", "A. Example");
        let (done, said) = reviewed(&mut job, &mut shop, &[]);
        assert_eq!(done, Err(Left), "the end of input is no consent");
        assert!(said.contains("   1  Job number: 4711"), "{said}");
        assert!(
            said.contains("Not answered: 2 work order, 3 warranty claim"),
            "{said}"
        );
        let number = |name: &str| {
            let line = said.lines().find(|l| l.contains(name)).expect(name);
            line.split_whitespace().next().expect("a number").to_owned()
        };
        let (refrigerant, technician) = (number("Refrigerant:"), number("Technician:"));
        let lines = [
            &refrigerant,
            "propane",
            "99",
            &technician,
            "B. Nobody",
            "2",
            "WO-7",
            "",
        ];
        let (done, said) = reviewed(&mut job, &mut shop, &lines);
        assert_eq!(done, Ok(()));
        assert!(said.contains("type a number from 1 to"), "{said}");
        let answer = |d: &Document, key| d.get(field("job", key).expect(key)).map(shown);
        assert_eq!(answer(&job, "refrigerant").as_deref(), Some("R-290"));
        assert_eq!(answer(&job, "work_order").as_deref(), Some("WO-7"));
        assert_eq!(answer(&shop, "technician").as_deref(), Some("B. Nobody"));
        assert_eq!(answer(&job, "technician"), None);
    }
}
