//! `dryhold review`: judges records; the worst one decides the exit status.

use report::{Voice, wording};

use crate::{
    arguments::ReviewArguments,
    judged::{self, Draw, Judged},
    outcome::{Outcome, complain, say},
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
    let mut worst = Outcome::Done;
    for (i, path) in arguments.paths.iter().enumerate() {
        let outcome = match judged::judge(path, &import, &arguments.judging, Draw::No) {
            Ok(judged) => {
                if arguments.json {
                    say(report::findings_json(&judged.findings, &judged.source));
                } else {
                    if i > 0 {
                        say("");
                    }
                    let chosen = arguments.voice.choices(judged.started_utc.as_deref());
                    print_lines(&judged, &Voice::from(&chosen));
                }
                Outcome::of(judged.findings.verdict)
            }
            Err(failure) => {
                complain(&failure);
                failure.outcome()
            }
        };
        worst = worst.worse(outcome);
    }
    worst
}

/// The review as a technician reads it. What the reader says of a record stays in
/// English, named in the language of the review.
pub(crate) fn print_lines(judged: &Judged, voice: &Voice) {
    say(format!("{}:", judged.source));
    for note in &judged.summary.notes {
        say(format!("  {}", wording::note_line(voice, note)));
    }
    for line in report::summary_lines(voice, &judged.findings) {
        say(format!("  {line}"));
    }
    if let Some(torn) = &judged.summary.torn_tail {
        say(format!(
            "  {}",
            wording::record_note(voice, &torn.to_string())
        ));
    }
    for line in report::left_out_lines(voice, &judged.findings) {
        say(format!("  {}", wording::left_out_note(voice, &line)));
    }
}
