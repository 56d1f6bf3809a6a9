//! `dryhold listen PORT`: tries speeds and dialects and says what speaks there.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
    time::{Duration, Instant},
};

use clap::Args;
use console::say;
use sensor_reader::{
    Dialect, PortSettings, Sample,
    listen::{
        Answer, COMMON_BAUDS, Candidate, Conclusion, Question, Trial, ask, longest, longest_asking,
        questions, try_port,
    },
    transport::{SerialTransport, Transport},
};
use vacuum::Sensed;
use whole_file::Put;

use crate::{
    outcome::{Failure, Outcome},
    recording::runtime,
};

#[derive(Debug, Args)]
pub(crate) struct ListenArguments {
    /// Serial port, for instance /dev/ttyUSB0
    pub(crate) port: PathBuf,
    /// Writes what was recognised as a dialect file
    #[arg(long, value_name = "FILE")]
    pub(crate) keep: Option<PathBuf>,
    /// Tries only this speed, bit/s
    #[arg(long, value_name = "BITS", value_parser = clap::value_parser!(u32).range(1..=4_000_000))]
    pub(crate) baud: Option<u32>,
    /// If nothing is recognised by listening, sends a few queries that only read;
    /// without this nothing is sent
    #[arg(long)]
    pub(crate) ask: bool,
}

/// For answers that are not understood, on top of the time for silence.
const LEEWAY: Duration = Duration::from_secs(12);
/// So long one gauge that answers is asked on, s.
const ONE_ANSWER_S: f64 = 8.0;

/// Listens; sends nothing to the gauge unless told to ask.
pub(crate) fn run(arguments: &ListenArguments) -> Result<Outcome, Failure> {
    runtime()?.block_on(find(arguments))
}

async fn find(arguments: &ListenArguments) -> Result<Outcome, Failure> {
    say(format!(
        "Listening on {}, sending nothing …",
        arguments.port.display()
    ));
    let only = arguments.baud.map(|baud| vec![baud]);
    let bauds = only.as_deref().unwrap_or(&COMMON_BAUDS);
    say(format!(
        "Trying {} {}, at most {:.0} s:",
        bauds.len(),
        if bauds.len() == 1 { "speed" } else { "speeds" },
        longest(bauds.len()).as_secs_f64().ceil()
    ));
    let heard = try_port(&arguments.port, bauds, tell_trial)
        .await
        .map_err(Failure::other)?;
    let Some(best) = heard.best() else {
        return Err(Failure::other("no speed was tried"));
    };
    let recognised = best.hearing.conclusion == Conclusion::Recognised;
    if arguments.ask && !recognised {
        if let Some(answer) = ask_all(arguments).await? {
            return keep_answer(arguments, &answer);
        }
        say("None of the queries found a gauge.");
    }
    keep_heard(arguments, best)
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

/// Says what will be sent, sends it, and gives the best answer that was
/// understood at all.
async fn ask_all(arguments: &ListenArguments) -> Result<Option<Answer>, Failure> {
    let list = questions(arguments.baud);
    say("Now asking. These queries only read; they are sent one after the other:");
    tell_questions(&list);
    let path: &Path = &arguments.port;
    let at = |port: PortSettings| Arc::new(SerialTransport::new(path, port)) as Arc<dyn Transport>;
    let mut unsure = None;
    let until = Instant::now() + longest_asking(list.len()) + LEEWAY;
    for question in &list {
        if Instant::now() >= until {
            say("  the time is up; the settings not tried yet are left out");
            break;
        }
        let answer = ask(at, question).await.map_err(Failure::other)?;
        match answer.conclusion {
            Conclusion::Recognised => return Ok(Some(answer)),
            Conclusion::Unsure { .. } if unsure.is_none() => unsure = Some(answer),
            _ => {}
        }
    }
    Ok(unsure)
}

/// What will be sent at which settings, a line per query, and how long it takes.
fn tell_questions(list: &[Question]) {
    let mut told: Vec<&str> = Vec::new();
    for question in list {
        let name = question.dialect.name();
        if told.contains(&name) {
            continue;
        }
        told.push(name);
        let settings: Vec<String> = list
            .iter()
            .filter(|q| q.dialect.name() == name)
            .map(|q| q.port.to_string())
            .collect();
        say(format!("  {} ({name})", question.sends()));
        say(format!("    at {}", settings.join(", ")));
    }
    let longest = longest_asking(list.len()) + LEEWAY;
    say(format!(
        "{} settings are tried, one query each, at most {:.0} s.",
        list.len(),
        longest.as_secs_f64().ceil() + ONE_ANSWER_S
    ));
}

fn keep_answer(arguments: &ListenArguments, answer: &Answer) -> Result<Outcome, Failure> {
    let port = answer.question.port;
    match &answer.conclusion {
        Conclusion::Unsure { why } => say(format!("Not sure at {port}: {why}")),
        _ => say(format!("Recognised at {port} by asking.")),
    }
    tell_dialect(&answer.question.dialect);
    let all = answer.understood + answer.rejected;
    say(format!(
        "  answers  {} of {all} understood",
        answer.understood
    ));
    if let Some(sample) = &answer.example {
        tell_last(sample);
    }
    keep(arguments, &answer.to_toml())
}

fn keep_heard(arguments: &ListenArguments, best: &Trial) -> Result<Outcome, Failure> {
    match &best.hearing.conclusion {
        Conclusion::Recognised => say(format!("Recognised at {}.", best.port)),
        Conclusion::Unsure { why } => say(format!("Not sure at {}: {why}", best.port)),
        Conclusion::NotUnderstood { why } => {
            return Err(Failure::other(format!(
                "something speaks, but not understandably: {why}"
            )));
        }
        _ => {
            return Err(Failure::other(if arguments.ask {
                "nothing was heard and nothing answered: the gauge may be off, on another port, or want a query of its own"
            } else {
                "nothing was heard: the gauge may be off, on another port, or wait to be asked (--ask sends a few queries that only read)"
            }));
        }
    }
    let Some(candidate) = best.hearing.candidates.first() else {
        return Ok(Outcome::Done);
    };
    tell_candidate(candidate);
    keep(arguments, &candidate.to_toml(best.port))
}

fn tell_candidate(candidate: &Candidate) {
    tell_dialect(&candidate.dialect);
    say(format!(
        "  {:8} {} of {} understood",
        if candidate.binary { "frames" } else { "lines" },
        candidate.understood,
        candidate.lines
    ));
    tell_last(&candidate.example);
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

fn tell_last(sample: &Sample) {
    if let Sensed::Measured(p) = sample.sensed {
        say(format!("  last     {p}"));
    }
}

fn keep(arguments: &ListenArguments, toml: &str) -> Result<Outcome, Failure> {
    if let Some(keep) = &arguments.keep {
        whole_file::write(keep, toml.as_bytes(), Put::Instead).map_err(|e| {
            let why = plain_file::io_words(&e);
            Failure::other(format!("{} cannot be written: {why}", keep.display()))
        })?;
        say(format!("  kept in  {}", keep.display()));
    }
    Ok(Outcome::Done)
}
