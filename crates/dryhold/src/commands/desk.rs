//! `dryhold desk`: many records as one table.

use std::{
    cell::RefCell,
    io::{self, BufWriter, IsTerminal},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
};

use clap::Args;
use console::{Progress, complain, say, say_drawn};
use desk::{table_lines, write_json_lines};
use desk_options::{DeskOptions, Made};

use crate::{
    made_by::MADE_BY,
    options::judging::JudgingArguments,
    outcome::{Failure, Outcome},
};

/// Columns where the output is no terminal: a program or file gets whole paths.
const NO_END: usize = 10_000;

#[derive(Debug, Args)]
pub(crate) struct DeskArguments {
    #[command(flatten)]
    desk: DeskOptions,
}

/// Prints the table, or the objects, and writes the files.
pub(crate) fn run(arguments: &DeskArguments) -> Result<Outcome, Failure> {
    let options = &arguments.desk;
    let stop = stop_at_ctrl_c();
    let bar: RefCell<Option<Progress>> = RefCell::default();
    let rows = options.rows(
        JudgingArguments::ADVICE,
        &stop,
        |count| *bar.borrow_mut() = Some(console::progress(count, "records")),
        || bar.borrow().iter().for_each(Progress::step),
    )?;
    drop(bar.take());
    rows.complaints.iter().for_each(complain);
    let now = chrono::Utc::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, true);
    let made = Made {
        by: MADE_BY,
        at: Some(&now),
    };
    options.write_files(&rows, made)?;
    if options.json() {
        let out = BufWriter::new(io::stdout().lock());
        let written = write_json_lines(out, &rows.shown, rows.partial.as_deref());
        // a reader that has enough is no error
        if let Err(e) = written
            && e.kind() != io::ErrorKind::BrokenPipe
        {
            return Err(Failure::other(e));
        }
    } else {
        let columns = terminal_size::terminal_size().map_or(NO_END, |(w, _)| w.0.into());
        let colours = io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none();
        let lines = table_lines(&rows.shown, columns, colours);
        lines.iter().for_each(|line| say_drawn(line));
        say(&rows.closing);
    }
    match &rows.partial {
        Some(partial) => {
            complain(format!("PARTIAL: {partial}"));
            Ok(Outcome::Error)
        }
        None => Ok(Outcome::Done),
    }
}

/// Becomes true when a person wants no more; asked once more, the program ends at once. Where
/// that cannot be heard, Ctrl-C ends it as usual.
fn stop_at_ctrl_c() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&stop);
    let listen = move || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build();
        let Ok(runtime) = runtime else {
            return;
        };
        while runtime.block_on(tokio::signal::ctrl_c()).is_ok() {
            if asked.swap(true, Ordering::Relaxed) {
                // as a shell reports a program that was interrupted
                std::process::exit(130);
            }
        }
    };
    // the thread ends with the program
    let _ = std::thread::Builder::new()
        .name("ctrl-c".into())
        .spawn(listen);
    stop
}
