//! A column: what it is called, which type it has, and what stands in it.

use std::sync::Arc;

use arrow_array::{
    ArrayRef, BooleanArray, Float64Array, StringArray, TimestampMillisecondArray, UInt32Array,
    builder::{ListBuilder, StringBuilder},
};
use arrow_schema::{DataType, Field, Schema, TimeUnit};
use chrono::DateTime;

/// What makes a column of many rows.
pub(crate) enum Make<R> {
    /// Text.
    Text(fn(&R) -> Option<&str>),
    /// A number, 64-bit floating point.
    Number(fn(&R) -> Option<f64>),
    /// How many, or the how manieth.
    Count(fn(&R) -> usize),
    /// Yes or no.
    Flag(fn(&R) -> bool),
    /// A time stamp from RFC 3339; what is none is null.
    Time(fn(&R) -> Option<&str>),
    /// A list of texts.
    Texts(fn(&R) -> Vec<&str>),
    /// Anything else: its type, and how it is made.
    Other(fn() -> DataType, fn(&[&R]) -> ArrayRef),
}

/// A column by its name.
pub(crate) type Column<R> = (&'static str, Make<R>);

impl<R> Make<R> {
    fn data_type(&self) -> DataType {
        match self {
            Self::Text(_) => DataType::Utf8,
            Self::Number(_) => DataType::Float64,
            Self::Count(_) => DataType::UInt32,
            Self::Flag(_) => DataType::Boolean,
            Self::Time(_) => DataType::Timestamp(TimeUnit::Millisecond, Some("UTC".into())),
            Self::Texts(_) => list_of(DataType::Utf8),
            Self::Other(data_type, _) => data_type(),
        }
    }

    fn array(&self, rows: &[&R]) -> ArrayRef {
        match self {
            Self::Text(get) => Arc::new(rows.iter().map(|row| get(row)).collect::<StringArray>()),
            Self::Number(get) => {
                Arc::new(rows.iter().map(|row| get(row)).collect::<Float64Array>())
            }
            Self::Count(get) => {
                let counts = rows.iter().map(|row| u32::try_from(get(row)).ok());
                Arc::new(counts.collect::<UInt32Array>())
            }
            Self::Flag(get) => Arc::new(
                rows.iter()
                    .map(|row| Some(get(row)))
                    .collect::<BooleanArray>(),
            ),
            Self::Time(get) => {
                let ms = |text| Some(DateTime::parse_from_rfc3339(text).ok()?.timestamp_millis());
                let times = rows.iter().map(|row| get(row).and_then(ms));
                let array = times.collect::<TimestampMillisecondArray>();
                Arc::new(array.with_timezone("UTC"))
            }
            Self::Texts(get) => {
                let mut lists = ListBuilder::new(StringBuilder::new());
                for row in rows {
                    lists.append_value(get(row).into_iter().map(Some));
                }
                Arc::new(lists.finish())
            }
            Self::Other(_, array) => array(rows),
        }
    }
}

/// A list of values, as the builders of arrow make it.
pub(crate) fn list_of(item: DataType) -> DataType {
    DataType::List(Arc::new(Field::new("item", item, true)))
}

/// The schema of columns; any value may be absent.
pub(crate) fn schema<R>(columns: &[Column<R>]) -> Schema {
    let fields = columns
        .iter()
        .map(|(name, make)| Field::new(*name, make.data_type(), true));
    Schema::new(fields.collect::<Vec<_>>())
}

/// The columns of some rows.
pub(crate) fn arrays<R>(columns: &[Column<R>], rows: &[&R]) -> Vec<ArrayRef> {
    columns.iter().map(|(_, make)| make.array(rows)).collect()
}
