//! Where the fields stand: pattern, delimiter, columns, bytes or registers.

use regex::bytes::{Regex, RegexBuilder};
use toml::{Spanned, Table, Value};

use crate::{
    checksum::{ChecksumKind, ChecksumText},
    find::{BinaryField, ColumnRule, Content, Field, Finding, NumberKind, PerField, SplitRule},
};

use super::{
    file::{FieldsTable, LineTable},
    plain::{Fault, LineAddress, bytes, whole},
};

type Fields = Spanned<FieldsTable>;

/// Names of fields for a person.
fn known_names() -> String {
    Field::ALL.map(Field::name).join(", ")
}

/// How the fields of a line are found.
pub(super) fn in_lines(
    line: &Spanned<LineTable>,
    fields: Option<&Fields>,
    address: &LineAddress<'_>,
) -> Result<Finding, Fault> {
    let table = line.get_ref();
    if let Some(pattern) = &table.pattern {
        nothing_beside_a_pattern(table, fields)?;
        return by_pattern(pattern, address);
    }
    let Some(fields) = fields else {
        return Err(Fault::at(
            line,
            "nothing says where in the line the pressure stands",
            "write a pattern with (?<value>...), or a [fields] table with value = ...",
        ));
    };
    let begins = match &table.begins {
        Some(field) => bytes(field, address, "begins")?,
        None => Vec::new(),
    };
    match (&table.delimiter, &table.line_bytes, &table.field_count) {
        (Some(_), Some(field), _) => Err(Fault::at(
            field,
            "line_bytes belongs to lines in columns, and this one has a delimiter",
            "write field_count instead",
        )),
        (None, _, Some(field)) => Err(Fault::at(
            field,
            "field_count needs a delimiter",
            "write delimiter = \",\" for instance",
        )),
        (Some(delimiter), None, count) => {
            let count = optional(count.as_ref(), 1..=256, "field_count")?;
            Ok(Finding::Split(SplitRule {
                begins,
                delimiter: match delimiter.get_ref().as_str() {
                    "blanks" => None,
                    _ => Some(bytes(delimiter, address, "delimiter")?),
                },
                count,
                at: places(fields, |_, place| index(place, count))?,
            }))
        }
        (None, length, None) => {
            let line_bytes = optional(length.as_ref(), 1..=65_536, "line_bytes")?;
            Ok(Finding::Columns(ColumnRule {
                begins,
                line_bytes,
                at: places(fields, |_, place| columns(place, line_bytes))?,
            }))
        }
    }
}

/// A pattern says everything about a line; what would say it again is a mistake.
fn nothing_beside_a_pattern(table: &LineTable, fields: Option<&Fields>) -> Result<(), Fault> {
    let others = [
        fields.map(|f| (f.span(), "[fields]")),
        table.delimiter.as_ref().map(|f| (f.span(), "delimiter")),
        table
            .field_count
            .as_ref()
            .map(|f| (f.span(), "field_count")),
        table.line_bytes.as_ref().map(|f| (f.span(), "line_bytes")),
        table.begins.as_ref().map(|f| (f.span(), "begins")),
    ];
    match others.into_iter().flatten().next() {
        Some((span, key)) => Err(Fault {
            span: Some(span),
            problem: format!("the line has a pattern, so {key} has no place"),
            fix: "keep the pattern, or delete it and count fields".into(),
        }),
        None => Ok(()),
    }
}

fn optional(
    field: Option<&Spanned<i64>>,
    range: std::ops::RangeInclusive<i64>,
    key: &str,
) -> Result<Option<usize>, Fault> {
    field
        .map(|f| whole(Some(f), 0, range.clone(), key))
        .transpose()
}

/// Reads the `[fields]` table; `value` must be among them.
fn places<T>(
    fields: &Fields,
    read: impl Fn(Field, &Spanned<Value>) -> Result<T, Fault>,
) -> Result<PerField<T>, Fault> {
    let mut out = PerField::default();
    for (name, place) in fields.get_ref() {
        let field = Field::from_name(name.get_ref()).ok_or_else(|| {
            Fault::at(
                name,
                format!("there is no field called \"{}\"", name.get_ref()),
                format!("use the names {}", known_names()),
            )
        })?;
        out.set(field, read(field, place)?);
    }
    if out.get(Field::Value).is_none() {
        return Err(Fault::at(
            fields,
            "[fields] has no value",
            "say where the pressure stands: value = ...",
        ));
    }
    Ok(out)
}

/// `value = 3`: the third field.
fn index(place: &Spanned<Value>, count: Option<usize>) -> Result<usize, Fault> {
    let last = count.unwrap_or(256) as i64;
    match place.get_ref() {
        Value::Integer(n) if (1..=last).contains(n) => Ok(*n as usize - 1),
        _ => Err(Fault::at(
            place,
            "this is not the number of a field",
            format!("fields between delimiters are counted from 1 to {last}: value = 2"),
        )),
    }
}

/// `value = [3, 10]`: bytes 3 to 10.
fn columns(place: &Spanned<Value>, line_bytes: Option<usize>) -> Result<(usize, usize), Fault> {
    let last = line_bytes.unwrap_or(65_536) as i64;
    if let Value::Array(pair) = place.get_ref()
        && let [Value::Integer(from), Value::Integer(to)] = pair.as_slice()
        && 1 <= *from
        && from <= to
        && *to <= last
    {
        return Ok((*from as usize - 1, (to - from + 1) as usize));
    }
    Err(Fault::at(
        place,
        "these are not the columns of a field",
        format!("write the first and the last byte, counted from 1 to {last}: value = [3, 10]"),
    ))
}

fn by_pattern(field: &Spanned<String>, address: &LineAddress<'_>) -> Result<Finding, Fault> {
    let text = address.fill(field, regex::escape)?;
    let pattern = compile(field, &text)?;
    let mut at = PerField::default();
    for (group, name) in pattern.capture_names().enumerate() {
        let Some(name) = name else { continue };
        let found = Field::from_name(name).ok_or_else(|| {
            Fault::at(
                field,
                format!("the pattern has a group called \"{name}\""),
                format!(
                    "use the names {}, or (?:...) for a group without a name",
                    known_names()
                ),
            )
        })?;
        at.set(found, group);
    }
    if at.get(Field::Value).is_none() {
        return Err(Fault::at(
            field,
            "the pattern has no (?<value>...) group",
            "put the part that matches the pressure into (?<value>...)",
        ));
    }
    Ok(Finding::Pattern(pattern, at))
}

fn compile(field: &Spanned<String>, text: &str) -> Result<Regex, Fault> {
    RegexBuilder::new(text)
        // gauges send bytes, not Unicode: \d is 0 to 9, and \xB5 is one byte
        .unicode(false)
        .size_limit(1 << 20)
        .build()
        .map_err(|e| {
            let text = e.to_string();
            let reason = text
                .lines()
                .last()
                .unwrap_or_default()
                .trim_start_matches("error: ");
            Fault::at(
                field,
                format!("the pattern is not a valid regular expression: {reason}"),
                "correct the pattern (write it between ''' marks so that \\ needs no doubling)",
            )
        })
}

/// The fields of a binary frame of `length` bytes.
pub(super) fn in_frames(
    fields: &Fields,
    length: usize,
    check: Option<(ChecksumKind, ChecksumText)>,
) -> Result<Finding, Fault> {
    let at = places(fields, |field, place| {
        let example = "write the place of its first byte, counted from 1: { at = 3, as = \"u16\" }";
        let table = keys(place, &["at", "as", "order", "bytes"], example)?;
        let start = number(place, table, "at", 1..=length as i64, example)?;
        let content = match (field, table.get("bytes"), check) {
            (Field::Checksum, None, Some((kind, ChecksumText::Binary))) => {
                Content::Text(kind.width_bytes())
            }
            (_, Some(_), _) => {
                let wide = number(place, table, "bytes", 1..=length as i64, example)?;
                Content::Text(wide as usize)
            }
            _ => content(place, table, "u8", 1)?,
        };
        let start = start as usize - 1;
        if start + content.width() > length {
            return Err(Fault::at(
                place,
                format!(
                    "the field {} ends behind the frame of {length} bytes",
                    field.name()
                ),
                "correct its place, or the length of the frame",
            ));
        }
        Ok(BinaryField { start, content })
    })?;
    Ok(Finding::Binary(Box::new(at)))
}

/// The fields of a block of Modbus registers: where they stand in the block,
/// the first register, and how many are read.
pub(super) fn in_registers(fields: &Fields) -> Result<(Finding, u16, u16), Fault> {
    let example =
        "write its register as on the wire, counted from 0: { register = 100, as = \"f32\" }";
    let at = places(fields, |_, place| {
        let table = keys(place, &["register", "as", "order"], example)?;
        let register = number(place, table, "register", 0..=65_535, example)?;
        Ok((register as usize, content(place, table, "u16", 2)?))
    })?;
    let ends = |(register, content): &(usize, Content)| register + content.width() / 2;
    let first = at.iter().map(|(_, p)| p.0).min().unwrap_or(0);
    let behind = at.iter().map(|(_, p)| ends(p)).max().unwrap_or(0);
    if behind - first > 125 || behind > 65_536 {
        return Err(Fault::at(
            fields,
            "the registers lie too far apart to be read at once (125 at most)",
            "leave out the field that lies far off",
        ));
    }
    let mut block = PerField::default();
    for (field, (register, content)) in at.iter() {
        block.set(
            field,
            BinaryField {
                start: 2 * (register - first),
                content: content.clone(),
            },
        );
    }
    Ok((
        Finding::Binary(Box::new(block)),
        first as u16,
        (behind - first) as u16,
    ))
}

/// A table with no keys but these.
fn keys<'v>(place: &'v Spanned<Value>, known: &[&str], example: &str) -> Result<&'v Table, Fault> {
    let Value::Table(table) = place.get_ref() else {
        return Err(Fault::at(
            place,
            "this is not the place of a field",
            example,
        ));
    };
    match table.keys().find(|key| !known.contains(&key.as_str())) {
        Some(other) => Err(Fault::at(
            place,
            format!("\"{other}\" says nothing about a field here"),
            format!("use {}", known.join(", ")),
        )),
        None => Ok(table),
    }
}

fn number(
    place: &Spanned<Value>,
    table: &Table,
    key: &str,
    range: std::ops::RangeInclusive<i64>,
    example: &str,
) -> Result<i64, Fault> {
    match table.get(key) {
        Some(Value::Integer(n)) if range.contains(n) => Ok(*n),
        Some(other) => Err(Fault::at(
            place,
            format!("{key} = {other} is out of range"),
            format!(
                "write a whole number from {} to {}",
                range.start(),
                range.end()
            ),
        )),
        None => Err(Fault::at(place, format!("{key} is missing"), example)),
    }
}

/// `as` and `order`; `unit_bytes` is the smallest piece, 2 for registers.
fn content(
    place: &Spanned<Value>,
    table: &Table,
    default: &str,
    unit_bytes: usize,
) -> Result<Content, Fault> {
    let text = |key| match table.get(key) {
        None => Ok(None),
        Some(Value::String(text)) => Ok(Some(text.as_str())),
        Some(_) => Err(Fault::at(
            place,
            format!("{key} is not a text"),
            format!("write {key} between \" marks"),
        )),
    };
    let word = text("as")?.unwrap_or(default);
    let fits = |kind: NumberKind| kind.width().is_multiple_of(unit_bytes);
    let kind = NumberKind::WORDS
        .into_iter()
        .find(|(known, kind)| *known == word && fits(*kind));
    let Some((_, kind)) = kind else {
        let known: Vec<String> = NumberKind::WORDS
            .into_iter()
            .filter(|(_, kind)| fits(*kind))
            .map(|(known, _)| format!("\"{known}\""))
            .collect();
        return Err(Fault::at(
            place,
            format!("as = \"{word}\" is not a kind of number here"),
            format!("write one of {}", known.join(", ")),
        ));
    };
    let natural: String = ('a'..='d').take(kind.width()).collect();
    let order = text("order")?.unwrap_or(&natural);
    let mut sorted: Vec<char> = order.chars().collect();
    sorted.sort_unstable();
    if !sorted.iter().copied().eq(natural.chars()) {
        return Err(Fault::at(
            place,
            format!("order = \"{order}\" does not order {} bytes", kind.width()),
            format!(
                "write the letters {natural} in the order the bytes are sent, a for the most significant"
            ),
        ));
    }
    Ok(Content::Number(
        kind,
        order.bytes().map(|b| b - b'a').collect(),
    ))
}
