//! dryhold: watches the evacuation of a repaired sealed refrigeration system,
//! keeps the record, judges the hold, prints the sheet.
//!
//! `main` parses, runs and turns the outcome into an exit status; everything it
//! wires together lives in the libraries below.

mod arguments;
mod beside;
mod calm_line;
mod clock;
mod companions;
mod dates;
mod gauges;
mod headless;
mod in_order;
mod job;
mod judged;
mod key;
mod known_keys;
mod last_rows;
mod line_quality;
mod list;
mod listen;
mod log;
mod nudge;
mod option_advice;
mod outcome;
mod output;
mod page;
mod picture_process;
mod ports;
mod products;
mod ranges;
mod registers;
mod rehearse;
mod report_files;
mod resume;
mod review;
mod runs_below;
mod seal;
mod session;
mod sheet_options;
mod shop_logo;
mod stamp;
mod stop;
mod time;
mod tls;
mod verify;
mod view;
mod voice_options;
mod watch;

use std::process::ExitCode;

use clap::Parser;

use arguments::{Arguments, Command};
use outcome::{Failure, Outcome};

fn main() -> ExitCode {
    let ended = match Arguments::try_parse() {
        Ok(arguments) => run(arguments.command).unwrap_or_else(|failure| {
            output::complain(&failure);
            failure.outcome()
        }),
        Err(refused) => arguments::say_refusal(&refused),
    };
    output::finish();
    view::terminal::give_back_settings();
    ended.exit_code()
}

fn run(command: Command) -> Result<Outcome, Failure> {
    match command {
        Command::Rehearse(a) => rehearse::run(&a),
        Command::Ports => ports::run(),
        Command::Listen(a) => listen::run(&a),
        Command::Job(a) => job::run(&a),
        Command::Log(a) => log::run(&a),
        Command::Review(a) => Ok(review::run(&a)),
        Command::Show(a) => view::look_back::run(&a),
        Command::List(a) => list::run(&a),
        Command::Report(a) => report_files::run(&a),
        Command::Verify(a) => verify::run(&a),
        Command::Seal(a) => Ok(seal::run(&a)),
        Command::Key(a) => key::run(&a),
        Command::DrawPicture => Ok(picture_process::run()),
    }
}
