//! `dryhold fault`: leak, short charge or something else, before the system is cut open.

use std::io::{IsTerminal, stdin};

use chrono::Local;
use console::say_lines;
use fault_form::{FaultOptions, FormError, answer, ask};

use crate::{
    outcome::{Failure, Outcome},
    person::person,
};

impl From<FormError> for Failure {
    fn from(error: FormError) -> Self {
        match error {
            FormError::File { .. } => Self::other(error),
            _ => Self::usage(error),
        }
    }
}

/// Weighs what was seen; asks for it where nothing was said and somebody is there.
pub(crate) fn run(options: &FaultOptions) -> Result<Outcome, Failure> {
    say_lines(answer(
        options,
        Local::now().date_naive(),
        |draft| match stdin().is_terminal() {
            true => ask(draft, &mut person()),
            false => Ok(()),
        },
    )?);
    Ok(Outcome::Done)
}
