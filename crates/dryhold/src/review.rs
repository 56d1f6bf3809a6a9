//! `dryhold review`: judges records; the worst one decides the exit status.
//!
//! Several records are judged at once, on all cores. What is printed is what would be
//! printed one after the other, to the byte.

use std::path::Path;

use run_record::ImportOptions;
use wording::Voice;

use crate::{
    arguments::ReviewArguments,
    in_order::{all_cores, in_order},
    judged::{self, Draw, Judged},
    outcome::{Failure, Outcome, complain},
    output::say_lines,
};

/// Reviews every path; one that cannot be read is reported, the rest go on.
pub(crate) fn run(arguments: &ReviewArguments) -> Outcome {
    let import = match arguments.import.options() {
        Ok(options) => options,
        Err(failure) => {
            complain(&failure);
            return failure.outcome();
        }
    };
    let paths = &arguments.paths;
    let mut worst = Outcome::Done;
    in_order(
        paths.len(),
        all_cores(),
        |i| review(&paths[i], i > 0, &import, arguments),
        |reviewed| {
            let outcome = match reviewed {
                Ok((words, outcome)) => {
                    say_lines(words);
                    outcome
                }
                Err(failure) => {
                    complain(&failure);
                    failure.outcome()
                }
            };
            worst = worst.worse(outcome);
        },
    );
    worst
}

/// The lines that are printed of one record; `later` when it is not the first.
fn review(
    path: &Path,
    later: bool,
    import: &ImportOptions,
    arguments: &ReviewArguments,
) -> Result<(Vec<String>, Outcome), Failure> {
    let judged = judged::judge(path, import, &arguments.judging, Draw::No)?;
    let outcome = Outcome::of(judged.findings.verdict);
    if arguments.json {
        let json = report::findings_json(&judged.findings, &judged.source);
        return Ok((vec![json], outcome));
    }
    let chosen = arguments.voice.choices(judged.started_utc.as_deref());
    let mut lines = lines(&judged, &Voice::from(&chosen));
    if later {
        lines.insert(0, String::new());
    }
    Ok((lines, outcome))
}

/// The review as a technician reads it. What the reader says of a record stays in
/// English, named in the language of the review.
pub(crate) fn lines(judged: &Judged, voice: &Voice) -> Vec<String> {
    let mut lines = vec![format!("{}:", judged.source)];
    let mut add = |line: &str| lines.push(format!("  {line}"));
    for note in &judged.findings.data.notes {
        add(&wording::note_line(voice, note));
    }
    for line in wording::summary_lines(voice, &judged.findings) {
        add(&line);
    }
    if let Some(torn) = &judged.summary.torn_tail {
        add(&wording::record_note(voice, &torn.to_string()));
    }
    for line in wording::left_out_lines(voice, &judged.findings) {
        add(&wording::left_out_note(voice, &line));
    }
    lines
}
