//! The file of traces: all readings of a record in one row, as a list.

use std::{borrow::Borrow, path::Path, sync::Arc};

use arrow_array::{
    ArrayRef,
    builder::{ArrayBuilder, Float64Builder, ListBuilder, StructBuilder},
};
use arrow_schema::{DataType, Field, Fields};

use crate::{
    FileOptions, ParquetError,
    columns::{Column, Make, list_of},
    file,
};

/// The readings of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// Path of the record, as its row has it.
    pub path: String,
    /// Since the beginning of the record, s, and the pressure, micron.
    pub points: Vec<(f64, f64)>,
}

/// Readings that take as much memory as a row of the table.
const READINGS_OF_A_ROW: usize = 100;

/// Writes one row a record with all its readings. The file is there entirely or not at all;
/// an older one of that name is replaced. Returns how many rows.
///
/// # Errors
/// [`ParquetError`] with the path, when it cannot be written.
pub fn write_traces<T: Borrow<Trace>>(
    path: &Path,
    traces: impl IntoIterator<Item = T>,
    options: &FileOptions<'_>,
) -> Result<u64, ParquetError> {
    let weight = |trace: &Trace| 1 + trace.points.len() / READINGS_OF_A_ROW;
    file::write(path, &columns(), options, traces, weight)
}

fn columns() -> [Column<Trace>; 2] {
    [
        ("path", Make::Text(|trace| Some(&trace.path))),
        (
            "readings",
            Make::Other(|| list_of(DataType::Struct(fields())), readings),
        ),
    ]
}

fn fields() -> Fields {
    let number = |name: &str| Field::new(name, DataType::Float64, true);
    Fields::from(vec![number("t_s"), number("micron")])
}

fn readings(traces: &[&Trace]) -> ArrayRef {
    let parts: Vec<Box<dyn ArrayBuilder>> = vec![
        Box::new(Float64Builder::new()),
        Box::new(Float64Builder::new()),
    ];
    let mut all = ListBuilder::new(StructBuilder::new(fields(), parts));
    for trace in traces {
        let one = all.values();
        if let Some(times) = one.field_builder::<Float64Builder>(0) {
            trace
                .points
                .iter()
                .for_each(|point| times.append_value(point.0));
        }
        if let Some(pressures) = one.field_builder::<Float64Builder>(1) {
            let micron = trace.points.iter().map(|point| point.1);
            micron.for_each(|micron| pressures.append_value(micron));
        }
        trace.points.iter().for_each(|_| one.append(true));
        all.append(true);
    }
    Arc::new(all.finish())
}
