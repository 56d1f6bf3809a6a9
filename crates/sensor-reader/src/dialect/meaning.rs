//! Units, words, bounds and checksums of a dialect file: from text to meaning.

use std::collections::BTreeMap;

use toml::Spanned;
use vacuum::{Pressure, PressureUnit, ReadingState};

use crate::{
    checksum::{ChecksumKind, ChecksumRule, ChecksumText},
    unit::{UnitWord, unit_word},
};

use super::{
    file::{BoundsTable, ChecksumTable},
    parse::{Fault, word},
    shape::Groups,
};

/// A unit written in the dialect: absolute, and said to be so where the word
/// alone leaves it open.
pub(super) fn absolute_unit(field: &Spanned<String>) -> Result<PressureUnit, Fault> {
    let text = field.get_ref();
    match unit_word(text) {
        UnitWord::Absolute(unit) => Ok(unit),
        UnitWord::GaugeRelative => Err(Fault::at(
            field,
            format!("\"{text}\" counts from the barometer of the day, which is not known"),
            "set the gauge to an absolute unit such as micron, Pa or mbar",
        )),
        UnitWord::Ambiguous => Err(Fault::at(
            field,
            format!("\"{text}\" may count from full vacuum or from the barometer"),
            format!(
                "write \"{text} abs\" if this gauge reads 0 at full vacuum; otherwise it cannot judge a vacuum"
            ),
        )),
        UnitWord::Unknown => Err(Fault::at(
            field,
            format!("\"{text}\" is not a pressure unit known here"),
            "write micron, Torr, Pa, kPa, mbar, \"bar abs\", \"inHg abs\", psia or atm",
        )),
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
) -> Result<Vec<(String, ReadingState)>, Fault> {
    let choices = [
        ("ok", ReadingState::Ok),
        ("over", ReadingState::Over),
        ("under", ReadingState::Under),
        ("fault", ReadingState::Fault),
    ];
    let mut out: Vec<(String, ReadingState)> = Vec::new();
    for (key, meaning) in table {
        let text = key.get_ref().trim();
        if out.iter().any(|(seen, _)| seen.eq_ignore_ascii_case(text)) {
            return Err(Fault::at(
                key,
                format!("the state word \"{text}\" is listed twice (case does not matter)"),
                "keep one of the two",
            ));
        }
        let state = word(Some(meaning), ReadingState::Fault, &choices, text)?;
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

pub(super) fn seconds_per_count(field: Option<&Spanned<f64>>) -> Result<f64, Fault> {
    match field {
        None => Ok(1.0),
        Some(f) if f.get_ref().is_finite() && *f.get_ref() > 0.0 => Ok(*f.get_ref()),
        Some(f) => Err(Fault::at(
            f,
            format!(
                "seconds_per_count = {} is not a positive number",
                f.get_ref()
            ),
            "write 1.0 if the gauge counts seconds, 0.001 if it counts milliseconds",
        )),
    }
}

pub(super) fn checksum(
    table: Option<&Spanned<ChecksumTable>>,
    groups: &Groups,
    pattern: &Spanned<String>,
) -> Result<Option<ChecksumRule>, Fault> {
    let Some(spanned) = table else {
        return match groups.checksum {
            None => Ok(None),
            Some(_) => Err(Fault::at(
                pattern,
                "the pattern has a (?<checksum>...) group but there is no [checksum] table",
                "add the table, or match the checksum without naming the group",
            )),
        };
    };
    if groups.checksum.is_none() {
        return Err(Fault::at(
            spanned,
            "there is a [checksum] table but the pattern has no (?<checksum>...) group",
            "name the part of the line that carries the checksum",
        ));
    }
    let table = spanned.get_ref();
    let kinds = ChecksumKind::ALL.map(|k| (k.word(), k));
    Ok(Some(ChecksumRule {
        kind: word(Some(&table.kind), ChecksumKind::Sum8, &kinds, "kind")?,
        text: word(
            table.written.as_ref(),
            ChecksumText::Hex,
            &[
                ("hex", ChecksumText::Hex),
                ("decimal", ChecksumText::Decimal),
            ],
            "written",
        )?,
        low_byte_first: word(
            table.byte_order.as_ref(),
            false,
            &[("high-first", false), ("low-first", true)],
            "byte_order",
        )?,
        after: table.after.clone().into_bytes(),
        before: table.before.clone().into_bytes(),
    }))
}
