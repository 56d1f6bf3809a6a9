//! `dryhold list`: finds runs by date, job and verdict.

use console::{complain, say};
use desk::{closing_words, run_table};
use desk_options::ListOptions;

use crate::{
    options::judging::JudgingArguments,
    outcome::{Failure, Outcome},
};

/// Columns where the output is no terminal: a program or file gets whole paths.
const NO_END: usize = 10_000;

/// Prints the table, or the objects.
pub(crate) fn run(options: &ListOptions) -> Result<Outcome, Failure> {
    let (all, looked_at) = options.runs(JudgingArguments::ADVICE, |why| complain(why))?;
    if options.json() {
        for run in &all {
            say(serde_json::to_string(run).map_err(Failure::other)?);
        }
        return Ok(Outcome::Done);
    }
    let columns = terminal_size::terminal_size().map_or(NO_END, |(w, _)| w.0.into());
    run_table(&all, columns).iter().for_each(say);
    say(closing_words(&all, looked_at));
    Ok(Outcome::Done)
}
