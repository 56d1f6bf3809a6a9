//! Units, words, bounds and curves of a dialect file: from text to meaning.

use std::collections::BTreeMap;

use toml::Spanned;
use vacuum::{Pressure, PressureUnit, UnitWord};

use crate::{
    curve::{Curve, Law},
    find::{Field, Finding},
    number::Written,
    sequence::SequenceRule,
    state::State,
};

use super::{
    file::{BoundsTable, CurveTable, SequenceTable, StateBitsTable, ValueTable},
    plain::{Fault, whole, word},
    terms::{ExponentStyle, StateBits},
};

/// A unit written in the dialect: absolute, and said to be so where the word
/// alone leaves it open.
pub(super) fn absolute_unit(field: &Spanned<String>) -> Result<PressureUnit, Fault> {
    let text = field.get_ref();
    let word = UnitWord::read(text);
    word.absolute().ok_or_else(|| {
        let problem = word.problem(text).unwrap_or_default();
        Fault::at(
            field,
            problem,
            word.remedy().map_or_else(String::new, |r| r.to_string()),
        )
    })
}

/// The unit that the dialect fixes, and the pressure of the air it counts from, where it
/// counts from `barometer`.
pub(super) fn fixed_unit(
    field: Option<&Spanned<String>>,
    barometer: Option<Pressure>,
) -> Result<(Option<PressureUnit>, Option<Pressure>), Fault> {
    let Some(field) = field else {
        return Ok((None, None));
    };
    match (UnitWord::read(field.get_ref()), barometer) {
        (UnitWord::Relative(Some(unit)), Some(air)) => Ok((Some(unit), Some(air))),
        _ => Ok((Some(absolute_unit(field)?), None)),
    }
}

pub(super) fn units(
    table: &BTreeMap<String, Spanned<String>>,
) -> Result<Vec<(String, PressureUnit)>, Fault> {
    table
        .iter()
        .map(|(code, unit)| Ok((code.trim().to_owned(), absolute_unit(unit)?)))
        .collect()
}

pub(super) fn states(
    table: &BTreeMap<Spanned<String>, Spanned<String>>,
) -> Result<Vec<(String, State)>, Fault> {
    let mut out: Vec<(String, State)> = Vec::new();
    for (key, meaning) in table {
        let text = key.get_ref().trim();
        if out.iter().any(|(seen, _)| seen.eq_ignore_ascii_case(text)) {
            return Err(Fault::at(
                key,
                format!("the state word \"{text}\" is listed twice (case does not matter)"),
                "keep one of the two",
            ));
        }
        let state = word(Some(meaning), State::Fault, &State::WORDS, text)?;
        out.push((text.to_owned(), state));
    }
    Ok(out)
}

pub(super) fn bounds(table: &BoundsTable) -> Result<(Option<Pressure>, Option<Pressure>), Fault> {
    let over = table.over.as_ref().map(bound).transpose()?;
    let under = table.under.as_ref().map(bound).transpose()?;
    if let (Some(high), Some(low), Some(field)) = (over, under, &table.over)
        && high <= low
    {
        return Err(Fault::at(
            field,
            "the over-range bound is not above the under-range bound",
            "exchange the two",
        ));
    }
    Ok((over, under))
}

fn bound(field: &Spanned<String>) -> Result<Pressure, Fault> {
    field.get_ref().parse().map_err(|e: vacuum::PressureError| {
        Fault::at(
            field,
            e.to_string(),
            "write a number and a unit, such as \"25000 micron\"",
        )
    })
}

pub(super) fn state_bits(
    tables: &[Spanned<StateBitsTable>],
    has_state: bool,
) -> Result<Vec<StateBits>, Fault> {
    if let (Some(first), false) = (tables.first(), has_state) {
        return Err(Fault::at(
            first,
            "there are [[state_bits]] but no state field",
            "name the field that carries the bits",
        ));
    }
    tables
        .iter()
        .map(|spanned| {
            let table = spanned.get_ref();
            let last = i64::from(u32::MAX);
            let mask: u32 = whole(Some(&table.mask), 0, 1..=last, "mask")?;
            let equals = table
                .equals
                .as_ref()
                .map(|f| whole::<u32>(Some(f), 0, 0..=last, "equals"))
                .transpose()?;
            if let (Some(bits), Some(field)) = (equals, &table.equals)
                && bits & !mask != 0
            {
                return Err(Fault::at(
                    field,
                    format!("equals = {bits:#x} has bits outside of the mask {mask:#x}"),
                    "widen the mask; as it is this never fits",
                ));
            }
            Ok(StateBits {
                mask,
                equals,
                means: word(Some(&table.means), State::Fault, &State::WORDS, "means")?,
            })
        })
        .collect()
}

pub(super) fn exponent(table: &ValueTable, finding: &Finding) -> Result<ExponentStyle, Fault> {
    let keys = [
        table.exponent_offset.as_ref().map(Spanned::span),
        table.exponent_signs.as_ref().map(Spanned::span),
    ];
    let needed = [Field::Exponent, Field::ExponentSign];
    for (key, field) in keys.into_iter().zip(needed) {
        if key.is_some() && !finding.has(field) {
            return Err(Fault {
                span: key,
                problem: format!("there is no field called {}", field.name()),
                fix: "name that field, or delete this line".into(),
            });
        }
    }
    let (minus, plus) = match &table.exponent_signs {
        None => ("-".to_owned(), "+".to_owned()),
        Some(field) => match field.get_ref().as_slice() {
            [minus, plus] if minus != plus => (minus.trim().into(), plus.trim().into()),
            _ => {
                return Err(Fault::at(
                    field,
                    "these are not two different signs",
                    "write what the gauge sends for minus and for plus: [\"0\", \"1\"]",
                ));
            }
        },
    };
    Ok(ExponentStyle {
        offset: whole(
            table.exponent_offset.as_ref(),
            0,
            -128..=128,
            "exponent_offset",
        )?,
        minus,
        plus,
    })
}

pub(super) fn curve(table: Option<&Spanned<CurveTable>>) -> Result<Option<Curve>, Fault> {
    let Some(spanned) = table else {
        return Ok(None);
    };
    let table = spanned.get_ref();
    let signal = table.signal.as_ref().map(signal).transpose()?;
    let is_table = word(
        Some(&table.kind),
        false,
        &[("log-linear", false), ("table", true)],
        "kind",
    )?;
    let law = if is_table {
        points(spanned)?
    } else {
        log_linear(spanned)?
    };
    if signal.is_none() && !is_table {
        return Err(Fault::at(
            spanned,
            "without a signal range a wire that fell off reads as a deep vacuum",
            "write the lowest and highest signal the gauge gives: signal = [0.5, 9.8]",
        ));
    }
    Ok(Some(Curve { signal, law }))
}

fn signal(field: &Spanned<Vec<f64>>) -> Result<(f64, f64), Fault> {
    match field.get_ref().as_slice() {
        [low, high] if low.is_finite() && high.is_finite() && low < high => Ok((*low, *high)),
        _ => Err(Fault::at(
            field,
            "this is not a range of signals",
            "write the lowest and the highest signal: signal = [0.5, 9.8]",
        )),
    }
}

fn log_linear(spanned: &Spanned<CurveTable>) -> Result<Law, Fault> {
    let table = spanned.get_ref();
    if let Some(field) = &table.points {
        return Err(Fault::at(
            field,
            "points belong to kind = \"table\"",
            "write a and b of p = 10^(a x + b), or correct the kind",
        ));
    }
    match (&table.a, &table.b) {
        (Some(a), Some(b))
            if *a.get_ref() != 0.0 && a.get_ref().is_finite() && b.get_ref().is_finite() =>
        {
            Ok(Law::LogLinear {
                a: *a.get_ref(),
                b: *b.get_ref(),
            })
        }
        (Some(a), Some(_)) => Err(Fault::at(
            a,
            "with this a and b every signal means the same",
            "write a and b of p = 10^(a x + b) from the gauge's data sheet",
        )),
        _ => Err(Fault::at(
            spanned,
            "a or b is missing",
            "write a and b of p = 10^(a x + b) from the gauge's data sheet",
        )),
    }
}

fn points(spanned: &Spanned<CurveTable>) -> Result<Law, Fault> {
    let table = spanned.get_ref();
    let stray = table.a.as_ref().or(table.b.as_ref());
    if let Some(field) = stray {
        return Err(Fault::at(
            field,
            "a and b belong to kind = \"log-linear\"",
            "write points = [[x, p], ...], or correct the kind",
        ));
    }
    let log = word(
        table.between.as_ref(),
        true,
        &[("logarithmic", true), ("linear", false)],
        "between",
    )?;
    let Some(field) = &table.points else {
        return Err(Fault::at(
            spanned,
            "the points are missing",
            "write points = [[x, p], [x, p], ...] with rising x",
        ));
    };
    let points = field.get_ref();
    let steps = || points.windows(2);
    let numbers = points
        .iter()
        .all(|(x, p)| x.is_finite() && p.is_finite() && (if log { *p > 0.0 } else { *p >= 0.0 }));
    let x_rises = steps().all(|w| w[0].0 < w[1].0);
    let p_rises = steps().all(|w| w[0].1 < w[1].1);
    let p_falls = steps().all(|w| w[0].1 > w[1].1);
    if points.len() < 2 || !numbers || !x_rises || !(p_rises || p_falls) {
        return Err(Fault::at(
            field,
            "the points make no curve: x must rise from one to the next, p must rise or fall \
             all the way and be above 0",
            "sort the points by signal and take out doubled ones; for p = 0 write between = \"linear\"",
        ));
    }
    Ok(Law::Table {
        points: points.clone(),
        log,
    })
}

/// How the gauge counts its lines; field and table belong together.
pub(super) fn sequence(
    table: Option<&Spanned<SequenceTable>>,
    finding: &Finding,
    pointer: Option<std::ops::Range<usize>>,
) -> Result<Option<SequenceRule>, Fault> {
    match (table, finding.has(Field::Sequence)) {
        (None, false) => Ok(None),
        (Some(table), true) => Ok(Some(SequenceRule {
            modulus: whole(Some(&table.get_ref().modulus), 0, 2..=1 << 32, "modulus")?,
            written: word(
                table.get_ref().written.as_ref(),
                Written::Decimal,
                &[("decimal", Written::Decimal), ("hex", Written::Hex)],
                "written",
            )?,
        })),
        (Some(table), false) => Err(Fault::at(
            table,
            "[sequence] says how lines are counted but there is no sequence field",
            "name the field that carries the count sequence, or delete the table",
        )),
        (None, true) => Err(Fault {
            span: pointer,
            problem: "there is a sequence field but nothing says where its count begins again"
                .into(),
            fix: "write [sequence] and modulus = 65536 if the count goes from 0 to 65535".into(),
        }),
    }
}
