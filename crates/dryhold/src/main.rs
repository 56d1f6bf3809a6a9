//! dryhold: watches the evacuation of a repaired sealed refrigeration system,
//! keeps the record, judges the hold, prints the sheet.
//!
//! This is the command line only: `main` parses, runs and turns the outcome into an exit
//! status; each command wires the libraries below together. No command knows another.

mod cli;
mod commands;
mod made_by;
mod option_advice;
mod options;
mod outcome;
mod person;
mod products;
mod recording;

use std::process::ExitCode;

use clap::Parser;

use cli::{Arguments, Command};
use commands::{
    charge, desk, fault, job, key, list, listen, log, ports, rehearse, report, review, rig, seal,
    show, stop, verify,
};
use outcome::{Failure, Outcome};

fn main() -> ExitCode {
    let ended = match Arguments::try_parse() {
        Ok(arguments) => run(arguments.command).unwrap_or_else(|failure| {
            console::complain(&failure);
            failure.outcome()
        }),
        Err(refused) => cli::say_refusal(&refused),
    };
    console::finish();
    terminal_view::give_back_settings();
    ended.exit_code()
}

fn run(command: Command) -> Result<Outcome, Failure> {
    match command {
        Command::Rehearse(a) => rehearse::run(&a),
        Command::Ports => ports::run(),
        Command::Listen(a) => listen::run(&a),
        Command::Fault(a) => fault::run(&a),
        Command::Job(a) => job::run(&a),
        Command::Log(a) => log::run(&a),
        Command::Review(a) => Ok(review::run(&a)),
        Command::Show(a) => show::run(&a),
        Command::Stop(a) => stop::run(&a),
        Command::List(a) => list::run(&a),
        Command::Desk(a) => desk::run(&a),
        Command::Rig(a) => rig::run(&a),
        Command::Charge(a) => charge::run(&a),
        Command::Report(a) => report::run(&a),
        Command::Verify(a) => verify::run(&a),
        Command::Seal(a) => Ok(seal::run(&a)),
        Command::Key(a) => key::run(&a),
        Command::DrawPicture => run_review::answer_with_picture()
            .map(|()| Outcome::Done)
            .map_err(Failure::other),
    }
}
