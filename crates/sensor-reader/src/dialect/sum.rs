//! The `[checksum]` table.

use std::ops::Range;

use toml::Spanned;

use crate::checksum::{ChecksumKind, ChecksumRule, ChecksumText, Cover};

use super::{
    file::ChecksumTable,
    plain::{Fault, LineAddress, bytes, whole, word},
    shape::Framing,
};

/// Kind and writing of the checksum, before it is known where it stands.
pub(super) fn check_kind(
    table: Option<&Spanned<ChecksumTable>>,
    in_frame: bool,
) -> Result<Option<(ChecksumKind, ChecksumText)>, Fault> {
    let Some(spanned) = table else {
        return Ok(None);
    };
    let table = spanned.get_ref();
    let kinds = ChecksumKind::ALL.map(|k| (k.word(), k));
    let kind = word(Some(&table.kind), ChecksumKind::Sum8, &kinds, "kind")?;
    // a sum made to be printable is sent as that character
    let bare = in_frame || kind == ChecksumKind::SumMod64Plus64;
    let usual = if bare {
        ChecksumText::Binary
    } else {
        ChecksumText::Hex
    };
    let text = word(
        table.written.as_ref(),
        usual,
        &[
            ("hex", ChecksumText::Hex),
            ("decimal", ChecksumText::Decimal),
            ("binary", ChecksumText::Binary),
        ],
        "written",
    )?;
    Ok(Some((kind, text)))
}

/// The checksum of a dialect; `pointer` is where its field would be named.
pub(super) fn checksum(
    table: Option<&Spanned<ChecksumTable>>,
    framing: &Framing,
    has_field: bool,
    pointer: Option<Range<usize>>,
) -> Result<Option<ChecksumRule>, Fault> {
    let frame = match framing {
        Framing::Frames(rule) => Some(rule.length),
        _ => None,
    };
    let Some((kind, text)) = check_kind(table, frame.is_some())? else {
        return if has_field {
            Err(Fault {
                span: pointer,
                problem: "there is a checksum field but no [checksum] table".into(),
                fix: "add the table, or match the checksum without naming it".into(),
            })
        } else {
            Ok(None)
        };
    };
    let Some(spanned) = table else {
        return Ok(None);
    };
    if !has_field {
        return Err(Fault::at(
            spanned,
            "there is a [checksum] table but no checksum field",
            "name the part that carries the checksum: (?<checksum>...) in a pattern, checksum = ... under [fields]",
        ));
    }
    let table = spanned.get_ref();
    let cover = match frame {
        Some(length) => counted(table, length)?,
        None => marked(table)?,
    };
    Ok(Some(ChecksumRule {
        kind,
        text,
        low_byte_first: word(
            table.byte_order.as_ref(),
            false,
            &[("high-first", false), ("low-first", true)],
            "byte_order",
        )?,
        cover,
    }))
}

fn counted(table: &ChecksumTable, length: usize) -> Result<Cover, Fault> {
    if let Some(field) = table.after.as_ref().or(table.before.as_ref()) {
        return Err(Fault::at(
            field,
            "after and before are for lines",
            "write from = and to =, the first and last byte covered, counted from 1",
        ));
    }
    let last = length as i64;
    let (Some(from), Some(to)) = (&table.from, &table.to) else {
        return Err(Fault::at(
            &table.kind,
            "the bytes covered are not said",
            "write from = and to =, the first and last byte covered, counted from 1",
        ));
    };
    let first: usize = whole(Some(from), 1, 1..=last, "from")?;
    let end: usize = whole(Some(to), last, first as i64..=last, "to")?;
    Ok(Cover::Bytes(first - 1, end))
}

fn marked(table: &ChecksumTable) -> Result<Cover, Fault> {
    if let Some(field) = table.from.as_ref().or(table.to.as_ref()) {
        return Err(Fault::at(
            field,
            "from and to are for frames",
            "write after = and before =, the marks around the part covered",
        ));
    }
    let no_address = LineAddress::new(None)?;
    let mark = |field: &Option<Spanned<String>>, key| match field {
        Some(f) if !f.get_ref().is_empty() => bytes(f, &no_address, key),
        _ => Ok(Vec::new()),
    };
    Ok(Cover::Marks {
        after: mark(&table.after, "after")?,
        before: mark(&table.before, "before")?,
    })
}
