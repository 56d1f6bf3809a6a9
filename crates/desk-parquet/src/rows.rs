//! The file of records: one row each.

use std::{borrow::Borrow, path::Path, sync::Arc};

use arrow_array::{
    ArrayRef,
    builder::{ArrayBuilder, Int16Builder, ListBuilder, StringBuilder, StructBuilder},
};
use arrow_schema::{DataType, Field, Fields};
use desk::Row;

use crate::{
    FileOptions, ParquetError,
    columns::{Column, Make, list_of},
    file,
};

/// Columns that say who somebody is.
const PERSONAL: [&str; 2] = ["technician", "customer"];

/// Writes one row a record. The file is there entirely or not at all; an older one of that
/// name is replaced. Returns how many rows.
///
/// # Errors
/// [`ParquetError`] with the path, when it cannot be written.
///
/// # Example
/// ```
/// let folder = tempfile::tempdir()?;
/// let options = desk_parquet::FileOptions {
///     made_by: "dryhold 0.1.0",
///     partial: None,
///     without_personal_data: true,
/// };
/// let rows: [desk::Row; 0] = [];
/// let path = folder.path().join("claims.parquet");
/// assert_eq!(desk_parquet::write_rows(&path, rows, &options)?, 0);
/// assert!(path.is_file());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn write_rows<R: Borrow<Row>>(
    path: &Path,
    rows: impl IntoIterator<Item = R>,
    options: &FileOptions<'_>,
) -> Result<u64, ParquetError> {
    let mut columns = columns();
    if options.without_personal_data {
        columns.retain(|(name, _)| !PERSONAL.contains(name));
    }
    file::write(path, &columns, options, rows, |_| 1)
}

fn columns() -> Vec<Column<Row>> {
    use Make::{Flag, Number, Other, Text, Texts, Time};
    vec![
        ("path", Text(|r| Some(&r.path))),
        ("kind", Text(|r| Some(r.kind.word()))),
        ("readable", Flag(|r| r.unreadable.is_none())),
        ("unreadable", Text(|r| r.unreadable.as_deref())),
        ("job", Text(|r| r.job.as_deref())),
        ("started", Time(|r| r.started.as_deref())),
        ("test", Text(|r| r.test.as_deref())),
        ("verdict", Text(|r| r.verdict.as_deref())),
        ("headline", Text(|r| r.headline.as_deref())),
        ("reasons", Texts(|r| texts(&r.reasons))),
        ("cause", Text(|r| r.cause.as_deref())),
        ("confidence", Number(|r| r.confidence)),
        ("leak_micron_per_min", Number(|r| r.leak_micron_per_min)),
        (
            "detection_limit_micron_per_min",
            Number(|r| r.detection_limit_micron_per_min),
        ),
        ("lowest_micron", Number(|r| r.lowest_micron)),
        (
            "highest_in_hold_micron",
            Number(|r| r.highest_in_hold_micron),
        ),
        ("hold_min", Number(|r| r.hold_min)),
        ("rounds", Make::Count(|r| r.rounds.len())),
        ("isolated_by", Text(|r| r.isolated_by.as_deref())),
        ("criteria", Text(|r| r.criteria.as_deref())),
        ("appliance", Text(|r| r.appliance.as_deref())),
        ("serial", Text(|r| r.serial.as_deref())),
        ("refrigerant", Text(|r| r.refrigerant.as_deref())),
        ("volume_l", Number(|r| r.volume_l)),
        ("ambient_c", Number(|r| r.ambient_c)),
        ("repair", Text(|r| r.repair.as_deref())),
        ("technician", Text(|r| r.technician.as_deref())),
        ("customer", Text(|r| r.customer.as_deref())),
        ("gauge", Text(|r| r.gauge.as_deref())),
        ("calibration_due", Text(|r| r.calibration_due.as_deref())),
        ("seal", Text(|r| Some(r.seal.word()))),
        ("shop", Text(|r| r.shop.as_deref())),
        ("record_sha256", Text(|r| r.record_sha256.as_deref())),
        ("changed", Text(|r| r.changed.as_deref())),
        ("said_by", Text(|r| r.said.as_ref().map(|s| &*s.made_by))),
        (
            "said_verdict",
            Text(|r| r.said.as_ref().map(|s| &*s.verdict)),
        ),
        (
            "said_criteria",
            Text(|r| r.said.as_ref().map(|s| &*s.criteria)),
        ),
        ("flagged", Flag(|r| !r.flags.is_empty())),
        ("flags", Texts(codes)),
        (
            "evidence",
            Other(|| list_of(DataType::Struct(evidence_fields())), evidence),
        ),
        (
            "curve_span_s",
            Number(|r| r.curve.as_ref().map(|c| c.span_s)),
        ),
        (
            "curve_log_micron",
            Other(|| list_of(DataType::Int16), curves),
        ),
    ]
}

fn texts(list: &[String]) -> Vec<&str> {
    list.iter().map(String::as_str).collect()
}

fn codes(row: &Row) -> Vec<&str> {
    row.flags.iter().map(|flag| flag.code.word()).collect()
}

fn evidence_fields() -> Fields {
    Fields::from(vec![
        Field::new("flag", DataType::Utf8, true),
        Field::new("words", DataType::Utf8, true),
        Field::new("with", list_of(DataType::Utf8), true),
    ])
}

/// Flags with what was seen, and the paths of the rows it was seen with.
fn evidence(rows: &[&Row]) -> ArrayRef {
    let lists = ListBuilder::new(StringBuilder::new());
    let parts: Vec<Box<dyn ArrayBuilder>> = vec![
        Box::new(StringBuilder::new()),
        Box::new(StringBuilder::new()),
        Box::new(lists),
    ];
    let mut all = ListBuilder::new(StructBuilder::new(evidence_fields(), parts));
    for row in rows {
        let one = all.values();
        for flag in &row.flags {
            for (at, text) in [flag.code.word(), &flag.words].into_iter().enumerate() {
                if let Some(texts) = one.field_builder::<StringBuilder>(at) {
                    texts.append_value(text);
                }
            }
            if let Some(with) = one.field_builder::<ListBuilder<StringBuilder>>(2) {
                with.append_value(flag.with.iter().map(Some));
            }
            one.append(true);
        }
        all.append(true);
    }
    Arc::new(all.finish())
}

fn curves(rows: &[&Row]) -> ArrayRef {
    let mut lists = ListBuilder::new(Int16Builder::new());
    for row in rows {
        match &row.curve {
            Some(curve) => lists.append_value(curve.log_micron.iter().copied().map(Some)),
            None => lists.append_null(),
        }
    }
    Arc::new(lists.finish())
}
