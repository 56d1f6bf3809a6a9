//! The command line: which commands there are. What each takes, it says itself.

use clap::{Parser, Subcommand};
use console::{complain_lines, harmless};

use crate::{
    commands::{
        charge::ChargeArguments, desk::DeskArguments, job::JobArguments, key::KeyArguments,
        list::ListArguments, listen::ListenArguments, log::LogArguments,
        rehearse::RehearseArguments, report::ReportArguments, review::ReviewArguments,
        rig::RigArguments, seal::SealArguments, show::ShowArguments, stop::StopArguments,
        verify::VerifyArguments,
    },
    outcome::Outcome,
};

/// Watches the evacuation of a repaired sealed system and judges the hold.
#[derive(Debug, Parser)]
#[command(name = "dryhold", version, about, after_help = CAUTIONS)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

const CAUTIONS: &str = "\
Licensed practice, the maker's instructions and local codes decide. Recover \
refrigerant, keep flames away from flammable ones, nitrogen only through a \
regulator, never energise a compressor under vacuum, protect eyes and hands.

Exit status: 0 done (review: pass), 10 review: fail, 11 review: not proven, \
12 verify: not as it was sealed, 2 usage, 1 any other error.";

/// Prints what the command line was refused for, or the help that was asked for.
pub(crate) fn say_refusal(refused: &clap::Error) -> Outcome {
    let outcome = match refused.use_stderr() {
        true => Outcome::Usage,
        false => Outcome::Done,
    };
    // a file name with a dash in front gets here too, whatever else is in it
    let harmful = |a: std::ffi::OsString| harmless(&a.to_string_lossy()) != a.to_string_lossy();
    match std::env::args_os().any(harmful) {
        true => complain_lines(&refused.render().to_string()),
        // in colours, where there are any
        false => drop(refused.print()),
    }
    outcome
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Plays an invented system and gauge through the whole job, no hardware needed
    Rehearse(RehearseArguments),
    /// Lists serial ports
    Ports,
    /// Tries speeds and dialects on a port and says what speaks there
    Listen(ListenArguments),
    /// Weighs what was seen before cutting in: leak, short charge, blockage or something else
    Fault(Box<fault_form::FaultOptions>),
    /// Asks for the data of a job, remembers those of the shop
    Job(JobArguments),
    /// Records a gauge until stopped
    Log(Box<LogArguments>),
    /// Judges run folders or any CSV with a time and a pressure column
    Review(ReviewArguments),
    /// Shows a recording that goes on, or a finished run, on the whole screen
    Show(ShowArguments),
    /// Ends a recording that goes on, in the background or on another terminal
    Stop(StopArguments),
    /// Lists runs by date, job and verdict, the newest first
    List(ListArguments),
    /// Makes one table of many records: seals checked, judged anew, with what to look at
    Desk(Box<DeskArguments>),
    /// Tells what the records say of your pumps, hose sets and gauges, and notes on them
    Rig(Box<RigArguments>),
    /// Says what to weigh out so that the nameplate charge ends in the system
    Charge(Box<ChargeArguments>),
    /// Draws the curve and the sheet
    Report(ReportArguments),
    /// Checks that nobody touched a record, with nothing but its folder
    Verify(VerifyArguments),
    /// Seals a run folder that has no seal yet, after a power cut for instance
    Seal(SealArguments),
    /// Shows the public key to hand to whoever checks your records; replaces, revokes or
    /// locks the private one
    Key(Box<KeyArguments>),
    /// Draws the picture on its input; not for people
    #[command(name = run_review::DRAW_PICTURE, hide = true)]
    DrawPicture,
}
