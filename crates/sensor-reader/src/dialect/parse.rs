//! TOML text to a checked dialect.

use std::ops::Range;

use regex::bytes::{Regex, RegexBuilder};
use toml::Spanned;

use crate::number::NumberStyle;

use super::{
    Clock, DialectError, Inner, Parity, PortSettings, Speech,
    file::{FileShape, PortTable, ValueTable},
    meaning::{absolute_unit, bounds, checksum, seconds_per_count, states, units},
    shape::{Groups, LineShape, TemperatureUnit, Terminator},
};

const DEFAULT_MAX_BYTES: i64 = 256;
const GROUP_NAMES: [&str; 6] = [
    "value",
    "unit",
    "temperature",
    "state",
    "checksum",
    "seconds",
];

/// What is wrong, where in the text, and what to do.
pub(super) struct Fault {
    span: Option<Range<usize>>,
    problem: String,
    fix: String,
}

impl Fault {
    pub(super) fn at<T>(
        field: &Spanned<T>,
        problem: impl Into<String>,
        fix: impl Into<String>,
    ) -> Self {
        Self {
            span: Some(field.span()),
            problem: problem.into(),
            fix: fix.into(),
        }
    }
}

/// Reads and checks a dialect.
pub(super) fn parse(text: &str, origin: &str) -> Result<Inner, DialectError> {
    let located = |fault: Fault| DialectError::Invalid {
        origin: origin.to_owned(),
        line: fault.span.and_then(|span| line_of(text, span.start)),
        problem: fault.problem,
        fix: fault.fix,
    };
    let file: FileShape = toml::from_str(text).map_err(|e| {
        located(Fault {
            // a missing table has no place of its own: an empty span
            span: e.span().filter(|span| !span.is_empty()),
            problem: e.message().replace('\n', " "),
            fix: "correct this line (the keys are listed in samples/dialects/README.md)".into(),
        })
    })?;
    build(file, text).map_err(located)
}

/// Line number from 1 of a byte offset.
fn line_of(text: &str, offset: usize) -> Option<usize> {
    let before = text.get(..offset)?;
    Some(before.matches('\n').count() + 1)
}

fn build(file: FileShape, text: &str) -> Result<Inner, Fault> {
    if file.name.get_ref().trim().is_empty() {
        return Err(Fault::at(
            &file.name,
            "the name is empty",
            "give the dialect a name",
        ));
    }
    if let Some(speaks) = &file.speaks
        && speaks.get_ref() != "lines"
    {
        return Err(Fault::at(
            speaks,
            format!(
                "speaks = \"{}\" is not known to this version",
                speaks.get_ref()
            ),
            "only \"lines\" (text lines sent without being asked) is read so far",
        ));
    }
    let port = port(&file.port)?;
    let name = file.name.get_ref().trim().to_owned();
    let description = file.description.trim().to_owned();
    Ok(Inner {
        name,
        description,
        port,
        speech: Speech::Lines(lines(&file)?),
        source: text.to_owned(),
    })
}

fn port(table: &PortTable) -> Result<PortSettings, Fault> {
    let default = PortSettings::default();
    Ok(PortSettings {
        baud: whole(
            table.baud.as_ref(),
            default.baud.into(),
            1..=4_000_000,
            "baud",
        )?,
        data_bits: whole(
            table.data_bits.as_ref(),
            default.data_bits.into(),
            5..=8,
            "data_bits",
        )?,
        stop_bits: whole(
            table.stop_bits.as_ref(),
            default.stop_bits.into(),
            1..=2,
            "stop_bits",
        )?,
        parity: word(
            table.parity.as_ref(),
            Parity::None,
            &[
                ("none", Parity::None),
                ("even", Parity::Even),
                ("odd", Parity::Odd),
            ],
            "parity",
        )?,
    })
}

/// A whole number within a range.
fn whole<T: TryFrom<i64>>(
    field: Option<&Spanned<i64>>,
    default: i64,
    range: std::ops::RangeInclusive<i64>,
    key: &str,
) -> Result<T, Fault> {
    let value = field.map_or(default, |f| *f.get_ref());
    let fault = || Fault {
        span: field.map(Spanned::span),
        problem: format!("{key} = {value} is out of range"),
        fix: format!(
            "write a whole number from {} to {}",
            range.start(),
            range.end()
        ),
    };
    if !range.contains(&value) {
        return Err(fault());
    }
    T::try_from(value).map_err(|_| fault())
}

/// One word out of a list.
pub(super) fn word<T: Copy>(
    field: Option<&Spanned<String>>,
    default: T,
    choices: &[(&str, T)],
    key: &str,
) -> Result<T, Fault> {
    let Some(field) = field else {
        return Ok(default);
    };
    choices
        .iter()
        .find(|(name, _)| name == field.get_ref())
        .map(|(_, value)| *value)
        .ok_or_else(|| {
            let names: Vec<String> = choices.iter().map(|(n, _)| format!("\"{n}\"")).collect();
            Fault::at(
                field,
                format!("{key} = \"{}\" is not known", field.get_ref()),
                format!("write one of {}", names.join(", ")),
            )
        })
}

fn lines(file: &FileShape) -> Result<LineShape, Fault> {
    let line = &file.line;
    let pattern = compile(&line.pattern)?;
    let groups = groups(&pattern, &line.pattern)?;
    let fixed_unit = file.value.unit.as_ref().map(absolute_unit).transpose()?;
    if fixed_unit.is_none() && groups.unit.is_none() {
        return Err(Fault::at(
            &line.pattern,
            "no unit: the pattern has no (?<unit>...) group and no unit is fixed",
            "add the group, or write unit = \"micron\" under [value]",
        ));
    }
    let clock = word(
        line.clock.as_ref(),
        Clock::Host,
        &[("host", Clock::Host), ("device", Clock::Device)],
        "clock",
    )?;
    if let (Clock::Device, None, Some(field)) = (clock, groups.seconds, &line.clock) {
        return Err(Fault::at(
            field,
            "clock = \"device\" needs the gauge's own time",
            "add a (?<seconds>...) group to the pattern, or write clock = \"host\"",
        ));
    }
    let (over, under) = bounds(&file.bounds)?;
    Ok(LineShape {
        terminator: terminator(line.terminator.as_ref())?,
        max_bytes: whole(
            line.max_bytes.as_ref(),
            DEFAULT_MAX_BYTES,
            4..=65_536,
            "max_bytes",
        )?,
        numbers: numbers(&file.value)?,
        fixed_unit,
        units: units(&file.units)?,
        states: states(&file.states)?,
        over,
        under,
        checksum: checksum(file.checksum.as_ref(), &groups, &line.pattern)?,
        clock,
        seconds_per_count: seconds_per_count(line.seconds_per_count.as_ref())?,
        temperature_unit: word(
            file.value.temperature_unit.as_ref(),
            TemperatureUnit::Celsius,
            &[
                ("C", TemperatureUnit::Celsius),
                ("F", TemperatureUnit::Fahrenheit),
                ("K", TemperatureUnit::Kelvin),
            ],
            "temperature_unit",
        )?,
        pattern,
        groups,
    })
}

fn compile(field: &Spanned<String>) -> Result<Regex, Fault> {
    RegexBuilder::new(field.get_ref())
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

fn groups(pattern: &Regex, field: &Spanned<String>) -> Result<Groups, Fault> {
    let index = |wanted: &str| pattern.capture_names().position(|n| n == Some(wanted));
    if let Some(other) = pattern
        .capture_names()
        .flatten()
        .find(|n| !GROUP_NAMES.contains(n))
    {
        return Err(Fault::at(
            field,
            format!("the pattern has a group called \"{other}\""),
            format!(
                "use the names {}, or (?:...) for a group without a name",
                GROUP_NAMES.join(", ")
            ),
        ));
    }
    Ok(Groups {
        value: index("value").ok_or_else(|| {
            Fault::at(
                field,
                "the pattern has no (?<value>...) group",
                "put the part that matches the pressure into (?<value>...)",
            )
        })?,
        unit: index("unit"),
        temperature: index("temperature"),
        state: index("state"),
        checksum: index("checksum"),
        seconds: index("seconds"),
    })
}

fn terminator(field: Option<&Spanned<String>>) -> Result<Terminator, Fault> {
    match field {
        None => Ok(Terminator::Any),
        Some(f) if f.get_ref() == "any" => Ok(Terminator::Any),
        Some(f) if f.get_ref() == "cr" => Ok(Terminator::Exact(b"\r".to_vec())),
        Some(f) if f.get_ref() == "lf" => Ok(Terminator::Exact(b"\n".to_vec())),
        Some(f) if f.get_ref() == "crlf" => Ok(Terminator::Exact(b"\r\n".to_vec())),
        Some(f) if f.get_ref().is_empty() => Err(Fault::at(
            f,
            "the terminator is empty",
            "write \"any\" for CR and LF in any mix, or \"cr\", \"lf\", \"crlf\", or the exact bytes",
        )),
        Some(f) => Ok(Terminator::Exact(f.get_ref().clone().into_bytes())),
    }
}

fn numbers(table: &ValueTable) -> Result<NumberStyle, Fault> {
    let decimal_comma = word(
        table.decimal.as_ref(),
        false,
        &[("point", false), ("comma", true)],
        "decimal",
    )?;
    let Some(field) = &table.thousands else {
        return Ok(NumberStyle {
            decimal_comma,
            thousands: None,
        });
    };
    let own = if decimal_comma { "," } else { "." };
    match field.get_ref().as_bytes() {
        [sign @ (b',' | b'.' | b' ' | b'\'')] if field.get_ref() != own => Ok(NumberStyle {
            decimal_comma,
            thousands: Some(*sign),
        }),
        _ => Err(Fault::at(
            field,
            format!(
                "thousands = \"{}\" cannot stand between thousands here",
                field.get_ref()
            ),
            "write \",\", \".\", \" \" or \"'\", and not the sign used for decimals",
        )),
    }
}
