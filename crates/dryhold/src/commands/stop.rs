//! `dryhold stop`: ends a recording that goes on, by name, and says what was found.

use clap::Args;
use console::{say, say_lines};
use run_record::ImportOptions;
use run_review::{Draw, Record};
use wording::Voice;

use crate::{
    options::judging::JudgingArguments,
    outcome::{Failure, Outcome},
};

#[derive(Debug, Args)]
pub(crate) struct StopArguments {
    /// Name of the run, a part of it, or its folder; not needed where only one goes on
    name: Option<String>,
}

/// Ends it as Ctrl-C at its own terminal does: it is sealed, judged and drawn.
pub(crate) fn run(arguments: &StopArguments) -> Result<Outcome, Failure> {
    let run = live_runs::find(arguments.name.as_deref()).map_err(Failure::other)?;
    say(format!("Stopping {}.", run.name));
    live_runs::stop(&run).map_err(Failure::other)?;
    let record = Record::open(&run.folder, &ImportOptions::default())?;
    let mut judged = record.judge_as_recorded(Draw::No, &JudgingArguments::ADVICE)?;
    judged.take_rig_off(&JudgingArguments::ADVICE);
    say_lines(judged.lines(&Voice::default()));
    say(format!("Curve and sheet are in {}", run.folder.display()));
    Ok(Outcome::Done)
}
