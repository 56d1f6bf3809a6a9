//! The files of a table: each whole or not at all.

use std::{
    fs::{self, File},
    io::{self, BufWriter, Write},
    path::Path,
};

use desk::{Row, write_csv};
use desk_page::{PageOptions, sheet_beside};
use plain_file::io_words;

use crate::{error::DeskError, rows::Rows};

/// What files say of their making.
#[derive(Debug, Clone, Copy)]
pub struct Made<'a> {
    /// Program and version.
    pub by: &'a str,
    /// When, RFC 3339.
    pub at: Option<&'a str>,
}

/// The table as CSV.
pub(crate) fn csv(path: &Path, rows: &Rows) -> Result<(), DeskError> {
    written(path, |out| {
        write_csv(out, &rows.shown, rows.partial.as_deref())
    })
}

/// The table as a page, its links relative to where it will lie.
pub(crate) fn page(
    path: &Path,
    rows: &Rows,
    made: Made<'_>,
    without_personal_data: bool,
) -> Result<(), DeskError> {
    // as the disk has them, so that one leads to the other however they were named
    let folder = fs::canonicalize(whole_file::folder_of(path));
    let folder = folder.map_err(|e| failed(path, &e))?;
    let sheet = |row: &Row| fs::canonicalize(sheet_beside(row)?).ok();
    let options = PageOptions {
        title: "Records, judged anew",
        made_by: made.by,
        made_at: made.at,
        partial: rows.partial.as_deref(),
        without_personal_data,
        folder: &folder,
        sheet: Some(&sheet),
    };
    written(path, |out| desk_page::write(out, &rows.shown, &options))
}

/// The table as Parquet: records, and rounds beside them.
#[cfg(feature = "parquet")]
pub(crate) fn parquet(
    path: &Path,
    rows: &Rows,
    made: Made<'_>,
    without_personal_data: bool,
) -> Result<(), DeskError> {
    use desk_parquet::{FileOptions, beside, write_rounds, write_rows};

    let options = FileOptions {
        made_by: made.by,
        partial: rows.partial.as_deref(),
        without_personal_data,
    };
    let written = write_rows(path, &rows.shown, &options)
        .and_then(|_| write_rounds(&beside(path, "rounds"), &rows.shown, &options));
    written
        .map(|_| ())
        .map_err(|error| failed(&error.path, &error.source))
}

/// The readings of the records that could be read, a list each. A record that has gone since
/// its row was made has no list.
#[cfg(feature = "parquet")]
pub(crate) fn traces(path: &Path, rows: &Rows, made: Made<'_>) -> Result<(), DeskError> {
    use desk_parquet::{FileOptions, Trace, beside, write_traces};
    use run_record::{ImportOptions, Source};
    use run_review::OnDisk;
    use vacuum::Entry;

    let readings = |row: &Row| {
        let on_disk = OnDisk::of(Path::new(&row.path)).ok()?;
        let mut source = Source::open(on_disk.path(), &ImportOptions::default()).ok()?;
        let mut points = Vec::new();
        while let Ok(Some(entry)) = source.next_entry() {
            if let Entry::Reading(reading) = &entry
                && let Some(pressure) = reading.pressure()
            {
                points.push((reading.elapsed_s, pressure.micron()));
            }
        }
        Some(Trace {
            path: row.path.clone(),
            points,
        })
    };
    let options = FileOptions {
        made_by: made.by,
        partial: rows.partial.as_deref(),
        without_personal_data: false,
    };
    let readable = rows.shown.iter().filter(|row| row.unreadable.is_none());
    write_traces(
        &beside(path, "traces"),
        readable.filter_map(readings),
        &options,
    )
    .map(|_| ())
    .map_err(|error| failed(&error.path, &error.source))
}

fn written(
    path: &Path,
    write: impl FnOnce(&mut BufWriter<File>) -> io::Result<()>,
) -> Result<(), DeskError> {
    let folder = whole_file::folder_of(path);
    let unplaced = whole_file::write_beside_with(folder, |file| {
        let mut out = BufWriter::new(file.try_clone()?);
        write(&mut out)?;
        out.flush()
    });
    unplaced
        .and_then(|unplaced| unplaced.place(path))
        .map_err(|e| failed(path, &e))
}

fn failed(path: &Path, why: &io::Error) -> DeskError {
    let (path, why) = (path.display(), io_words(why));
    DeskError::Other(format!("{path} cannot be written: {why}"))
}
