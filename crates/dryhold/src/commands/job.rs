//! `dryhold job`: asks for the data of a job, remembers those of the shop.

use std::{
    io,
    path::{Path, PathBuf},
};

use chrono::Local;
use clap::{Args, Subcommand};
use console::{Left, complain, say, say_lines};
use job_form::{Dialogue, Document, before_start, document, listed, memory};
use run_record::JobFile;
use whole_file::Put;

use crate::{
    outcome::{Failure, Outcome},
    person::person,
};

#[derive(Debug, Args)]
pub(crate) struct JobArguments {
    #[command(subcommand)]
    command: JobCommand,
}

#[derive(Debug, Subcommand)]
enum JobCommand {
    /// Asks for the data of a job and writes a job file
    New {
        /// Where it goes
        #[arg(default_value = "job.toml")]
        file: PathBuf,
        /// Writes it instead of one that is there
        #[arg(long)]
        overwrite: bool,
    },
    /// Shows the answers of a job file and changes those that are named, for instance to add
    /// what was charged
    Edit {
        /// The job file
        #[arg(default_value = "job.toml")]
        file: PathBuf,
    },
    /// Shows what is remembered of the shop, its people and tools
    Shop {
        /// Goes through it, question by question
        #[arg(long)]
        edit: bool,
    },
    /// Writes a job file with every field explained; without FILE it is printed
    Template {
        /// Where it goes
        file: Option<PathBuf>,
        /// Writes it instead of one that is there
        #[arg(long)]
        overwrite: bool,
    },
}

const HOW: &str = "\
One question a line. Enter leaves it out, or keeps what stands in brackets;
? explains, - clears, < goes back to the question before. At the end all answers
are shown and can be changed. Ctrl-C or Ctrl-D leaves, and nothing is written.
";

/// Runs what was asked for.
pub(crate) fn run(arguments: &JobArguments) -> Result<Outcome, Failure> {
    match &arguments.command {
        JobCommand::New { file, overwrite } => new(file, *overwrite),
        JobCommand::Edit { file } => edit(file),
        JobCommand::Shop { edit } => shop(*edit),
        JobCommand::Template { file: None, .. } => {
            say_lines(document::template().trim_end().lines());
            Ok(Outcome::Done)
        }
        JobCommand::Template {
            file: Some(file),
            overwrite,
        } => {
            refuse_existing(file, *overwrite)?;
            let text = document::template();
            whole_file::write(file, text.as_bytes(), put(*overwrite))
                .map_err(|e| cannot(file, &e))?;
            say(format!("Written: {}", file.display()));
            Ok(Outcome::Done)
        }
    }
}

fn put(overwrite: bool) -> Put {
    if overwrite { Put::Instead } else { Put::New }
}

fn cannot(path: &Path, e: &io::Error) -> Failure {
    let what = match e.kind() {
        io::ErrorKind::AlreadyExists => "is there already: give another name, or --overwrite",
        io::ErrorKind::NotFound => "cannot be written, its folder is not there",
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "cannot be written, the folder does not let you: give a place of your own"
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "cannot be written, the disk is full"
        }
        _ => {
            let why = plain_file::io_words(e);
            return Failure::other(format!("{} cannot be written: {why}", path.display()));
        }
    };
    Failure::other(format!("{} {what}", path.display()))
}

/// Said before the questions, not behind them.
fn refuse_existing(file: &Path, overwrite: bool) -> Result<(), Failure> {
    if file.is_dir() {
        return Err(Failure::usage(format!(
            "{} is a folder: give the name of a file in it",
            file.display()
        )));
    }
    if !overwrite && file.symlink_metadata().is_ok() {
        return Err(Failure::usage(format!(
            "{} is there already: give another name, or --overwrite; dryhold job edit changes \
             it",
            file.display()
        )));
    }
    whole_file::try_folder(file).map_err(|e| cannot(file, &e))
}

fn dialogue() -> Dialogue<io::Stderr> {
    let mut dialogue = Dialogue::new(person(), Local::now().date_naive());
    HOW.lines().for_each(|line| dialogue.say(line));
    dialogue.say("");
    dialogue
}

fn left(what: &str) -> impl FnOnce(Left) -> Failure {
    move |Left| Failure::other(format!("left before the end: {what}"))
}

fn new(file: &Path, overwrite: bool) -> Result<Outcome, Failure> {
    refuse_existing(file, overwrite)?;
    let memory = Memory::open();
    let mut dialogue = dialogue();
    let mut document = Document::default();
    let nothing = || left("nothing was written");
    dialogue.each_job(&mut document).map_err(nothing())?;
    let mut shop = memory.shop.clone();
    if shop == Document::default() {
        dialogue.say("");
        dialogue.say("Now the shop and its tools. This is remembered for the next job.");
        dialogue.shop(&mut shop).map_err(nothing())?;
    } else {
        dialogue.offer_shop(&mut shop).map_err(nothing())?;
    }
    dialogue
        .review(&mut document, &mut shop)
        .map_err(nothing())?;
    write(file, &document.with_shop(&shop), put(overwrite))?;
    if let Err(why) = memory.keep(&shop) {
        complain(why);
    }
    say("Before you start:");
    say_lines(before_start().iter().map(String::as_str));
    let shown = file.display();
    say(format!(
        "Next: dryhold log --port PORT --dialect DIALECT --job {shown}"
    ));
    Ok(Outcome::Done)
}

/// Writes a job file; answers that cannot be written are printed.
fn write(file: &Path, document: &Document, put: Put) -> Result<(), Failure> {
    let text = &document.to_toml();
    // what was asked has been checked; this is for what nobody thought of
    let written = JobFile::from_bytes(file, text.as_bytes())
        .map_err(Failure::from)
        .and_then(|_| whole_file::write(file, text.as_bytes(), put).map_err(|e| cannot(file, &e)));
    if let Err(why) = written {
        complain("what you answered follows, so that it is not lost:");
        say_lines(text.trim_end().lines());
        return Err(why);
    }
    say(format!("Written: {}", file.display()));
    Ok(())
}

/// Goes through the answers of a file that is there; only what is changed becomes another.
fn edit(file: &Path) -> Result<Outcome, Failure> {
    let mut job = document::to_edit(file)?;
    let mut shop = job.shop();
    dialogue()
        .review(&mut job, &mut shop)
        .map_err(left("the file stays as it was"))?;
    write(file, &job.with_edited_shop(&shop), Put::Instead)?;
    Ok(Outcome::Done)
}

/// What was remembered, and where to keep what is new.
struct Memory {
    /// `None` when it cannot be used; then nothing there is touched.
    path: Option<PathBuf>,
    shop: Document,
}

impl Memory {
    fn open() -> Self {
        let opened = memory::path().and_then(|path| Ok((memory::load(&path)?, path)));
        match opened {
            Ok((shop, path)) => Self {
                path: Some(path),
                shop,
            },
            Err(why) => {
                complain(why);
                let shop = Document::default();
                Self { path: None, shop }
            }
        }
    }

    /// Keeps what has changed.
    fn keep(&self, shop: &Document) -> Result<(), Failure> {
        let Some(path) = self.path.as_ref().filter(|_| *shop != self.shop) else {
            return Ok(());
        };
        memory::save(path, shop).map_err(|e| {
            Failure::other(format!(
                "{} cannot be written, so the shop is not remembered: {e}",
                path.display()
            ))
        })?;
        say(format!("Remembered for next time: {}", path.display()));
        Ok(())
    }
}

fn shop(edit: bool) -> Result<Outcome, Failure> {
    let path = memory::path()?;
    let mut shop = memory::load(&path)?;
    if edit {
        let memory = Memory {
            path: Some(path),
            shop: shop.clone(),
        };
        dialogue()
            .shop(&mut shop)
            .map_err(left("what is remembered stays as it was"))?;
        memory.keep(&shop)?;
        return Ok(Outcome::Done);
    }
    let lines = listed(&shop, Local::now().date_naive());
    if lines.is_empty() {
        say(
            "Nothing is remembered yet: \"dryhold job shop --edit\" or \"dryhold job new\" asks for it.",
        );
        return Ok(Outcome::Done);
    }
    lines.iter().for_each(say);
    say(format!("Kept in {}", path.display()));
    say("To change it: dryhold job shop --edit");
    Ok(Outcome::Done)
}
