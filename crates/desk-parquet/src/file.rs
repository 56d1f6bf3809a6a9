//! One Parquet file: written beside its place, in batches, then given its name.

use std::{
    borrow::Borrow,
    io,
    path::{Path, PathBuf},
    sync::Arc,
};

use arrow_array::RecordBatch;
use arrow_schema::SchemaRef;
use parquet::{
    arrow::ArrowWriter, basic::Compression, file::metadata::KeyValue,
    file::properties::WriterProperties,
};

use crate::columns::{self, Column};

/// What every file says of itself.
#[derive(Debug, Clone, Copy)]
pub struct FileOptions<'a> {
    /// Program and version that judged the rows.
    pub made_by: &'a str,
    /// Why rows are missing, as one sentence; `None` when the table is complete.
    pub partial: Option<&'a str>,
    /// Technicians and customers are left out.
    pub without_personal_data: bool,
}

/// A Parquet file could not be written; none is left half written.
#[derive(Debug, thiserror::Error)]
#[error("{path}: the Parquet file could not be written: {source}", path = path.display())]
pub struct ParquetError {
    /// Which one.
    pub path: PathBuf,
    /// Why.
    pub source: io::Error,
}

/// The name of another file of the same table: `claims.parquet` and "rounds" give
/// `claims-rounds.parquet`.
#[must_use]
pub fn beside(rows_file: &Path, what: &str) -> PathBuf {
    let mut name = rows_file.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{what}.parquet"));
    rows_file.with_file_name(name)
}

/// Bytes of a group of rows until it is closed; what is open is kept in memory.
const GROUP_BYTES: usize = 16 << 20;

/// Rows of a batch.
const BATCH: usize = 1_024;

/// Writes `rows` as a file with these columns, batch by batch. A batch is closed when the
/// weights of its rows come to [`BATCH`]. Returns how many rows.
pub(crate) fn write<R, B: Borrow<R>>(
    path: &Path,
    columns: &[Column<R>],
    options: &FileOptions<'_>,
    rows: impl IntoIterator<Item = B>,
    weight: impl Fn(&R) -> usize,
) -> Result<u64, ParquetError> {
    let folder = whole_file::folder_of(path);
    let schema: SchemaRef = Arc::new(columns::schema(columns));
    let mut count = 0;
    let written = whole_file::write_beside_with(folder, |file| {
        let properties = Some(properties(options));
        let mut writer = ArrowWriter::try_new(file, Arc::clone(&schema), properties)?;
        let mut rows = rows.into_iter();
        loop {
            let (mut batch, mut weights) = (Vec::new(), 0);
            while weights < BATCH
                && let Some(row) = rows.next()
            {
                weights += weight(row.borrow());
                batch.push(row);
            }
            if batch.is_empty() {
                break;
            }
            count += batch.len() as u64;
            let batch: Vec<&R> = batch.iter().map(Borrow::borrow).collect();
            let arrays = columns::arrays(columns, &batch);
            let batch = RecordBatch::try_new(Arc::clone(&schema), arrays);
            writer.write(&batch.map_err(io::Error::other)?)?;
        }
        writer.close()?;
        Ok(())
    });
    written
        .and_then(|unplaced| unplaced.place(path))
        .and_then(|()| whole_file::sync_folder(folder))
        .map_err(|source| ParquetError {
            path: path.to_owned(),
            source,
        })?;
    Ok(count)
}

fn properties(options: &FileOptions<'_>) -> WriterProperties {
    let personal = if options.without_personal_data {
        "left out"
    } else {
        "may be there"
    };
    let said = [
        ("made_by", Some(options.made_by)),
        ("partial", options.partial),
        ("personal_data", Some(personal)),
    ];
    let said = said
        .into_iter()
        .filter_map(|(key, value)| Some(KeyValue::new(key.to_owned(), value?.to_owned())));
    WriterProperties::builder()
        .set_compression(Compression::SNAPPY)
        .set_created_by(options.made_by.to_owned())
        .set_key_value_metadata(Some(said.collect()))
        .set_max_row_group_bytes(Some(GROUP_BYTES))
        .build()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_of_one_table_stand_beside_each_other() {
        for (rows, rounds) in [
            ("claims.parquet", "claims-rounds.parquet"),
            ("a/claims.of.may.parquet", "a/claims.of.may-rounds.parquet"),
            ("claims", "claims-rounds.parquet"),
        ] {
            assert_eq!(beside(Path::new(rows), "rounds"), Path::new(rounds));
        }
    }
}
