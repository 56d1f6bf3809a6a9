//! `dryhold charge`: what to weigh out so that the nameplate charge ends in the system.

use charge::work_out;
use charge_options::PlanOptions;
use clap::Args;
use console::{say, say_lines};
use wording::Voice;

use crate::{
    options::voice::VoiceArguments,
    outcome::{Failure, Outcome},
};

#[derive(Debug, Args)]
pub(crate) struct ChargeArguments {
    #[command(flatten)]
    plan: PlanOptions,
    /// Prints one JSON object
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    voice: VoiceArguments,
}

/// Prints what to weigh out, and the order of work.
pub(crate) fn run(arguments: &ChargeArguments) -> Result<Outcome, Failure> {
    let plan = arguments.plan.plan();
    let found = work_out(&plan).map_err(Failure::usage)?;
    if arguments.json {
        say(report::charge_json(&plan, &found));
        return Ok(Outcome::Done);
    }
    let voice = Voice::from(&arguments.voice.choices(None));
    say_lines(wording::charge_lines(&voice, &plan, &found));
    say_lines(wording::charging_order_lines(&voice, &plan, &found));
    Ok(Outcome::Done)
}
