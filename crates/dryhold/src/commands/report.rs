//! `dryhold report`: writes the curve, the sheet and the findings.

use std::path::PathBuf;

use clap::Args;
use console::say;
use custody::Renewal;
use run_review::{Draw, Record};

use crate::{
    options::{
        import::ImportArguments, judging::JudgingArguments, key::KeyOptions,
        pressure_test::TestArguments, sheet::SheetOptions, voice::VoiceArguments,
    },
    outcome::{Failure, Outcome},
    products::make_products,
};

#[derive(Debug, Args)]
pub(crate) struct ReportArguments {
    /// Run folder, zip archive of one, trace file or CSV file
    pub(crate) path: PathBuf,
    /// Where the pictures go; the run folder itself when not given
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Another run of the same job to take into sheet.pdf and sheet.html, on pages of its
    /// own: a pressure test beside the evacuation; may be given again
    #[arg(long, value_name = "RUN")]
    pub(crate) with: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) choice: KeyOptions,
    #[command(flatten)]
    pub(crate) sheet: SheetOptions,
    #[command(flatten)]
    pub(crate) voice: VoiceArguments,
    #[command(flatten)]
    pub(crate) import: ImportArguments,
    #[command(flatten)]
    pub(crate) judging: JudgingArguments,
    #[command(flatten)]
    pub(crate) test: TestArguments,
}

/// Draws one record.
pub(crate) fn run(arguments: &ReportArguments) -> Result<Outcome, Failure> {
    let import = arguments.test.import(&arguments.import)?;
    let record = Record::open(&arguments.path, &import)?;
    let zone = arguments.voice.zone();
    let mut judged = arguments
        .test
        .judge(record, &arguments.judging, Draw::Yes, zone)?;
    judged.take_rig_off(&JudgingArguments::ADVICE);
    let with = Record::drawn_as_recorded(&arguments.with, &JudgingArguments::ADVICE)?;
    let spoken = arguments.voice.choices(judged.started_utc());
    let out = arguments.out.clone();
    let out = out.unwrap_or_else(|| judged.origin().products_folder());
    let renewal = Renewal::prepare(&arguments.path, &out, &arguments.choice.choice())?;
    let key = renewal.as_ref().map(Renewal::key);
    let made = make_products((&judged, &with), &out, &spoken, &arguments.sheet, key)?;
    for path in made.paths() {
        say(path.display());
    }
    // what was made counts, even where not all of it could be
    if let Some(why) = made.unsealed {
        return Err(why.into());
    }
    if renewal.is_some() {
        say("The seal of the run covers them now; what it says of the record is as before.");
    }
    match made.failure {
        Some(failure) => Err(failure.into()),
        None => Ok(Outcome::Done),
    }
}
