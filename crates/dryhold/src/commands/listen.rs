//! `dryhold listen PORT`: tries speeds and dialects and says what speaks there.

use std::{io, io::IsTerminal, path::PathBuf};

use clap::Args;
use gauge_finder::{FinderError, Search, find};
use sensor_reader::Address;
use vacuum::PressureUnit;

use crate::{
    outcome::{Failure, Outcome},
    person::person,
    recording::runtime,
};

#[derive(Debug, Args)]
pub(crate) struct ListenArguments {
    /// Serial port, for instance /dev/ttyUSB0; also tcp://HOST:PORT or file:CAPTURE
    pub(crate) port: String,
    /// Writes what was recognised or proposed as a dialect file
    #[arg(long, value_name = "FILE")]
    pub(crate) keep: Option<PathBuf>,
    /// Tries only this speed, bit/s
    #[arg(long, value_name = "BITS", value_parser = clap::value_parser!(u32).range(1..=4_000_000))]
    pub(crate) baud: Option<u32>,
    /// If nothing is recognised by listening, sends a few queries that only read;
    /// without this nothing is sent
    #[arg(long)]
    pub(crate) ask: bool,
    /// Makes a dialect that reads this column of numbers as the pressure, counted from 1
    /// as listen shows them
    #[arg(long, value_name = "N")]
    pub(crate) pressure_column: Option<usize>,
    /// Unit of the pressure where the gauge sends none: micron, Torr, Pa, kPa, mbar,
    /// "bar abs", "inHg abs", psia
    #[arg(long, value_name = "UNIT", value_parser = unit)]
    pub(crate) pressure_unit: Option<PressureUnit>,
    /// The gauge is open to the air now: what it reads is held against that
    #[arg(long)]
    pub(crate) open_to_air: bool,
}

fn unit(text: &str) -> Result<PressureUnit, String> {
    foreign_csv::parse_pressure_unit(text).map_err(|e| e.to_string())
}

/// Listens; sends nothing to the gauge unless told to ask.
pub(crate) fn run(arguments: &ListenArguments) -> Result<Outcome, Failure> {
    let search = Search {
        baud: arguments.baud,
        ask: arguments.ask,
        keep: arguments.keep.clone(),
        column: arguments.pressure_column,
        unit: arguments.pressure_unit,
        open_to_air: arguments.open_to_air,
        ..Search::at(Address::parse(&arguments.port).map_err(Failure::usage)?)
    };
    let is_there = io::stdin().is_terminal() && io::stderr().is_terminal();
    let mut person = is_there.then(person);
    let found = runtime()?.block_on(find(&search, person.as_mut()));
    found.map(|()| Outcome::Done).map_err(|e| match e {
        FinderError::Transport(e) => Failure::other(e),
        e if e.is_usage() => Failure::usage(e),
        e => Failure::other(e),
    })
}
