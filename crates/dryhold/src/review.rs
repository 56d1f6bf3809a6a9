//! `dryhold review`: judges records; the worst one decides the exit status.

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
                    print_lines(&judged);
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

/// The review as a technician reads it.
pub(crate) fn print_lines(judged: &Judged) {
    say(format!("{}:", judged.source));
    for note in &judged.summary.notes {
        say(format!("  note: {note}"));
    }
    for line in report::summary_lines(&judged.findings) {
        say(format!("  {line}"));
    }
    if let Some(torn) = &judged.summary.torn_tail {
        say(format!("  record: {torn}"));
    }
    for line in report::left_out_lines(&judged.findings) {
        say(format!("  left out: {line}"));
    }
}
