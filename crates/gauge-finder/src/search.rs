//! The way from a port to a dialect in a file.

use std::{io::Write, path::PathBuf, sync::Arc};

use console::{Questions, say, say_lines};
use sensor_reader::{
    Address, Dialect, PortSettings,
    listen::{Answer, COMMON_BAUDS, Candidate, Conclusion, Trial, hear_stream, longest, try_port},
    transport::{Transport, transport},
};
use vacuum::{PressureUnit, Sensed};
use whole_file::Put;

use crate::{
    air::doubt,
    asking::ask_all,
    choice::{by_options, by_person, column_lines, tell_proposal, which_unit},
    error::FinderError,
    layout::Layout,
    proposal::{Tried, dialect_text, try_out, with_unit},
    shown::heard_lines,
    wanted::Search,
};

/// Lines of what was heard that are shown.
const SHOWN_LINES: usize = 4;

/// Listens, and if need be asks; says what was heard; finds or makes a dialect, and keeps
/// it where that is wished. `person` is asked what only a person can know.
///
/// # Errors
/// [`FinderError`] when the gauge cannot be reached, nothing is heard, or nothing of it is
/// understood and nobody says what it means.
pub async fn find<W: Write>(
    search: &Search,
    mut person: Option<&mut Questions<W>>,
) -> Result<(), FinderError> {
    let best = hear(search).await?;
    let recognised = best.hearing.conclusion == Conclusion::Recognised;
    if search.ask && !recognised {
        if let Some(answer) = ask_all(&search.address, search.baud).await? {
            return keep_answer(search, &answer);
        }
        say("None of the queries found a gauge.");
    }
    if best.hearing.bytes == 0 {
        return Err(silence(search));
    }
    tell_heard(search, &best);
    match (&best.hearing.conclusion, best.hearing.candidates.first()) {
        (Conclusion::Recognised, Some(candidate)) if search.column.is_none() => {
            say(format!("Recognised{}.", search.at_settings(best.port)));
            tell_candidate(candidate);
            keep_candidate(search, &mut person, &best, candidate).await
        }
        (Conclusion::Unsure { why }, Some(candidate)) if search.column.is_none() => {
            say(format!("Not sure{}: {why}", search.at_settings(best.port)));
            tell_candidate(candidate);
            let own = match &mut person {
                Some(person) => person.yes_or_no(
                    "Choose the column and its unit yourself instead? (yes, no) [no]: ",
                )?,
                None => None,
            };
            match own {
                Some(true) => propose(search, &mut person, &best).await,
                _ => keep_candidate(search, &mut person, &best, candidate).await,
            }
        }
        _ => propose(search, &mut person, &best).await,
    }
}

async fn hear(search: &Search) -> Result<Trial, FinderError> {
    let Address::Serial(path) = &search.address else {
        let from_file = matches!(search.address, Address::File(_));
        say(match from_file {
            true => format!("Reading {} …", search.address),
            false => format!(
                "Listening to {}, sending nothing, for a few seconds …",
                search.address
            ),
        });
        let hearing = hear_stream(at(search, PortSettings::default())).await?;
        return Ok(Trial {
            port: PortSettings::default(),
            hearing,
        });
    };
    say(format!(
        "Listening on {}, sending nothing …",
        path.display()
    ));
    let only = search.baud.map(|baud| vec![baud]);
    let bauds = only.as_deref().unwrap_or(&COMMON_BAUDS);
    say(format!(
        "Trying {} {}, at most {:.0} s:",
        bauds.len(),
        if bauds.len() == 1 { "speed" } else { "speeds" },
        longest(bauds.len()).as_secs_f64().ceil()
    ));
    let heard = try_port(path, bauds, tell_trial).await?;
    heard.best().cloned().ok_or(FinderError::NothingTried)
}

fn at(search: &Search, port: PortSettings) -> Arc<dyn Transport> {
    transport(&search.address, port)
}

/// One line for what was heard at one speed.
fn tell_trial(trial: &Trial) {
    let hearing = &trial.hearing;
    let what = match hearing.candidates.first() {
        _ if hearing.bytes == 0 => "nothing".into(),
        best => format!(
            "{} bytes, {:.0} % of them text, {}",
            hearing.bytes,
            hearing.printable_share * 100.0,
            match best {
                Some(c) => format!(
                    "{:.0} % understood as {}",
                    c.explained_share * 100.0,
                    c.dialect.name()
                ),
                None => "none understood".into(),
            }
        ),
    };
    say(format!("  {:10} {what}", trial.port.to_string()));
}

/// The text or bytes that were heard, a few lines.
fn tell_heard(search: &Search, best: &Trial) {
    say(format!("Heard{}:", search.at_settings(best.port)));
    say_lines(
        heard_lines(&best.hearing.recent, SHOWN_LINES)
            .iter()
            .map(|line| format!("  {line}")),
    );
}

fn silence(search: &Search) -> FinderError {
    let (asked, address) = (search.ask, search.address.to_string());
    match search.address {
        Address::Serial(_) => FinderError::Silence { asked },
        Address::File(_) => FinderError::EmptyCapture { address },
        _ => FinderError::NetworkSilence { address, asked },
    }
}

fn keep_answer(search: &Search, answer: &Answer) -> Result<(), FinderError> {
    let port = search.at_settings(answer.question.port);
    match &answer.conclusion {
        Conclusion::Unsure { why } => say(format!("Not sure{port}: {why}")),
        _ => say(format!("Recognised{port} by asking.")),
    }
    tell_dialect(&answer.question.dialect);
    let all = answer.understood + answer.rejected;
    say(format!(
        "  answers  {} of {all} understood",
        answer.understood
    ));
    if let Some(sample) = &answer.example {
        tell_last(&sample.sensed);
    }
    keep(search, search.keep.clone(), &answer.to_toml())
}

fn tell_candidate(candidate: &Candidate) {
    tell_dialect(&candidate.dialect);
    say(format!(
        "  {:8} {} of {} understood",
        if candidate.binary { "frames" } else { "lines" },
        candidate.understood,
        candidate.lines
    ));
    tell_last(&candidate.example.sensed);
}

fn tell_dialect(dialect: &Dialect) {
    say(format!(
        "  dialect  {}: {}",
        dialect.name(),
        dialect.description()
    ));
    if let Some(unit) = dialect.fixed_unit() {
        say(format!(
            "  unit     {unit} is assumed, the gauge sends none: compare with its display"
        ));
    }
}

fn tell_last(sensed: &Sensed) {
    if let Sensed::Measured(p) = sensed {
        say(format!("  last     {p}"));
    }
}

/// Holds what a known dialect reads against the air outside, lets its unit be put right
/// where the gauge sends none, and keeps it.
async fn keep_candidate<W: Write>(
    search: &Search,
    person: &mut Option<&mut Questions<W>>,
    best: &Trial,
    candidate: &Candidate,
) -> Result<(), FinderError> {
    let text = candidate.to_toml(best.port);
    let assumed = candidate.assumed_unit;
    let pressure = match candidate.example.sensed {
        Sensed::Measured(p) => Some(p),
        _ => None,
    };
    let open = search.open_to_air.then_some(true);
    let shown_in = assumed.unwrap_or(PressureUnit::Micron);
    let number = pressure.map(|p| p.get(shown_in));
    let sent = number.map(short).unwrap_or_default();
    let doubted = number.and_then(|x| doubt(&sent, x, shown_in, open));
    let unit = match (assumed, &doubted, person.as_mut()) {
        (None, Some(doubt), _) if search.open_to_air => {
            say(format!("Caution: {doubt}."));
            None
        }
        (None, ..) => None,
        (Some(_), ..) if search.unit.is_some() => search.unit,
        (Some(unit), Some(_), Some(person)) => Some(which_unit(
            person,
            search,
            &sent,
            number.unwrap_or_default(),
            Some(unit),
        )?),
        (Some(_), Some(doubt), None) => {
            say(format!(
                "Caution: {doubt}. If the display shows another unit, give it with --pressure-unit."
            ));
            None
        }
        (Some(_), None, _) => None,
    };
    let Some(unit) = unit.filter(|unit| Some(*unit) != assumed) else {
        let path = where_to_keep(search, person)?;
        return keep(search, path, &text);
    };
    let text = with_unit(&text, unit);
    if let Some(number) = number
        && person.is_none()
        && let Some(doubt) = doubt(&sent, number, unit, open)
    {
        say(format!("Caution: {doubt}."));
    }
    try_and_keep(search, person, best.port, &text, unit).await
}

/// A number as a gauge may have sent it.
fn short(number: f64) -> String {
    let text = format!("{number:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Makes a dialect from the numbers in what was heard.
async fn propose<W: Write>(
    search: &Search,
    person: &mut Option<&mut Questions<W>>,
    best: &Trial,
) -> Result<(), FinderError> {
    let Some(layout) = Layout::of(&best.hearing.recent) else {
        return Err(FinderError::NotUnderstood {
            why: no_layout(search, best),
        });
    };
    say(format!(
        "Columns of numbers in {:.0} % of the lines:",
        layout.share * 100.0
    ));
    say_lines(column_lines(&layout));
    let choice = match (by_options(search, &layout)?, person.as_mut()) {
        (Some(choice), _) => choice,
        (None, Some(person)) => by_person(*person, search, &layout)?,
        (None, None) => {
            let baud = search.is_serial().then_some(best.port.baud);
            tell_proposal(search, &layout, baud);
            return Err(FinderError::NotUnderstood {
                why: "readable text, but no dialect here fits it".into(),
            });
        }
    };
    let text = dialect_text(&layout, choice.column, choice.unit, best.port);
    try_and_keep(search, person, best.port, &text, choice.unit).await
}

fn no_layout(search: &Search, best: &Trial) -> String {
    let why = match &best.hearing.conclusion {
        Conclusion::NotUnderstood { why } | Conclusion::Unsure { why } => why.clone(),
        _ => String::new(),
    };
    let garbled = best.hearing.printable_share < 0.7;
    match search.address {
        Address::Tcp { .. } if garbled => format!(
            "{why}. The speed is set in the serial server, on its own page, and must be that of \
             the gauge"
        ),
        _ if garbled => why,
        _ => format!("{why}; no column of numbers was found in the lines to propose one"),
    }
}

async fn try_and_keep<W: Write>(
    search: &Search,
    person: &mut Option<&mut Questions<W>>,
    port: PortSettings,
    text: &str,
    unit: PressureUnit,
) -> Result<(), FinderError> {
    say("Trying it on what comes next, for a few seconds:");
    let tried = try_out(at(search, port), text, unit).await??;
    tell_tried(&tried);
    let path = where_to_keep(search, person)?;
    keep(search, path, text)
}

fn tell_tried(tried: &Tried) {
    say_lines(tried.said.iter().map(|line| format!("  read     {line}")));
    let all = tried.understood + tried.rejected;
    say(match all {
        0 => "  nothing came meanwhile, so it is not tried".to_owned(),
        all => format!(
            "  {} of {all} lines understood: compare with the gauge's display",
            tried.understood
        ),
    });
}

/// The file to write, as given or as a person says; `None`: none.
fn where_to_keep<W: Write>(
    search: &Search,
    person: &mut Option<&mut Questions<W>>,
) -> Result<Option<PathBuf>, FinderError> {
    let (None, Some(person)) = (&search.keep, person.as_mut()) else {
        return Ok(search.keep.clone());
    };
    loop {
        let answer = person.line("Keep it as [my-gauge.toml], - for not at all: ")?;
        let path = match answer.as_str() {
            "-" => return Ok(None),
            "" => PathBuf::from("my-gauge.toml"),
            typed => PathBuf::from(typed),
        };
        if path.symlink_metadata().is_err() {
            return Ok(Some(path));
        }
        let prompt = format!(
            "{} is there already. Write over it? (yes, no) [no]: ",
            path.display()
        );
        if !path.is_dir() && person.yes_or_no(&prompt)? == Some(true) {
            return Ok(Some(path));
        }
    }
}

fn keep(search: &Search, path: Option<PathBuf>, text: &str) -> Result<(), FinderError> {
    let Some(path) = path else {
        say("Not kept: --keep FILE writes the dialect into a file.");
        return Ok(());
    };
    whole_file::write(&path, text.as_bytes(), Put::Instead).map_err(|e| FinderError::Write {
        path: path.clone(),
        why: plain_file::io_words(&e),
    })?;
    say(format!("  kept in  {}", path.display()));
    say(format!(
        "Next: dryhold log --port {} --dialect {}",
        search.address,
        path.display()
    ));
    Ok(())
}
