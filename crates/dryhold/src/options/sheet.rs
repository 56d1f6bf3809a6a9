//! What may be chosen about the sheet on the command line, and its logo.

use std::path::{Path, PathBuf};

use console::{complain, say};
use plain_file::Links;
use report::Logo;
use run_review::{logo_in_run, read_logo};
use vacuum::{Paper, SheetChoices, SheetField};

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
    /// Leaves out technician, licence, shop, logo, typed remarks, customer, site and photo
    #[arg(long)]
    no_personal_data: bool,
}

pub(crate) fn paper(text: &str) -> Result<Paper, String> {
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

    /// Reads the logo: the one named here, else the file of the run folder that the job
    /// names. One that cannot be printed is said, and the sheet is made without it.
    pub(crate) fn logo(&self, choices: &SheetChoices, run: Option<&Path>) -> Option<Logo> {
        if !choices.prints(SheetField::Logo) {
            return None;
        }
        let (shown, logo) = match &self.logo {
            Some(path) => (path.display().to_string(), read_logo(path, Links::Follow)),
            None => {
                let named = choices.logo.as_deref()?;
                (named.trim().to_owned(), logo_in_run(named, run?))
            }
        };
        logo.map_err(|why| {
            complain(format!("the logo {shown} is not printed: {why}"));
            say("The sheet is made without its logo.");
        })
        .ok()
    }
}
