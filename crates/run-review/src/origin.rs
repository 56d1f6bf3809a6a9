//! Where a judged record came from, and what it says of itself.

use std::path::{Path, PathBuf};

use report::{About, Companion, GivenAtReview, Logo, Photo};
use run_record::{RunHeader, Source};
use vacuum::{SheetChoices, SheetField};

use crate::{logo::photo_in_run, on_disk::OnDisk, other_gauges::Draw};

/// What is chosen about a sheet: choices, logo, photo.
pub type Chosen<'a> = (&'a SheetChoices, Option<&'a Logo>, Option<&'a Photo>);

/// Where a judged record came from, and what it says of itself, whatever test it is of.
pub struct Origin {
    /// What the run says of itself; `None` for a foreign table.
    pub header: Option<RunHeader>,
    /// What was judged with and is not the job's.
    pub(crate) given: GivenAtReview,
    /// When it began, RFC 3339 in UTC, where it says so.
    pub started_utc: Option<String>,
    /// The path as given.
    pub source: String,
    /// True for a run folder or a trace of ours.
    pub is_run: bool,
    /// The file that was read.
    file: PathBuf,
    /// Where the record is read; keeps it there while this is needed.
    on_disk: OnDisk,
    /// Digest of the record as a whole, of a run folder to be drawn.
    record_sha256: Option<String>,
}

impl Origin {
    /// Of a record that was read to its end.
    pub(crate) fn of(
        source: &Source,
        path: &Path,
        (on_disk, draw): (OnDisk, Draw),
        given: GivenAtReview,
    ) -> Self {
        Self {
            header: source.header().cloned(),
            given,
            started_utc: source.started_utc().map(|t| t.to_rfc3339()),
            source: path.display().to_string(),
            is_run: source.is_run(),
            file: source.path().to_owned(),
            // a trace outside a run folder has none
            record_sha256: (draw == Draw::Yes && source.is_run())
                .then(|| run_record::record_digest(on_disk.path()).ok())
                .flatten(),
            on_disk,
        }
    }

    /// The run folder that was read; `None` for a foreign table.
    pub fn folder(&self) -> Option<PathBuf> {
        let trace = self.is_run.then_some(self.file.as_path())?;
        trace.parent().map(Path::to_owned)
    }

    /// Where curve and sheet go when nobody says: the run folder itself; for a foreign table or
    /// an archive a folder named after it where the program stands.
    #[must_use]
    pub fn products_folder(&self) -> PathBuf {
        let own = self.folder().filter(|_| !self.on_disk.is_packed());
        own.unwrap_or_else(|| {
            let stem = Path::new(&self.source).file_stem();
            let stem = stem.map_or_else(|| "record".into(), |s| s.to_string_lossy());
            PathBuf::from(format!("{stem}-report"))
        })
    }

    /// Where the record is read: of an archive, the folder that it was unpacked into, which
    /// is there as long as this is.
    pub fn on_disk(&self) -> &OnDisk {
        &self.on_disk
    }

    /// The photo of the run folder that the job names, where one is printed; with the name
    /// when it cannot be.
    pub fn photo(&self, choices: &SheetChoices) -> Result<Option<Photo>, (String, String)> {
        let named = self.header.as_ref().and_then(|h| h.job.photo.as_deref());
        let run = self.folder().filter(|_| choices.prints(SheetField::Photo));
        let Some((named, run)) = named.zip(run) else {
            return Ok(None);
        };
        photo_in_run(named, &run)
            .map(Some)
            .map_err(|why| (named.to_owned(), why.to_string()))
    }

    /// What a sheet says besides what was measured, with what was chosen about it and these
    /// gauges beside.
    pub(crate) fn about<'a>(
        &'a self,
        (choices, logo, photo): Chosen<'a>,
        beside: &'a [Companion<'a>],
        made_by: &'a str,
    ) -> About<'a> {
        About {
            job: self.header.as_ref().map(|h| &h.job),
            given: self.given,
            choices: Some(choices),
            gauge_dialect: self.header.as_ref().and_then(|h| h.dialect.as_deref()),
            started_utc: self.started_utc.as_deref(),
            record_sha256: self.record_sha256.as_deref(),
            logo,
            photo,
            beside,
            ..About::new(&self.source, made_by)
        }
    }
}
