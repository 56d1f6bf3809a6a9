//! TOML text to a checked dialect.

use toml::Spanned;
use vacuum::{Pressure, PressureUnit};

use crate::{
    find::{Field, Finding},
    number::{NumberStyle, Written},
    sample::printable,
};

use super::{
    channels::{Channels, channels},
    error::DialectError,
    exchange::{ask, registers},
    file::{FileShape, PortTable, ValueTable},
    meaning::{bounds, curve, exponent, fixed_unit, sequence, state_bits, states, units},
    place::{in_frames, in_lines, in_registers},
    plain::{Fault, LineAddress, bytes, factor, whole, word},
    port::{Clock, FlowControl, Parity, PortSettings},
    shape::{FrameRule, Framing, Inner, Shape, Terminator},
    sum::{check_kind, checksum},
    terms::{TemperatureStyle, TemperatureUnit, Terms},
    weight::{is_scale, only_a_gauge, weighs},
};

/// Characters of an error that are shown: a name in the file may be a whole page.
const LONGEST_PROBLEM: usize = 400;
const DEFAULT_MAX_BYTES: i64 = 256;
/// A longer frame is no reading, and looking for its beginning would be slow.
const LONGEST_FRAME: i64 = 256;

/// Reads and checks a dialect.
/// `barometer`: units may count from air of this pressure.
pub(super) fn parse(
    text: &str,
    origin: &str,
    barometer: Option<Pressure>,
) -> Result<Inner, DialectError> {
    let located = |fault: Fault| DialectError::Invalid {
        origin: origin.to_owned(),
        line: fault.span.and_then(|span| line_of(text, span.start)),
        // a text of the file may be quoted in it, line ends and all
        problem: printable(fault.problem.as_bytes(), LONGEST_PROBLEM),
        fix: fault.fix,
    };
    let file: FileShape = toml::from_str(text).map_err(|e| {
        located(Fault {
            // a missing table has no place of its own: an empty span at the start
            span: e
                .span()
                .filter(|span| !span.is_empty() || !e.message().starts_with("missing")),
            problem: e.message().replace('\n', " "),
            fix: "correct this line (the keys are listed in samples/dialects/README.md)".into(),
        })
    })?;
    build(&file, text, barometer).map_err(located)
}

/// Line number from 1 of a byte offset.
fn line_of(text: &str, offset: usize) -> Option<usize> {
    let before = text.get(..offset)?;
    Some(before.matches('\n').count() + 1)
}

/// What `speaks` says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Speaks {
    Lines,
    Frames,
    Modbus { tcp: bool },
}

const SPEAKS: [(&str, Speaks); 4] = [
    ("lines", Speaks::Lines),
    ("frames", Speaks::Frames),
    ("modbus-rtu", Speaks::Modbus { tcp: false }),
    ("modbus-tcp", Speaks::Modbus { tcp: true }),
];

fn build(file: &FileShape, text: &str, barometer: Option<Pressure>) -> Result<Inner, Fault> {
    if file.name.get_ref().trim().is_empty() {
        return Err(Fault::at(
            &file.name,
            "the name is empty",
            "give the dialect a name",
        ));
    }
    let speaks = word(file.speaks.as_ref(), Speaks::Lines, &SPEAKS, "speaks")?;
    only_its_own_table(file, speaks)?;
    let address = LineAddress::new(file.port.address.as_ref())?;
    let inner = Inner {
        name: file.name.get_ref().trim().to_owned(),
        description: file.description.trim().to_owned(),
        port: port(&file.port)?,
        shape: shape(file, (speaks, &address), barometer)?,
        source: text.to_owned(),
    };
    address.must_be_used()?;
    Ok(inner)
}

/// A table that `speaks` gives no meaning to is a mistake, not decoration.
fn only_its_own_table(file: &FileShape, speaks: Speaks) -> Result<(), Fault> {
    let modbus = matches!(speaks, Speaks::Modbus { .. });
    let stray = [
        (
            speaks != Speaks::Lines,
            file.line.as_ref().map(Spanned::span),
            "[line]",
        ),
        (
            speaks != Speaks::Frames,
            file.frame.as_ref().map(Spanned::span),
            "[frame]",
        ),
        (!modbus, file.modbus.as_ref().map(Spanned::span), "[modbus]"),
        (modbus, file.poll.as_ref().map(Spanned::span), "[poll]"),
        (
            modbus,
            file.checksum.as_ref().map(Spanned::span),
            "[checksum]",
        ),
        // an answer to a question is not a line of a count
        (
            modbus,
            file.sequence.as_ref().map(Spanned::span),
            "[sequence]",
        ),
    ];
    match stray
        .into_iter()
        .find(|(wrong, span, _)| *wrong && span.is_some())
    {
        Some((_, span, name)) => Err(Fault {
            span,
            problem: format!("{name} has no place in a dialect that speaks another way"),
            fix: "delete the table, or correct speaks = \"...\" at the top".into(),
        }),
        None => Ok(()),
    }
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
        flow_control: word(
            table.flow_control.as_ref(),
            FlowControl::None,
            &FlowControl::ALL.map(|f| (f.word(), f)),
            "flow_control",
        )?,
    })
}

type Cut = (Framing, Finding);

/// How the stream is cut and where the fields stand.
fn cut(file: &FileShape, speaks: Speaks, address: &LineAddress<'_>) -> Result<Cut, Fault> {
    match speaks {
        Speaks::Lines => lines(file, address),
        Speaks::Frames => frames(file, address),
        Speaks::Modbus { tcp } => {
            let fields = file.fields.as_ref().ok_or_else(|| {
                missing(file, "there is no [fields] table", "say which register holds the pressure: [fields] and value = { register = 0, as = \"f32\" }")
            })?;
            let (finding, first, count) = in_registers(fields)?;
            let rule = registers(file.modbus.as_ref(), tcp, (first, count), address)?;
            Ok((Framing::Registers(rule), finding))
        }
    }
}

/// Something the file lacks; `speaks` is where it is asked for.
fn missing(file: &FileShape, problem: &str, fix: &str) -> Fault {
    Fault {
        span: file.speaks.as_ref().map(Spanned::span),
        problem: problem.into(),
        fix: fix.into(),
    }
}

fn lines(file: &FileShape, address: &LineAddress<'_>) -> Result<Cut, Fault> {
    let line = file.line.as_ref().ok_or_else(|| {
        missing(
            file,
            "there is no [line] table",
            "add [line] with a pattern that has a (?<value>...) group",
        )
    })?;
    let finding = in_lines(line, file.fields.as_ref(), address)?;
    let table = line.get_ref();
    let framing = Framing::Lines {
        terminator: terminator(table.terminator.as_ref(), address)?,
        max_bytes: whole(
            table.max_bytes.as_ref(),
            DEFAULT_MAX_BYTES,
            4..=65_536,
            "max_bytes",
        )?,
    };
    Ok((framing, finding))
}

fn frames(file: &FileShape, address: &LineAddress<'_>) -> Result<Cut, Fault> {
    let (Some(frame), Some(fields)) = (&file.frame, &file.fields) else {
        return Err(missing(
            file,
            "frames need a [frame] and a [fields] table",
            "write sync and length under [frame], and value = { at = 3, as = \"u16\" } under [fields]",
        ));
    };
    let table = frame.get_ref();
    let length: usize = whole(Some(&table.length), 0, 2..=LONGEST_FRAME, "length")?;
    let rule = FrameRule {
        sync: bytes(&table.sync, address, "sync")?,
        end: match &table.end {
            Some(end) => bytes(end, address, "end")?,
            None => Vec::new(),
        },
        length,
    };
    let fixed = rule.sync.len() + rule.end.len();
    if fixed >= length {
        return Err(Fault::at(
            &table.length,
            format!("sync and end take {fixed} bytes, so a frame of {length} holds nothing"),
            "write the length of the whole frame, sync and checksum included",
        ));
    }
    if file.checksum.is_none() && fixed < 2 {
        return Err(Fault::at(
            &table.sync,
            "a single sync byte without a checksum occurs inside data too",
            "write a longer sync, an end, or a [checksum] if the gauge sends one",
        ));
    }
    let kind = check_kind(file.checksum.as_ref(), true)?;
    Ok((Framing::Frames(rule), in_frames(fields, length, kind)?))
}

/// Where `clock` and `seconds_per_count` are written: in the table that says
/// how the stream is cut.
type ClockKeys<'f> = (Option<&'f Spanned<String>>, Option<&'f Spanned<f64>>);

fn clock_keys(file: &FileShape) -> ClockKeys<'_> {
    if let Some(line) = &file.line {
        let table = line.get_ref();
        (table.clock.as_ref(), table.seconds_per_count.as_ref())
    } else if let Some(frame) = &file.frame {
        let table = frame.get_ref();
        (table.clock.as_ref(), table.seconds_per_count.as_ref())
    } else if let Some(modbus) = &file.modbus {
        let table = modbus.get_ref();
        (table.clock.as_ref(), table.seconds_per_count.as_ref())
    } else {
        (None, None)
    }
}

fn clock(field: Option<&Spanned<String>>, has_seconds: bool) -> Result<Clock, Fault> {
    let clock = word(
        field,
        Clock::Host,
        &[("host", Clock::Host), ("device", Clock::Device)],
        "clock",
    )?;
    match (clock, has_seconds, field) {
        (Clock::Device, false, Some(field)) => Err(Fault::at(
            field,
            "clock = \"device\" needs the gauge's own time",
            "name the field called seconds, or write clock = \"host\"",
        )),
        _ => Ok(clock),
    }
}

/// The key at which a missing unit or group is best pointed at.
fn pointer(file: &FileShape) -> Option<std::ops::Range<usize>> {
    let pattern = file
        .line
        .as_ref()
        .and_then(|l| l.get_ref().pattern.as_ref());
    pattern
        .map(Spanned::span)
        .or_else(|| file.fields.as_ref().map(Spanned::span))
}

fn shape(
    file: &FileShape,
    (speaks, address): (Speaks, &LineAddress<'_>),
    barometer: Option<Pressure>,
) -> Result<Shape, Fault> {
    let (framing, finding) = cut(file, speaks, address)?;
    let states = states(&file.states)?;
    let weighs = match is_scale(file)? {
        true => Some(weighs(file, &finding)?),
        false => {
            only_a_gauge(file, &finding, &states)?;
            None
        }
    };
    let (terms, units, channels) = match weighs {
        Some(_) => Default::default(),
        None => pressures(file, &finding, barometer)?,
    };
    let (clock_key, count_key) = clock_keys(file);
    Ok(Shape {
        ask: ask(file.poll.as_ref(), address)?,
        checksum: checksum(
            file.checksum.as_ref(),
            &framing,
            finding.has(Field::Checksum),
            pointer(file),
        )?,
        numbers: numbers(&file.value)?,
        scale: factor(
            file.value.scale.as_ref(),
            "scale",
            "write what one count is, such as 0.1",
        )?,
        exponent: exponent(&file.value, &finding)?,
        curve: curve(file.curve.as_ref())?,
        units,
        states,
        state_bits: state_bits(&file.state_bits, finding.has(Field::State))?,
        state_written: word(
            file.value.state_written.as_ref(),
            Written::Decimal,
            &Written::WORDS,
            "state_written",
        )?,
        terms,
        channels,
        weighs,
        sequence: sequence(file.sequence.as_ref(), &finding, pointer(file))?,
        clock: clock(clock_key, finding.has(Field::Seconds))?,
        seconds_per_count: factor(
            count_key,
            "seconds_per_count",
            "write 1.0 if the gauge counts seconds, 0.001 if it counts milliseconds",
        )?,
        temperature: temperature(&file.value)?,
        framing,
        finding,
    })
}

/// Terms, words for units, channels.
type Pressures = (Terms, Vec<(String, PressureUnit)>, Channels);

/// What the numbers of a gauge mean: fixed unit and bounds, listed units, channels.
fn pressures(
    file: &FileShape,
    finding: &Finding,
    barometer: Option<Pressure>,
) -> Result<Pressures, Fault> {
    let (over, under) = bounds(&file.bounds)?;
    let (fixed_unit, air) = fixed_unit(file.value.unit.as_ref(), barometer)?;
    let terms = Terms {
        fixed_unit,
        air,
        around: barometer,
        over,
        under,
    };
    let (channels, terms) = channels(file, finding.has(Field::Channel), terms, pointer(file))?;
    if !finding.has(Field::Unit) && !channels.have_a_unit(terms) {
        return Err(Fault {
            span: pointer(file),
            problem: "no unit: there is no unit field and no unit is fixed".into(),
            fix: "name the field (in a pattern (?<unit>...)), or write unit = \"micron\" under [value]".into(),
        });
    }
    Ok((terms, units(&file.units)?, channels))
}

fn temperature(table: &ValueTable) -> Result<TemperatureStyle, Fault> {
    Ok(TemperatureStyle {
        unit: word(
            table.temperature_unit.as_ref(),
            TemperatureUnit::Celsius,
            &[
                ("C", TemperatureUnit::Celsius),
                ("F", TemperatureUnit::Fahrenheit),
                ("K", TemperatureUnit::Kelvin),
            ],
            "temperature_unit",
        )?,
        scale: factor(
            table.temperature_scale.as_ref(),
            "temperature_scale",
            "write what one count is, such as 0.1",
        )?,
        written: word(
            table.temperature_written.as_ref(),
            Written::Decimal,
            &Written::WORDS,
            "temperature_written",
        )?,
    })
}

fn terminator(
    field: Option<&Spanned<String>>,
    address: &LineAddress<'_>,
) -> Result<Terminator, Fault> {
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
        Some(f) => Ok(Terminator::Exact(bytes(f, address, "terminator")?)),
    }
}

fn numbers(table: &ValueTable) -> Result<NumberStyle, Fault> {
    let written = word(
        table.written.as_ref(),
        Written::Decimal,
        &Written::WORDS,
        "written",
    )?;
    let decimal_comma = word(
        table.decimal.as_ref(),
        false,
        &[("point", false), ("comma", true)],
        "decimal",
    )?;
    let Some(field) = &table.thousands else {
        return Ok(NumberStyle {
            written,
            decimal_comma,
            thousands: None,
        });
    };
    let own = if decimal_comma { "," } else { "." };
    match field.get_ref().as_bytes() {
        [sign @ (b',' | b'.' | b' ' | b'\'')] if field.get_ref() != own => Ok(NumberStyle {
            written,
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
