//! `dryhold report`: writes the curve, the sheet and the findings.

use std::path::{Path, PathBuf};

use clap::Args;
use console::say;
use custody::Renewal;
use run_review::Draw;

use crate::{
    options::{
        import::ImportArguments, judging::JudgingArguments, key::KeyOptions, sheet::SheetOptions,
        voice::VoiceArguments,
    },
    outcome::{Failure, Outcome},
    products::make_products,
};

#[derive(Debug, Args)]
pub(crate) struct ReportArguments {
    /// Run folder, trace file or CSV file
    pub(crate) path: PathBuf,
    /// Where the pictures go; the run folder itself when not given
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
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
}

/// Draws one record.
pub(crate) fn run(arguments: &ReportArguments) -> Result<Outcome, Failure> {
    let import = arguments.import.options()?;
    let judged = arguments
        .judging
        .judge(&arguments.path, &import, Draw::Yes)?;
    let spoken = arguments.voice.choices(judged.started_utc.as_deref());
    let out = match &arguments.out {
        Some(out) => out.clone(),
        None => default_folder(&arguments.path, judged.is_run),
    };
    let renewal = Renewal::prepare(&arguments.path, &out, &arguments.choice.choice())?;
    let key = renewal.as_ref().map(Renewal::key);
    let made = make_products(&judged, &out, &spoken, &arguments.sheet, key)?;
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

/// The run folder itself; for a foreign CSV a folder beside where we stand.
fn default_folder(path: &Path, is_run: bool) -> PathBuf {
    if is_run {
        if path.is_dir() {
            return path.to_owned();
        }
        return path.parent().map_or_else(PathBuf::new, Path::to_owned);
    }
    let stem = path
        .file_stem()
        .map_or_else(|| "record".into(), |s| s.to_string_lossy());
    PathBuf::from(format!("{stem}-report"))
}
