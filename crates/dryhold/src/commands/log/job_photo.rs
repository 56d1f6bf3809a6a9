//! The photo of the job goes into the run folder, as the shop's logo does: made smaller, and
//! without what a camera writes into it.

use std::path::Path;

use console::complain;
use job_form::beside;
use plain_file::Links;
use run_record::put_file;
use run_review::read_photo;
use vacuum::Job;

/// Its name in a run folder.
const NAME: &str = "photo.jpg";

/// A photo on its way into a run folder, where there is one.
#[derive(Default)]
pub(crate) struct JobPhoto(Option<Vec<u8>>);

impl JobPhoto {
    /// Reads the photo that a job names, and puts the name it will have in the run folder in
    /// its place. One that cannot be read is said; the run then has none.
    pub(crate) fn take(job: &mut Job, job_file: Option<&Path>) -> Self {
        let Some(named) = job.photo.take() else {
            return Self(None);
        };
        let path = beside(&named, job_file);
        let photo = read_photo(&path, Links::Follow);
        let jpeg = photo.and_then(|photo| photo.jpeg().map_err(|e| e.to_string()));
        match &jpeg {
            Ok(_) => job.photo = Some(NAME.to_owned()),
            Err(why) => complain(format!("the photo {} is left out: {why}", path.display())),
        }
        Self(jpeg.ok())
    }

    /// Writes it into the run folder. Failing in that costs the photo only.
    pub(crate) fn put(&self, run: &Path) {
        if let Some(jpeg) = &self.0
            && let Err(e) = put_file(run, NAME, jpeg)
        {
            complain(format!("the photo is left out: {e}"));
        }
    }
}
