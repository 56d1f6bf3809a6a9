//! The shop's logo goes into the run folder, so that a sheet made from that folder
//! needs no other file: a job may only name a file inside its own run folder.

use std::path::{Path, PathBuf};

use console::complain;
use plain_file::Links;
use plain_file::io_words;
use run_record::put_file;
use vacuum::SheetChoices;

/// What a PNG file begins with.
const PNG: &[u8] = b"\x89PNG";

/// A logo on its way into a run folder.
pub struct ShopLogo {
    name: &'static str,
    bytes: Vec<u8>,
}

impl ShopLogo {
    /// Reads the logo that a job file or the shop's memory names, and puts the name it
    /// will have in the run folder in its place. A relative path is looked for beside
    /// the job file, then where the program was started. One that cannot be read is
    /// said; the run then has no logo. `most_bytes` is what a sheet can take.
    pub fn take(
        choices: &mut SheetChoices,
        job_file: Option<&Path>,
        most_bytes: u64,
    ) -> Option<Self> {
        let named = choices.logo.take()?;
        let path = beside(&named, job_file);
        match plain_file::read(&path, most_bytes, Links::Follow) {
            Ok(bytes) => {
                let name = match bytes.starts_with(PNG) {
                    true => "logo.png",
                    false => "logo.svg",
                };
                choices.logo = Some(name.to_owned());
                Some(Self { name, bytes })
            }
            Err(e) => {
                let why = io_words(&e);
                complain(format!("the logo {} is left out: {why}", path.display()));
                None
            }
        }
    }

    /// Writes it into the run folder. Failing in that costs the logo only.
    pub fn put(&self, run: &Path) {
        if let Err(e) = put_file(run, self.name, &self.bytes) {
            complain(format!("the logo is left out: {e}"));
        }
    }
}

/// The file that a job names: beside the job file, else from where the program was started.
#[must_use]
pub fn beside(named: &str, job_file: Option<&Path>) -> PathBuf {
    let named = Path::new(named.trim());
    let there = job_file.and_then(Path::parent).map(|dir| dir.join(named));
    let there = there.filter(|path| path.exists());
    there.unwrap_or_else(|| named.to_owned())
}
