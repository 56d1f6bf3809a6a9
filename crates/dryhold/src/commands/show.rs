//! `dryhold show`: a recording that goes on, or a finished run, forwards and backwards, on
//! the whole screen.

use std::path::PathBuf;

use clap::Args;
use console::say;
use live_runs::{LiveError, LiveRun};
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
    /// Name of a recording that goes on, or run folder, trace file or CSV file [default:
    /// the recording that goes on]
    path: Option<PathBuf>,
    #[command(flatten)]
    import: ImportArguments,
    #[command(flatten)]
    judging: JudgingArguments,
}

/// Shows a recording until it ends or is left, a finished run until `q`.
pub(crate) fn run(arguments: &ShowArguments) -> Result<Outcome, Failure> {
    let (kind, _) = ViewKind::choose(None, ViewKind::Full, Surroundings::now());
    if kind != ViewKind::Full {
        return Err(Failure::usage(
            "show needs a terminal of at least 60 columns and 20 rows; dryhold review prints the \
             same in words, dryhold report draws it",
        ));
    }
    let Some(path) = &arguments.path else {
        return live(live_runs::find(None));
    };
    let name = path.to_string_lossy();
    match live_runs::find(Some(&name)) {
        // a file of that name is meant, unless it is the folder that is recorded into
        Ok(run) if !path.exists() || path.canonicalize().is_ok_and(|p| p == run.folder) => {
            return live(Ok(run));
        }
        Err(several @ LiveError::Several { .. }) if !path.exists() => return live(Err(several)),
        _ => {}
    }
    let import = arguments.import.options()?;
    let judged = arguments.judging.judge(path, &import, Draw::Yes)?;
    let mut settings = arguments
        .judging
        .settings_for(judged.origin.header.as_ref())?;
    settings.isolated_at_s = judged.isolated_at_s;
    let mut source = Source::open(judged.origin.on_disk().path(), &import)?;
    let run = FinishedRun {
        path: path.clone(),
        started_utc: source.started_utc().map(|t| t.to_rfc3339()),
        job: judged.origin.header.as_ref().map(|h| &h.job),
        settings,
        trace: &judged.trace,
        rows: judged.summary.rows,
    };
    let entries = std::iter::from_fn(move || source.next_entry().transpose());
    look_back::show(&run, entries).map_err(Failure::other)??;
    Ok(Outcome::Done)
}

/// Shows a recording that goes on.
fn live(found: Result<LiveRun, LiveError>) -> Result<Outcome, Failure> {
    let run = found.map_err(Failure::other)?;
    let folder = run.folder.display();
    match live_runs::look(&run).map_err(Failure::other)? {
        true => say(format!(
            "The recording goes on. To end it: dryhold stop {}",
            run.name
        )),
        false => say(format!("The recording has ended: dryhold review {folder}")),
    }
    Ok(Outcome::Done)
}
