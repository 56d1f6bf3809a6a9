//! `dryhold job`: asks for the data of a job, remembers those of the shop.

mod typed;

use std::{
    io,
    path::{Path, PathBuf},
};

use chrono::Local;
use clap::{Args, Subcommand};
use console::{complain, say, say_lines};
use job_form::{Dialogue, Document, Left, document, listed, memory};
use run_record::JobFile;
use whole_file::Put;

use crate::outcome::{Failure, Outcome};

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
? explains, - clears. Ctrl-C or Ctrl-D leaves, and nothing is written.
";

/// Runs what was asked for.
pub(crate) fn run(arguments: &JobArguments) -> Result<Outcome, Failure> {
    match &arguments.command {
        JobCommand::New { file, overwrite } => new(file, *overwrite),
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
            "{} is there already: give another name, or --overwrite",
            file.display()
        )));
    }
    whole_file::try_folder(file).map_err(|e| cannot(file, &e))
}

fn dialogue() -> Dialogue<io::Stderr> {
    let mut dialogue = Dialogue::new(
        typed::listen(),
        io::stderr(),
        Local::now().date_naive(),
        columns(),
    );
    HOW.lines().for_each(|line| dialogue.say(line));
    dialogue.say("");
    dialogue
}

/// How wide the questions may be.
fn columns() -> usize {
    let size = terminal_size::terminal_size_of(io::stderr());
    size.map_or(80, |(width, _)| usize::from(width.0))
        .clamp(20, 100)
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
    let text = &document.with_shop(&shop).to_toml();
    // what was asked has been checked; this is for what nobody thought of
    JobFile::from_bytes(file, text.as_bytes())?;
    if let Err(e) = whole_file::write(file, text.as_bytes(), put(overwrite)) {
        complain("what you answered follows, so that it is not lost:");
        say_lines(text.trim_end().lines());
        return Err(cannot(file, &e));
    }
    say(format!("Written: {}", file.display()));
    if let Err(why) = memory.keep(&shop) {
        complain(why);
    }
    let shown = file.display();
    say(format!(
        "Next: dryhold log --port PORT --dialect DIALECT --job {shown}"
    ));
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
