//! What is asked of a list of runs, and the runs that are in it.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;
use custody::own_public_keys;
use desk::{Listed, RowKind, Wanted, listed, walk};
use run_review::{Advice, all_cores, in_order};

use crate::error::DeskError;

/// Runs by date, job and verdict; to be flattened into the arguments of a command.
#[derive(Debug, Args)]
pub struct ListOptions {
    /// Run folders, or folders with runs in them
    #[arg(value_name = "DIR", default_value = "runs")]
    folders: Vec<PathBuf>,
    /// Only runs that began on this day or later, for instance 2026-03-14
    #[arg(long, value_name = "DAY")]
    since: Option<NaiveDate>,
    /// Only runs that began on this day or earlier
    #[arg(long, value_name = "DAY")]
    until: Option<NaiveDate>,
    /// Only runs whose job number holds this, whatever its case
    #[arg(long, value_name = "TEXT")]
    job: Option<String>,
    /// Only runs with this verdict
    #[arg(long, value_parser = VERDICTS)]
    verdict: Option<String>,
    /// Prints one JSON object per run
    #[arg(long)]
    json: bool,
}

/// Words of a verdict; the last is another way to write the one before.
const VERDICTS: [&str; 4] = ["pass", "fail", "not_proven", "not-proven"];

impl ListOptions {
    /// True where JSON is to be printed instead of the table.
    #[must_use]
    pub fn json(&self) -> bool {
        self.json
    }

    /// The runs that are asked for, the newest first, and how many were looked at; what could
    /// not be read is told to `complain`.
    ///
    /// # Errors
    /// When what was given is no folder.
    pub fn runs(
        &self,
        advice: Advice,
        complain: impl Fn(&str),
    ) -> Result<(Vec<Listed>, usize), DeskError> {
        if let Some(folder) = self.folders.iter().find(|folder| !folder.is_dir()) {
            return Err(DeskError::Usage(format!(
                "{} is no folder; give the folder with your runs",
                folder.display()
            )));
        }
        let mut folders = Vec::new();
        for thing in walk(&self.folders) {
            match (thing.unreadable, thing.kind) {
                (Some(why), _) => complain(&format!("{}: {why}", thing.path.display())),
                (None, RowKind::Run) => folders.push(thing.path),
                (None, RowKind::Packed | RowKind::Table) => {}
            }
        }
        folders.sort();
        let own_keys = own_public_keys();
        let wanted = Wanted {
            since: self.since,
            until: self.until,
            job: self.job.clone(),
            verdict: self.verdict.as_ref().map(|v| v.replace('-', "_")),
        };
        let mut all: Vec<Listed> = Vec::new();
        in_order(
            folders.len(),
            all_cores(),
            |i| {
                folders
                    .get(i)
                    .map(|f| listed(f, &wanted, &own_keys, &advice))
            },
            |found| {
                let (listed, unreadable) = found.unwrap_or_default();
                unreadable.iter().for_each(|why| complain(why));
                all.extend(listed);
            },
        );
        all.sort_by(|a, b| b.started.cmp(&a.started).then_with(|| b.path.cmp(&a.path)));
        Ok((all, folders.len()))
    }
}
