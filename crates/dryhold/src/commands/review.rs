//! `dryhold review`: judges records; the worst one decides the exit status.
//!
//! Several records are judged at once, on all cores. What is printed is what would be
//! printed one after the other, to the byte.

use std::path::{Path, PathBuf};

use clap::Args;
use console::{complain, say_lines};
use run_record::ImportOptions;
use run_review::{Draw, Record, all_cores, in_order};
use wording::Voice;

use crate::{
    options::{
        import::ImportArguments, judging::JudgingArguments, pressure_test::TestArguments,
        voice::VoiceArguments,
    },
    outcome::{Failure, Outcome},
};

#[derive(Debug, Args)]
pub(crate) struct ReviewArguments {
    /// Run folders, zip archives of them, trace files, CSV files
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    /// Prints one JSON object per PATH
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) voice: VoiceArguments,
    #[command(flatten)]
    pub(crate) import: ImportArguments,
    #[command(flatten)]
    pub(crate) judging: JudgingArguments,
    #[command(flatten)]
    pub(crate) test: TestArguments,
}

/// Reviews every path; one that cannot be read is reported, the rest go on.
pub(crate) fn run(arguments: &ReviewArguments) -> Outcome {
    let import = match arguments.test.import(&arguments.import) {
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
    let record = Record::open(path, import)?;
    let zone = arguments.voice.zone();
    let mut judged = arguments
        .test
        .judge(record, &arguments.judging, Draw::No, zone)?;
    judged.take_rig_off(&JudgingArguments::ADVICE);
    let outcome = Outcome::of(judged.verdict());
    if arguments.json {
        return Ok((vec![judged.json()], outcome));
    }
    let chosen = arguments.voice.choices(judged.started_utc());
    let mut lines = judged.lines(&Voice::from(&chosen));
    if later {
        lines.insert(0, String::new());
    }
    Ok((lines, outcome))
}
