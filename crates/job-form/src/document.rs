//! What a job file holds, as tables of answers, and how it is written.

use toml::{Table, Value};

use crate::fields::{Asked, FIELDS, Field, TABLES, TEMPLATE_HEAD};

/// Column the remarks begin in.
const REMARKS_AT: usize = 32;

/// Answers by table and key.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Document(Table);

impl Document {
    /// Takes over what a file holds.
    pub fn of(table: Table) -> Self {
        Self(table)
    }

    /// The answer, if there is one.
    pub(crate) fn get(&self, field: &Field) -> Option<&Value> {
        self.0.get(field.table)?.get(field.key)
    }

    /// Sets an answer, or clears it.
    pub(crate) fn set(&mut self, field: &Field, value: Option<Value>) {
        let empty = || Value::Table(Table::new());
        let table = self.0.entry(field.table).or_insert_with(empty);
        if let Value::Table(table) = table {
            match value {
                Some(value) => table.insert(field.key.into(), value),
                None => table.remove(field.key),
            };
        }
    }

    /// Fields that hold an answer, in the order of the file.
    pub(crate) fn answered(&self) -> impl Iterator<Item = (&'static Field, &Value)> {
        FIELDS.iter().filter_map(|f| Some((f, self.get(f)?)))
    }

    /// The part that is the shop's.
    pub fn shop(&self) -> Self {
        let mut shop = Self::default();
        for (field, value) in self.answered().filter(|(f, _)| f.asked == Asked::Once) {
            shop.set(field, Some(value.clone()));
        }
        shop
    }

    /// This one with the answers of the shop. The gauge at the pump is left to memory: it
    /// takes part only when it is read.
    #[must_use]
    pub fn with_shop(&self, shop: &Self) -> Self {
        let mut all = self.clone();
        for (field, value) in shop.answered().filter(|(f, _)| f.table != "pump_gauge") {
            all.set(field, Some(value.clone()));
        }
        all
    }

    /// The file, with a remark behind what wants one.
    pub fn to_toml(&self) -> String {
        let mut text = String::new();
        for (table, _) in TABLES {
            let mut rows = self.answered().filter(|(f, _)| f.table == table).peekable();
            if rows.peek().is_some() {
                if !text.is_empty() {
                    text.push('\n');
                }
                text += &format!("[{table}]\n");
            }
            for (field, value) in rows {
                text += &row(field, &value.to_string(), false);
            }
        }
        text
    }
}

/// The template: every field, explained, with invented values.
pub fn template() -> String {
    let mut text = TEMPLATE_HEAD.to_owned();
    for (table, above) in TABLES {
        text.push('\n');
        text.extend(above.lines().map(|line| format!("# {line}\n")));
        text += &format!("[{table}]\n");
        for field in FIELDS.iter().filter(|f| f.table == table) {
            match field.sample.strip_prefix("# ") {
                Some(sample) => text += &row(field, sample, true),
                None => text += &row(field, field.sample, false),
            }
        }
    }
    text
}

fn row(field: &Field, value: &str, left_out: bool) -> String {
    let sign = if left_out { "# " } else { "" };
    let row = format!("{sign}{} = {value}", field.key);
    if field.remark.is_empty() {
        return row + "\n";
    }
    let gap = REMARKS_AT.saturating_sub(row.chars().count()).max(2);
    format!("{row}{:gap$}# {}\n", "", field.remark)
}

/// An answer as a person would type it.
pub fn shown(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Boolean(true) => "yes".into(),
        Value::Boolean(false) => "no".into(),
        Value::Array(all) => all.iter().map(shown).collect::<Vec<_>>().join(" "),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use run_record::JobFile;

    use super::*;

    #[test]
    fn the_template_is_the_sample_and_is_read_whole() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/job.toml");
        let sample = std::fs::read_to_string(&path).expect("the sample");
        assert_eq!(template(), sample, "dryhold job template samples/job.toml");
        let file = JobFile::from_bytes(&path, sample.as_bytes()).expect("it is read");
        assert_eq!(file.unknown_keys, Vec::<String>::new());
        assert!(file.job.invented && file.zone_is_local);
    }

    /// Also what the template leaves out is a key that means something.
    #[test]
    fn every_field_means_something() {
        let all = template().replace("\n# source", "\nsource");
        let all = all
            .replace("\n# target", "\ntarget")
            .replace("\n# hold", "\nhold");
        let all = all
            .replace("\n# ceiling", "\nceiling")
            .replace("\n# logo", "\nlogo");
        let file = JobFile::from_bytes(Path::new("job.toml"), all.as_bytes()).expect("it is read");
        assert_eq!(file.unknown_keys, Vec::<String>::new());
        assert_eq!(file.job.sheet.logo.as_deref(), Some("logo.svg"));
        let source = file.criteria.map(|c| c.source);
        assert_eq!(source.as_deref(), Some("maker's service sheet"));
        for field in FIELDS.iter().filter(|f| f.asked != Asked::Never) {
            assert!(
                field.why.len() > 20 && !field.label.is_empty(),
                "{}",
                field.key
            );
        }
    }

    #[test]
    fn hostile_answers_come_back_as_they_were_typed() {
        let field = FIELDS.iter().find(|f| f.key == "serial").expect("a field");
        for typed in [
            "a\"b",
            "''' \"\"\"",
            "\\",
            "]\n[job",
            "# x",
            "O0I1l",
            "ß\u{202e}x",
            "=",
        ] {
            let mut document = Document::default();
            document.set(field, Some(Value::String(typed.into())));
            let text = document.to_toml();
            let back = JobFile::from_bytes(Path::new("job.toml"), text.as_bytes()).expect(&text);
            assert_eq!(back.job.serial.as_deref(), Some(typed), "{text}");
        }
    }
}
