//! `dryhold log`: records a gauge until stopped, then reviews and draws.

use std::{io::BufRead, path::PathBuf, time::Duration};

use analyser::Settings;
use run_record::{JobFile, RunHeader};
use sensor_reader::{Address, Dialect, GaugeStream, Options};
use tokio::sync::mpsc;
use vacuum::{Job, MarkKind};

use crate::{
    arguments::LogArguments,
    judged::{self, Draw, MADE_BY},
    outcome::{Failure, Outcome, complain, say},
    report_files, resume, review,
    seal::Sealer,
    session::{Marks, Recorded, Session},
};

/// What is recorded, from where, and into what.
pub(crate) struct Plan {
    pub(crate) address: Address,
    pub(crate) dialect: Dialect,
    pub(crate) settings: Settings,
    pub(crate) record: Record,
}

/// Where rows go.
pub(crate) enum Record {
    /// A new run folder below this one.
    New(PathBuf, Box<RunHeader>),
    /// A run folder that is there.
    Resumed(PathBuf),
}

/// Records, then says what was found.
pub(crate) fn run(arguments: &LogArguments) -> Result<Outcome, Failure> {
    let plan = match &arguments.resume {
        Some(folder) => resume::plan(arguments, folder)?,
        None => new_run(arguments)?,
    };
    let options = Options {
        wait_for_gauge: arguments.wait,
        baud: arguments.baud,
        ..Options::default()
    };
    let sealer = Sealer::prepare(&arguments.sealing);
    let runtime = runtime()?;
    let recorded = runtime.block_on(async {
        let gauge = GaugeStream::open(&plan.address, &plan.dialect, options)
            .await
            .map_err(Failure::other)?;
        let session = match &plan.record {
            Record::New(out, header) => {
                resume::hint(out);
                Session::start(out, header, &plan.dialect, plan.settings)?
            }
            Record::Resumed(folder) => Session::resume(folder, &plan.dialect, plan.settings)?,
        };
        say(format!("Recording to {}", session.folder().display()));
        say("Stop with Ctrl-C. To stamp a mark, type its letter and Enter: s pump-side valve shut,");
        say("p pump stopped, o valve opened, n nitrogen break, t throttled, b ballast, h heat, or a remark.");
        let marks = Marks::Typed(typed_marks());
        let limit = arguments.stop_after_min;
        session.record(gauge, marks, until_stopped(limit), || false).await
    })?;
    // typed marks are read on a thread that waits for the keyboard
    runtime.shutdown_background();
    close(&recorded, &sealer)
}

fn new_run(arguments: &LogArguments) -> Result<Plan, Failure> {
    let (Some(port), Some(dialect)) = (&arguments.port, &arguments.dialect) else {
        return Err(Failure::usage("--port and --dialect are needed"));
    };
    let address = Address::parse(port).map_err(Failure::usage)?;
    let dialect = Dialect::load(dialect).map_err(Failure::usage)?;
    let job_file = match &arguments.job {
        Some(path) => JobFile::read(path)?,
        None => JobFile {
            job: Job {
                id: "run".into(),
                ..Job::default()
            },
            ..JobFile::default()
        },
    };
    for key in &job_file.unknown_keys {
        complain(format!(
            "the job file's key {key} means nothing here and is left out"
        ));
    }
    let settings = arguments
        .judging
        .settings(Some(&job_file.job), job_file.criteria.as_ref())?;
    let header = RunHeader {
        job: job_file.job,
        criteria: Some(settings.criteria.clone()),
        dialect: Some(dialect.name().to_owned()),
        port: Some(port.clone()),
        software: MADE_BY.to_owned(),
        started: None,
        beside: Vec::new(),
    };
    Ok(Plan {
        address,
        dialect,
        settings,
        record: Record::New(arguments.out.clone(), Box::new(header)),
    })
}

/// The runtime commands record on.
pub(crate) fn runtime() -> Result<tokio::runtime::Runtime, Failure> {
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(Failure::other)
}

/// Reviews, draws and seals a run that has just been recorded. All of that is
/// beside the record: failing in it does not undo what was recorded.
pub(crate) fn close(recorded: &Recorded, sealer: &Sealer) -> Result<Outcome, Failure> {
    let outcome = review_and_draw(recorded);
    // last, so that the seal covers what was drawn
    sealer.seal(&recorded.run);
    outcome
}

fn review_and_draw(recorded: &Recorded) -> Result<Outcome, Failure> {
    let folder = &recorded.run.folder;
    say(format!(
        "{} readings recorded in {} rows{}.",
        recorded.readings,
        recorded.run.rows,
        recorded.quality.closing()
    ));
    if recorded.readings == 0 {
        say(format!(
            "Nothing to review. The empty record is in {}",
            folder.display()
        ));
        return Ok(Outcome::Done);
    }
    let nothing_else = crate::arguments::JudgingArguments::default();
    let judged = judged::judge(
        folder,
        &run_record::ImportOptions::default(),
        &nothing_else,
        Draw::Yes,
    )?;
    review::print_lines(&judged);
    match report_files::write(&judged, folder) {
        Ok(paths) => paths.iter().for_each(|p| say(format!("  {}", p.display()))),
        Err(failure) => complain(failure),
    }
    Ok(Outcome::Done)
}

/// Completes on Ctrl-C, on a request to terminate, or when the time is up.
async fn until_stopped(limit_min: Option<f64>) {
    let limit = async {
        match limit_min {
            Some(minutes) => tokio::time::sleep(Duration::from_secs_f64(60.0 * minutes)).await,
            None => std::future::pending().await,
        }
    };
    tokio::select! {
        () = asked_to_stop() => {}
        () = limit => {}
    }
}

/// Completes on Ctrl-C or a request to terminate.
#[cfg(unix)]
pub(crate) async fn asked_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let (Ok(mut interrupt), Ok(mut terminate), Ok(mut hang_up)) = (
        signal(SignalKind::interrupt()),
        signal(SignalKind::terminate()),
        signal(SignalKind::hangup()),
    ) else {
        return std::future::pending().await;
    };
    tokio::select! {
        _ = interrupt.recv() => {}
        _ = terminate.recv() => {}
        _ = hang_up.recv() => {}
    }
}

/// Completes on Ctrl-C.
#[cfg(not(unix))]
pub(crate) async fn asked_to_stop() {
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending().await
    }
}

/// Reads marks from standard input, a line each; the end of input ends marks,
/// not the run.
fn typed_marks() -> mpsc::UnboundedReceiver<(MarkKind, String)> {
    let (send, receive) = mpsc::unbounded_channel();
    std::thread::spawn(move || {
        for line in std::io::stdin().lock().split(b'\n') {
            let Ok(line) = line else { return };
            // not every keyboard speaks UTF-8, and a remark is better kept with
            // a letter missing than not at all
            let line = String::from_utf8_lossy(&line);
            let Some(mark) = mark_of(line.trim()) else {
                continue;
            };
            if send.send(mark).is_err() {
                return;
            }
        }
    });
    receive
}

/// A letter or code is an act, anything else a remark.
fn mark_of(line: &str) -> Option<(MarkKind, String)> {
    if line.is_empty() {
        return None;
    }
    let kind = match line {
        "s" => Some(MarkKind::PumpSideShut),
        "p" => Some(MarkKind::PumpStopped),
        "o" => Some(MarkKind::ValveOpened),
        "n" => Some(MarkKind::NitrogenBreak),
        "t" => Some(MarkKind::Throttled),
        "b" => Some(MarkKind::BallastOpened),
        "h" => Some(MarkKind::HeatApplied),
        code => MarkKind::from_code(code),
    };
    Some(match kind {
        Some(kind) => (kind, String::new()),
        None => (MarkKind::Note, line.to_owned()),
    })
}
