//! Asking, one question a line.

use std::io::Write;

use chrono::NaiveDate;
use toml::Value;

use crate::{
    check::{Around, check, overdue, profiles},
    document::{Document, shown},
    fields::{Asked, FIELDS, Field, Kind, field},
};
use console::{Left, Questions};

/// The questions of a job, to one person.
pub struct Dialogue<W> {
    pub(crate) person: Questions<W>,
    today: NaiveDate,
}

impl<W: Write> Dialogue<W> {
    /// A dialogue with this person, on this day.
    pub fn new(person: Questions<W>, today: NaiveDate) -> Self {
        Self { person, today }
    }

    /// Says a line.
    pub fn say(&mut self, line: &str) {
        self.person.say(line);
    }

    /// Asks for one field, with what stands there in brackets.
    fn ask(&mut self, field: &Field, document: &Document) -> Result<Answer, Left> {
        let own = field.kind == Kind::Profile && document.has_own_criteria();
        let before = match own {
            true => Some(Value::from("own")),
            false => document.get(field).cloned(),
        };
        let prompt = match &before {
            Some(value) => format!("{} [{}]: ", field.label, shown(value)),
            None => format!("{}: ", field.label),
        };
        let mut refused = None;
        loop {
            let text = self.person.line(&prompt)?;
            match text.as_str() {
                "<" => return Ok(Answer::Back),
                "" if before.is_some() => {
                    let due = before.as_ref();
                    let due = due.filter(|_| field.kind == Kind::CalibrationDue);
                    if let Some(caution) = due.and_then(|d| overdue(&shown(d), self.today)) {
                        self.say(&format!("  {caution}"));
                    }
                    return Ok(Answer::Given(before));
                }
                "" | "-" if field.kind == Kind::JobId => {
                    self.say("  This one is needed: it names the record. Ctrl-D leaves.");
                }
                "" | "-" => return Ok(Answer::Given(None)),
                "?" => self.say(&format!("  {}", field.why)),
                text => {
                    let around = Around {
                        today: self.today,
                        insisted: refused.as_deref() == Some(text),
                        system: document.system(),
                    };
                    match check(field, text, around) {
                        Ok(kept) => {
                            for line in kept.said {
                                self.say(&format!("  {line}"));
                            }
                            return Ok(Answer::Given(Some(kept.value)));
                        }
                        Err(why) => self.say(&format!("  {why}")),
                    }
                    refused = Some(text.to_owned());
                }
            }
        }
    }

    /// Goes through these fields; `<` goes back to the one before. `own`: numbers of one's
    /// own are asked for as well.
    pub(crate) fn walk(
        &mut self,
        fields: &[&'static Field],
        document: &mut Document,
        mut own: bool,
    ) -> Result<(), Left> {
        let mut at = 0;
        while let Some(field) = fields.get(at) {
            if !is_asked(field, document, own) {
                at += 1;
                continue;
            }
            if field.kind == Kind::Profile {
                for line in profiles() {
                    self.say(&format!("  {line}"));
                }
            }
            let answer = match self.ask(field, document)? {
                Answer::Given(answer) => answer,
                Answer::Back => {
                    let before = fields.get(..at).unwrap_or_default();
                    match before.iter().rposition(|f| is_asked(f, document, own)) {
                        Some(before) => at = before,
                        None => self.say("  This is the first question."),
                    }
                    continue;
                }
            };
            if field.kind == Kind::Profile {
                own = answer == Some(Value::from("own"));
                if !own {
                    own_criteria().for_each(|f| document.set(f, None));
                }
            }
            document.set(
                field,
                answer.filter(|a| field.kind != Kind::Profile || *a != Value::from("own")),
            );
            at += 1;
            let last_own = field.table == "criteria" && field.key == "source";
            if last_own && !are_sound(document) {
                self.say("  The hold may not be held below the target. Once more:");
                let target = fields.iter().position(|f| f.key == "target_micron");
                at = target.unwrap_or(at);
            }
        }
        Ok(())
    }

    /// Asks for what belongs to one job; what stands in `document` is kept with Enter.
    pub fn each_job(&mut self, document: &mut Document) -> Result<(), Left> {
        let plain = FIELDS
            .iter()
            .filter(|f| f.asked == Asked::EachJob && !is_own_criterion(f));
        let fields: Vec<&'static Field> = plain.chain(own_criteria()).collect();
        let own = document.has_own_criteria();
        self.walk(&fields, document, own)
    }

    /// Asks for what belongs to the shop; what is remembered stands in brackets.
    pub fn shop(&mut self, document: &mut Document) -> Result<(), Left> {
        let fields: Vec<&'static Field> =
            FIELDS.iter().filter(|f| f.asked == Asked::Once).collect();
        self.walk(&fields, document, false)
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
                .person
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

/// What came of a question.
enum Answer {
    /// This, or nothing.
    Given(Option<Value>),
    /// The one before is to be asked again.
    Back,
}

/// Numbers of one's own to be judged against, in the order they are asked.
pub(crate) fn own_criteria() -> impl Iterator<Item = &'static Field> {
    ["target_micron", "hold_min", "ceiling_micron", "source"]
        .into_iter()
        .filter_map(|key| field("criteria", key))
}

/// True for one of those.
pub(crate) fn is_own_criterion(field: &Field) -> bool {
    field.table == "criteria" && field.key != "name"
}

/// True where the question means something after the answers so far.
pub(crate) fn is_asked(field: &Field, document: &Document, own: bool) -> bool {
    // without a second gauge there is nothing to say of it
    let second = field.table == "pump_gauge" && field.key != "description";
    let has_second = || document.answered().any(|(f, _)| f.table == "pump_gauge");
    (!is_own_criterion(field) || own) && (!second || has_second())
}

/// True where a hold can be judged by these criteria.
fn are_sound(document: &Document) -> bool {
    let number = |key| -> Option<f64> {
        let answer = document.get(field("criteria", key)?);
        answer.and_then(|v| shown(v).parse().ok())
    };
    let target = number("target_micron").unwrap_or(500.0);
    number("ceiling_micron").is_none_or(|ceiling| ceiling >= target)
}

/// The question without what stands behind a comma or in brackets: what an answer is.
pub(crate) fn name_of(field: &Field) -> &'static str {
    let label = field.label.split([',', '(']).next();
    label.unwrap_or(field.label).trim()
}

/// Answers as lines, with what has to be said about them.
pub fn listed(document: &Document, today: NaiveDate) -> Vec<String> {
    let mut lines = Vec::new();
    for (field, value) in document.answered() {
        lines.push(format!("{}: {}", name_of(field), shown(value)));
        if field.kind == Kind::CalibrationDue {
            lines.extend(overdue(&shown(value), today));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use console::Typed;

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
        let mut dialogue = Dialogue::new(Questions::new(typed, &mut out, 80), today);
        let answered = dialogue.each_job(&mut document);
        let said = String::from_utf8(out).expect("UTF-8");
        (answered.map(|()| document), said)
    }

    /// Questions of a job behind its number.
    const BEHIND_THE_NUMBER: usize = 24;

    /// Answers up to own criteria.
    fn before_own() -> Vec<&'static str> {
        [&["1"][..], &[""; BEHIND_THE_NUMBER - 1], &["own"]].concat()
    }

    #[test]
    fn one_can_go_back_and_answer_again() {
        let answers = ["<", "4711", "WO-1", "<", "<", "4712", "", "CL-9", "<", "-"];
        let (document, said) = talk(&[&answers[..], &[""; BEHIND_THE_NUMBER]].concat());
        let document = document.expect("all was asked");
        let answer = |key| document.get(field("job", key).expect(key)).map(shown);
        assert_eq!(answer("id").as_deref(), Some("4712"));
        assert_eq!(
            answer("work_order").as_deref(),
            Some("WO-1"),
            "kept with Enter"
        );
        assert_eq!(answer("claim"), None);
        assert!(said.contains("This is the first question"), "{said}");
        assert!(said.contains("Work order [WO-1]: "), "{said}");
        // out of numbers of one's own back to a profile
        let answers = [&before_own()[..], &["300", "<", "<", "1"]].concat();
        let document = talk(&answers).0.expect("all was asked");
        assert!(!document.has_own_criteria());
        let name = field("criteria", "name").expect("a field");
        assert_eq!(document.get(name), Some(&Value::from("common practice")));
    }

    #[test]
    fn a_job_needs_its_number_only() {
        let (document, said) = talk(&[&["", "-", "4711"][..], &[""; BEHIND_THE_NUMBER]].concat());
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
        let all = [&before_own()[..], &["300", "20", "500"]].concat();
        for n in 0..all.len() {
            assert_eq!(talk(&all[..n]).0, Err(Left), "after {n}");
        }
    }

    #[test]
    fn own_criteria_are_asked_until_they_can_be_judged_against() {
        let before = before_own();
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
