//! What a job file holds, as tables of answers, and how it is written.

use std::path::Path;

use plain_file::Links;
use run_record::{JobFile, RecordError};
use toml::{Table, Value};
use vacuum::{Job, Refrigerant, mass};

use crate::{
    fields::{Asked, FIELDS, Field, TABLES, TEMPLATE_HEAD, field},
    system::System,
};

/// A job file is far smaller.
const MOST_BYTES: u64 = 1 << 20;
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

    /// The answers of a job file, to be gone through again; `job` is what was read from it.
    /// What it gives in another form than the questions do is put into theirs.
    fn of_file(mut table: Table, job: &Job) -> Self {
        let Some(Value::Table(keys)) = table.get_mut("job") else {
            return Self(table);
        };
        for (key, in_g, grams) in [
            ("charge", "charge_g", job.charge_g),
            ("recovered", "recovered_g", job.recovered_g),
            ("charged", "charged_g", job.charged_g),
        ] {
            if keys.remove(in_g).is_some()
                && let Some(grams) = grams
            {
                keys.insert(key.into(), format!("{grams} g").into());
            }
        }
        for (key, with_unit, celsius) in [
            ("ambient_c", "ambient", job.ambient_c),
            ("coldest_part_c", "coldest_part", job.coldest_part_c),
        ] {
            keys.remove(with_unit);
            if let Some(celsius) = celsius {
                keys.insert(key.into(), plain_number(celsius));
            }
        }
        Self(table)
    }

    /// The system, as far as it was answered.
    pub(crate) fn system(&self) -> System {
        let answer = |key| self.get(field("job", key)?);
        let text = |key| answer(key).map(shown);
        let refrigerant = text("refrigerant").and_then(|typed| Refrigerant::named(&typed));
        System {
            charge_g: text("charge").and_then(|typed| mass::charge_g(&typed).ok()),
            volume_l: text("volume_l").and_then(|typed| typed.parse().ok()),
            highly_flammable: refrigerant.is_some_and(|r| r.safety_group.ends_with('3')),
        }
    }

    /// True where it has criteria in numbers of its own.
    pub(crate) fn has_own_criteria(&self) -> bool {
        let numbers = ["target_micron", "hold_min", "ceiling_micron"];
        numbers
            .iter()
            .any(|key| field("criteria", key).is_some_and(|f| self.get(f).is_some()))
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

    /// This one with the answers of the shop as they are now, cleared ones too.
    #[must_use]
    pub fn with_edited_shop(&self, shop: &Self) -> Self {
        let mut all = self.clone();
        for field in FIELDS.iter().filter(|f| f.asked == Asked::Once) {
            all.set(field, shop.get(field).cloned());
        }
        all
    }

    /// The file, with a remark behind what wants one.
    pub fn to_toml(&self) -> String {
        let mut text = String::new();
        for (table, _) in TABLES {
            let mut rows = self.answered().filter(|(f, _)| f.table == table).peekable();
            let unknown = self.unknown_keys(table);
            if rows.peek().is_some() || !unknown.is_empty() {
                if !text.is_empty() {
                    text.push('\n');
                }
                text += &format!("[{table}]\n");
            }
            for (field, value) in rows {
                text += &row(field, &value.to_string(), false);
            }
            text += &unknown;
        }
        text
    }

    /// Keys of a table that no field has, as they were: a later version may know them.
    fn unknown_keys(&self, table: &str) -> String {
        let keys = self.0.get(table).and_then(Value::as_table);
        let unknown = keys.into_iter().flatten();
        let unknown = unknown.filter(|(key, _)| field(table, key).is_none());
        unknown
            .map(|(key, value)| {
                let key = toml::Value::from(key.as_str()).to_string();
                format!("{key} = {value}\n")
            })
            .collect()
    }
}

/// A number as a person writes it: 300, not 300.0.
pub(crate) fn plain_number(number: f64) -> Value {
    let whole = number as i64;
    if whole as f64 == number {
        Value::Integer(whole)
    } else {
        Value::Float(number)
    }
}

/// Reads the answers of a job file, to be gone through again.
///
/// # Errors
/// As [`JobFile::read`]; when it cannot be read.
pub fn to_edit(file: &Path) -> Result<Document, RecordError> {
    let job = JobFile::read(file)?.job;
    let text = plain_file::read_text(file, MOST_BYTES, Links::Follow);
    // it was read a moment ago
    let table = text.ok().and_then(|text| text.parse::<Table>().ok());
    Ok(Document::of_file(table.unwrap_or_default(), &job))
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
            .replace("\n# photo", "\nphoto")
            .replace("\n# logo", "\nlogo");
        let file = JobFile::from_bytes(Path::new("job.toml"), all.as_bytes()).expect("it is read");
        assert_eq!(file.unknown_keys, Vec::<String>::new());
        assert_eq!(file.job.sheet.logo.as_deref(), Some("logo.svg"));
        assert_eq!(file.job.photo.as_deref(), Some("photo.jpg"));
        assert_eq!(file.job.recovered_g, Some(41.0));
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
    fn a_file_that_is_edited_keeps_what_it_says() {
        let text = "[job]\nid = \"1\"\ncharge_g = 58.5\nambient = \"70 F\"\ncoldest_part_c = 19\n\
                    later = \"kept\"\ninvented = true\n[criteria]\ntarget_micron = 300\n";
        let path = Path::new("job.toml");
        let before = JobFile::from_bytes(path, text.as_bytes()).expect("it is read");
        let table = text.parse::<Table>().expect("TOML");
        let document = Document::of_file(table, &before.job);
        let charge = document.get(field("job", "charge").expect("a field"));
        assert_eq!(charge, Some(&Value::from("58.5 g")));
        assert!(document.has_own_criteria());
        let after = document.to_toml();
        let read = JobFile::from_bytes(path, after.as_bytes()).expect(&after);
        assert_eq!((&read.job, read.criteria), (&before.job, before.criteria));
        assert_eq!(read.unknown_keys, before.unknown_keys);
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
