//! `dryhold rig`: what the records say of pumps, hose sets and gauges, and notes on them.

use std::path::PathBuf;

use chrono::Utc;
use clap::{Args, Subcommand};
use console::{complain, say, say_lines};
use custody::NOTE;
use rig_history::{NextJob, Note, NoteKind, warnings};
use run_record::JobFile;
use run_review::RigRecords;
use vacuum::Paper;
use whole_file::Put;
use wording::Voice;

use crate::{
    made_by::MADE_BY,
    options::{judging::JudgingArguments, key::KeyOptions, sheet::paper, voice::VoiceArguments},
    outcome::{Failure, Outcome},
};

#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct RigArguments {
    #[command(subcommand)]
    act: Option<Act>,
    /// Folder with your runs
    #[arg(value_name = "FOLDER", default_value = "runs")]
    folder: PathBuf,
    /// Job file of the next job: its oil is compared with that of the last systems
    #[arg(long, value_name = "FILE")]
    job: Option<PathBuf>,
    /// Prints one JSON object
    #[arg(long)]
    json: bool,
    /// Writes a page for the wall of the workshop
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// The same as PDF
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    /// Paper of the PDF: a4 or letter
    #[arg(long, value_name = "PAPER", value_parser = paper, default_value = "a4")]
    paper: Paper,
    #[command(flatten)]
    voice: VoiceArguments,
}

#[derive(Debug, Subcommand)]
enum Act {
    /// Notes an oil change, a repair, a calibration or a remark, signed by your key
    Note(NoteArguments),
}

#[derive(Debug, Args)]
struct NoteArguments {
    /// The pump, hose set or gauge, as your jobs name it (a gauge by its serial number)
    name: String,
    /// oil-change, repair, calibration or remark
    #[arg(value_parser = option_ranges::note_kind)]
    kind: NoteKind,
    /// In your words
    text: Vec<String>,
    /// Folder with your runs
    #[arg(long, value_name = "FOLDER", default_value = "runs")]
    folder: PathBuf,
    #[command(flatten)]
    key: KeyOptions,
}

/// Prints the overview, or adds a note.
pub(crate) fn run(arguments: &RigArguments) -> Result<Outcome, Failure> {
    let (folder, to_note) = match &arguments.act {
        Some(Act::Note(to_note)) => (&to_note.folder, Some(to_note)),
        None => (&arguments.folder, None),
    };
    let shown = folder.display().to_string();
    if !folder.is_dir() {
        let what = format!("{shown} is no folder; give the folder with your runs");
        return Err(Failure::usage(what));
    }
    let now_s = Utc::now().timestamp() as f64;
    if let Some(given) = to_note {
        let note = Note::of(now_s, &given.name, given.kind, &given.text.join(" "));
        let key = given.key.choice().open(NOTE)?.key;
        rig_notes::add(folder, &note, Some(&key)).map_err(Failure::other)?;
        let (file, by) = (rig_notes::file_of(folder), key.public().fingerprint());
        say(format!(
            "Noted in {}, signed by the key {by}.",
            file.display()
        ));
        return Ok(Outcome::Done);
    }
    let next = match &arguments.job {
        Some(path) => NextJob::of(&JobFile::read(path)?.job),
        None => NextJob::default(),
    };
    let records = RigRecords::below(folder, &JudgingArguments::ADVICE);
    records.unread.iter().for_each(complain);
    let overview = records.overview();
    let todo = warnings(&overview, now_s, &next);
    let voice = Voice::from(&arguments.voice.choices(None));
    let written = |file: &PathBuf, page: &[u8]| {
        whole_file::write(file, page, Put::Instead)
            .map_err(|e| Failure::other(format!("{}: {e}", file.display())))
    };
    if let Some(file) = &arguments.html {
        let page = report::rig_html(&overview, &todo, &voice, (now_s, &shown));
        written(file, page.as_bytes())?;
    }
    if let Some(file) = &arguments.pdf {
        let to = (&voice, arguments.paper);
        let page = report::rig_pdf(&overview, &todo, to, (now_s, &shown), MADE_BY);
        written(file, &page.map_err(Failure::other)?)?;
    }
    match arguments.json {
        true => say(report::rig_json(&overview, &todo, &shown, &records.unread)),
        false => say_lines(wording::rig_lines(&voice, &overview, &todo)),
    }
    Ok(Outcome::Done)
}
