//! The shop's logo, read from a file that may be anybody's.

use std::path::Path;

use plain_file::{Links, io_words};
use report::Logo;

use crate::picture_process;

/// The logo that a job names. The job may be anybody's: what it names is a file in its
/// own folder, and nothing else.
///
/// # Errors
/// Why there is no logo, in words for a technician.
pub fn logo_in_run(named: &str, run: &Path) -> Result<Logo, String> {
    let named = named.trim();
    let is_plain = !named.contains(['/', '\\', ':']) && !matches!(named, "" | "." | "..");
    if !is_plain {
        return Err(
            "a job may only name a file inside its run folder; give it with --logo FILE".into(),
        );
    }
    read_logo(&run.join(named), Links::Refuse)
}

/// The logo in this file, drawn in a process of its own.
///
/// # Errors
/// Why there is no logo, in words for a technician.
pub fn read_logo(path: &Path, links: Links) -> Result<Logo, String> {
    let bytes = plain_file::read(path, Logo::MOST_BYTES, links);
    picture_process::draw(bytes.map_err(|e| io_words(&e))?)
}
