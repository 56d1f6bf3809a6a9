//! `dryhold show`: a finished run on the whole screen, forwards and backwards.

use std::path::PathBuf;

use clap::Args;
use run_record::Source;
use run_review::Draw;
use terminal_view::{
    Surroundings, ViewKind,
    look_back::{self, FinishedRun},
};

use crate::{
    options::{import::ImportArguments, judging::JudgingArguments},
    outcome::{Failure, Outcome},
};

#[derive(Debug, Args)]
pub(crate) struct ShowArguments {
    /// Run folder, trace file or CSV file
    path: PathBuf,
    #[command(flatten)]
    import: ImportArguments,
    #[command(flatten)]
    judging: JudgingArguments,
}

/// Shows a finished run until `q`.
pub(crate) fn run(arguments: &ShowArguments) -> Result<Outcome, Failure> {
    let (kind, _) = ViewKind::choose(None, ViewKind::Full, Surroundings::now());
    if kind != ViewKind::Full {
        return Err(Failure::usage(
            "show needs a terminal of at least 60 columns and 20 rows; dryhold review prints the \
             same in words, dryhold report draws it",
        ));
    }
    let import = arguments.import.options()?;
    let judged = arguments
        .judging
        .judge(&arguments.path, &import, Draw::Yes)?;
    let settings = arguments.judging.settings_for(judged.header.as_ref())?;
    let mut source = Source::open(&arguments.path, &import)?;
    let run = FinishedRun {
        path: arguments.path.clone(),
        started_utc: source.started_utc().map(|t| t.to_rfc3339()),
        job: judged.header.as_ref().map(|h| &h.job),
        settings,
        trace: &judged.trace,
        rows: judged.summary.rows,
    };
    let entries = std::iter::from_fn(move || source.next_entry().transpose());
    look_back::show(&run, entries).map_err(Failure::other)??;
    Ok(Outcome::Done)
}
