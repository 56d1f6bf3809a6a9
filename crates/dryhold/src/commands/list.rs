//! `dryhold list`: finds runs by date, job and verdict.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;
use console::{complain, say};
use custody::own_public_keys;
use desk::{Listed, RowKind, Wanted, closing_words, listed, run_table, walk};
use run_review::{all_cores, in_order};

use crate::{
    options::judging::JudgingArguments,
    outcome::{Failure, Outcome},
};

/// Columns where the output is no terminal: a program or file gets whole paths.
const NO_END: usize = 10_000;

#[derive(Debug, Args)]
pub(crate) struct ListArguments {
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

/// Prints the table, or the objects.
pub(crate) fn run(arguments: &ListArguments) -> Result<Outcome, Failure> {
    if let Some(folder) = arguments.folders.iter().find(|folder| !folder.is_dir()) {
        return Err(Failure::usage(format!(
            "{} is no folder; give the folder with your runs",
            folder.display()
        )));
    }
    let mut folders = Vec::new();
    for thing in walk(&arguments.folders) {
        match (thing.unreadable, thing.kind) {
            (Some(why), _) => complain(format!("{}: {why}", thing.path.display())),
            (None, RowKind::Run) => folders.push(thing.path),
            (None, RowKind::Packed | RowKind::Table) => {}
        }
    }
    folders.sort();
    let own_keys = own_public_keys();
    let wanted = Wanted {
        since: arguments.since,
        until: arguments.until,
        job: arguments.job.clone(),
        verdict: arguments.verdict.as_ref().map(|v| v.replace('-', "_")),
    };
    let mut all: Vec<Listed> = Vec::new();
    in_order(
        folders.len(),
        all_cores(),
        |i| listed(&folders[i], &wanted, &own_keys, &JudgingArguments::ADVICE),
        |(listed, unreadable)| {
            unreadable.iter().for_each(complain);
            all.extend(listed);
        },
    );
    all.sort_by(|a, b| b.started.cmp(&a.started).then_with(|| b.path.cmp(&a.path)));
    if arguments.json {
        for run in &all {
            say(serde_json::to_string(run).map_err(Failure::other)?);
        }
        return Ok(Outcome::Done);
    }
    let columns = terminal_size::terminal_size().map_or(NO_END, |(w, _)| w.0.into());
    run_table(&all, columns).iter().for_each(say);
    say(closing_words(&all, folders.len()));
    Ok(Outcome::Done)
}
