//! What may be chosen about the sheet on the command line, and its logo.

use std::path::{Path, PathBuf};

use report::Logo;
use run_record::io_words;
use vacuum::{Paper, SheetChoices, SheetField};

use crate::outcome::{complain, say};

/// Choices about the sheet; where one is made here, that of the job gives way.
#[derive(Debug, Default, clap::Args)]
pub(crate) struct SheetOptions {
    /// Paper of sheet.pdf: a4 or letter
    #[arg(long, value_name = "PAPER", value_parser = paper)]
    paper: Option<Paper>,
    /// The shop's logo, a PNG or SVG file of at most 1 MB
    #[arg(long, value_name = "FILE")]
    logo: Option<PathBuf>,
    /// Entries to leave out of the sheet, with commas between: serial, oil, hose …
    #[arg(long, value_name = "FIELD,…", value_delimiter = ',', value_parser = field)]
    leave_out: Vec<SheetField>,
    /// Leaves out technician, licence, shop, logo and typed remarks
    #[arg(long)]
    no_personal_data: bool,
}

fn paper(text: &str) -> Result<Paper, String> {
    Paper::from_code(text).ok_or_else(|| {
        let known = Paper::ALL.map(Paper::code);
        format!("it is one of: {}", known.join(", "))
    })
}

fn field(text: &str) -> Result<SheetField, String> {
    SheetField::from_code(text).ok_or_else(|| {
        let known = SheetField::ALL.map(SheetField::code);
        format!("an entry is one of: {}", known.join(", "))
    })
}

impl SheetOptions {
    /// These options, and what the job chose where they leave it open.
    pub(crate) fn choices(&self, job: Option<&SheetChoices>) -> SheetChoices {
        let typed = SheetChoices {
            paper: self.paper,
            leave_out: self.leave_out.clone(),
            without_personal_data: self.no_personal_data.then_some(true),
            logo: self.logo.as_ref().map(|l| l.display().to_string()),
            ..SheetChoices::default()
        };
        match job {
            Some(job) => typed.or(job),
            None => typed,
        }
    }

    /// Reads the logo: the one named here, else the one the job names, which is
    /// looked for in `folders` in turn. One that cannot be printed is said, and the
    /// sheet is made without it.
    pub(crate) fn logo(&self, choices: &SheetChoices, folders: &[&Path]) -> Option<Logo> {
        if !choices.prints(SheetField::Logo) {
            return None;
        }
        let path = match &self.logo {
            Some(path) => path.clone(),
            None => find(choices.logo.as_deref()?, folders),
        };
        match read(&path) {
            Ok(logo) => Some(logo),
            Err(why) => {
                complain(format!("the logo {} is not printed: {why}", path.display()));
                say("The sheet is made without its logo.");
                None
            }
        }
    }
}

/// Where a logo lies whose path is written in a job: as it stands if it begins at
/// the root, else in the first of the folders that has it.
fn find(named: &str, folders: &[&Path]) -> PathBuf {
    let named = Path::new(named.trim());
    let tried = folders.iter().map(|folder| folder.join(named));
    let found = tried.into_iter().find(|path| path.is_file());
    found.unwrap_or_else(|| named.to_owned())
}

/// Longer files are no logos; reading stops there.
const MOST_BYTES: u64 = (1 << 20) + 1;

fn read(path: &Path) -> Result<Logo, String> {
    use std::io::Read;

    let file = std::fs::File::open(path).map_err(|e| io_words(&e))?;
    let mut bytes = Vec::new();
    file.take(MOST_BYTES)
        .read_to_end(&mut bytes)
        .map_err(|e| io_words(&e))?;
    Logo::read(&bytes).map_err(|e| e.to_string())
}
