//! What is asked of an appliance as options of a command line, and the answer to them.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Arg, ArgMatches, Args, Command, FromArgMatches};
use whole_file::Put;

use crate::{
    draft::Draft,
    error::FormError,
    fields::FIELDS,
    file::{of_file, read, text_of},
    json::json,
    rehearsals::{REHEARSALS, rehearsal},
    words::lines,
};

/// Word that lists the rehearsals.
const LIST: &str = "list";

/// What was given on a command line.
#[derive(Debug, Args)]
pub struct FaultOptions {
    /// File with what was seen (TOML, keys as the options below); options go before it
    #[arg(value_name = "FILE", conflicts_with = "rehearse")]
    file: Option<PathBuf>,
    /// Plays an invented appliance with a known fault; `list` names them
    #[arg(long, value_name = "NAME")]
    rehearse: Option<String>,
    /// Keeps the answers in a file, for `review RUN --fault FILE` after the hold
    #[arg(long, value_name = "FILE")]
    save: Option<PathBuf>,
    /// Prints one JSON object
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    said: Said,
}

/// What was said by options: one for each field.
#[derive(Debug)]
struct Said(Vec<(&'static str, String)>);

impl Args for Said {
    fn augment_args(command: Command) -> Command {
        let command = command.next_help_heading("What was seen");
        FIELDS.iter().filter(|f| f.option).fold(command, |c, f| {
            let option = Arg::new(f.key).long(f.key).value_name(f.value);
            c.arg(option.help(f.question).allow_hyphen_values(true))
        })
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for Said {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let options = FIELDS.iter().filter(|f| f.option);
        let given =
            options.filter_map(|f| Some((f.key, matches.get_one::<String>(f.key)?.clone())));
        Ok(Self(given.collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// Weighs what was given and says it, line by line; where nothing was given, `ask` may ask
/// a person. Keeps the answers in a new file where that was wanted.
///
/// # Errors
/// As [`Draft::take`] and [`Draft::finish`]; [`FormError::File`] for a file that cannot be
/// read or made.
pub fn answer(
    options: &FaultOptions,
    today: NaiveDate,
    ask: impl FnOnce(&mut Draft) -> Result<(), FormError>,
) -> Result<Vec<String>, FormError> {
    if options.rehearse.as_deref() == Some(LIST) {
        return Ok(REHEARSALS.map(|r| r.name.to_owned()).into());
    }
    let mut draft = match (&options.rehearse, &options.file) {
        (Some(name), _) => rehearsal(name)?,
        (None, Some(path)) => read(path)?,
        (None, None) => Draft::default(),
    };
    for (key, answer) in &options.said.0 {
        draft.take(key, answer)?;
    }
    if draft.is_empty() {
        ask(&mut draft)?;
    }
    let case = draft.finish(today)?;
    if let Some(file) = &options.save {
        // the day counts when the file is read after the hold
        if draft.get("seen-on").is_none() {
            draft.take("seen-on", &today.to_string())?;
        }
        whole_file::write(file, text_of(&draft).as_bytes(), Put::New)
            .map_err(|e| of_file(file, &e))?;
    }
    Ok(match options.json {
        true => vec![json(&case)],
        false => lines(&case),
    })
}
