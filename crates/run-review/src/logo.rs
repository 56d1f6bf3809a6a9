//! The shop's logo and the photo of a job, read from files that may be anybody's.

use std::path::{Path, PathBuf};

use plain_file::{Links, io_words};
use report::{Logo, Photo};

use crate::picture_process;

/// The logo that a job names. The job may be anybody's: what it names is a file in its
/// own folder, and nothing else.
///
/// # Errors
/// Why there is no logo, in words for a technician.
pub fn logo_in_run(named: &str, run: &Path) -> Result<Logo, String> {
    let path = inside(named, run)
        .ok_or("a job may only name a file inside its run folder; give it with --logo FILE")?;
    read_logo(&path, Links::Refuse)
}

/// The photo that a job names, which is a file in its own folder and nothing else.
///
/// # Errors
/// Why there is no photo, in words for a technician.
pub fn photo_in_run(named: &str, run: &Path) -> Result<Photo, String> {
    let path = inside(named, run).ok_or("a job may only name a file inside its run folder")?;
    read_photo(&path, Links::Refuse)
}

/// The file of this name in a run folder; `None` for a name that leads out of it.
fn inside(named: &str, run: &Path) -> Option<PathBuf> {
    let named = named.trim();
    let is_plain = !named.contains(['/', '\\', ':']) && !matches!(named, "" | "." | "..");
    is_plain.then(|| run.join(named))
}

/// The logo in this file, drawn in a process of its own.
///
/// # Errors
/// Why there is no logo, in words for a technician.
pub fn read_logo(path: &Path, links: Links) -> Result<Logo, String> {
    let bytes = plain_file::read(path, Logo::MOST_BYTES, links);
    picture_process::draw_logo(bytes.map_err(|e| io_words(&e))?)
}

/// The photo in this file, read in a process of its own.
///
/// # Errors
/// Why there is no photo, in words for a technician.
pub fn read_photo(path: &Path, links: Links) -> Result<Photo, String> {
    let bytes = plain_file::read(path, Photo::MOST_BYTES, links);
    picture_process::read_photo(bytes.map_err(|e| io_words(&e))?)
}
