//! `dryhold log`: records a gauge until stopped, then reviews and draws.

use std::{io::BufRead, path::PathBuf, time::Duration};

use analyser::Settings;
use run_record::{JobFile, RunHeader};
use seal_keys::SealKey;
use sensor_reader::Dialect;
use tokio::sync::mpsc;
use vacuum::{Job, MarkKind, SheetChoices};

use crate::{
    arguments::LogArguments,
    gauges::Plan,
    headless,
    job::memory,
    judged::{self, Draw, MADE_BY},
    nudge,
    outcome::{Failure, Outcome, complain, say},
    output,
    page::ServedPage,
    products, resume, review,
    seal::{self, Sealer},
    session::{Marks, Recorded, Session},
    sheet_options::SheetOptions,
    shop_logo::ShopLogo,
    stop::StopRequests,
    view::{
        attach,
        keyboard::{Input, await_foreground},
    },
    watch::{Act, MANIFOLD_SHUT},
};

/// What is recorded, from where, and into what.
pub(crate) struct Recording {
    pub(crate) gauges: Plan,
    pub(crate) settings: Settings,
    pub(crate) record: Record,
    /// To be put into a new run folder.
    pub(crate) logo: Option<ShopLogo>,
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
    arguments.nudge.check()?;
    if arguments.headless.headless {
        return headless::run(arguments);
    }
    let runtime = runtime()?;
    let mut requests = StopRequests::listen(&runtime);
    output::detach();
    let recording = match &arguments.resume {
        Some(folder) => resume::recording(arguments, folder)?,
        None => new_run(arguments)?,
    };
    let Recording {
        gauges,
        settings,
        record,
        logo,
    } = recording;
    let mut sealer = Sealer::prepare(&arguments.sealing)?;
    let page = ServedPage::open(&arguments.page)?;
    let recorded = runtime.block_on(async {
        let open = tokio::select! {
            biased;
            () = requests.next(true) => return Ok(None),
            open = gauges.open() => open?,
        };
        let beside = gauges.beside();
        let mut session = match &record {
            Record::New(out, header) => {
                resume::hint(out);
                Session::start(out, header, gauges.dialect(), settings, beside)?
            }
            Record::Resumed(folder) => Session::resume(folder, gauges.dialect(), settings, beside)?,
        };
        say(format!("Recording to {}", session.folder().display()));
        if let Some(logo) = &logo {
            logo.put(session.folder());
        }
        tell_assumed_unit(gauges.dialect());
        let mut view = attach::attach(
            &mut session,
            arguments.view(),
            page.as_ref().and_then(ServedPage::code),
        );
        view.mind_signals();
        if let Some(page) = &page {
            page.show(session.watch_beside(), view.asks.clone());
        }
        let nudges = nudge::start(&arguments.nudge, || session.watch_beside(), &view.asks)?;
        let stop = until_stopped(&mut requests, arguments.stop_after_min, view.interactive);
        let marks = Marks::typed(view.acts);
        let recorded = session.record(open, marks, stop, || false).await;
        nudges.finish();
        recorded.map(Some)
    })?;
    // typed marks are read on a thread that waits for the keyboard
    runtime.shutdown_background();
    match recorded {
        Some(recorded) => close(&recorded, &mut sealer),
        None => {
            say("Asked to end; nothing was recorded.");
            Ok(Outcome::Done)
        }
    }
}

pub(crate) fn new_run(arguments: &LogArguments) -> Result<Recording, Failure> {
    let (Some(port), Some(dialect)) = (&arguments.port, &arguments.dialect) else {
        return Err(Failure::usage("--port and --dialect are needed"));
    };
    let mut job_file = match &arguments.job {
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
    let second_gauge = arguments.pump_port.is_some();
    memory::fill(&mut job_file, arguments.job.is_some(), second_gauge);
    let logo = ShopLogo::take(&mut job_file.job.sheet, arguments.job.as_deref());
    let gauges = Plan::of(arguments, (port, dialect), &job_file)?;
    let settings = arguments
        .judging
        .settings(Some(&job_file.job), job_file.criteria.as_ref())?;
    let header = RunHeader {
        job: job_file.job,
        criteria: Some(settings.criteria.clone()),
        dialect: Some(gauges.dialect().name().to_owned()),
        assumed_unit: gauges.dialect().fixed_unit(),
        port: Some(port.clone()),
        software: MADE_BY.to_owned(),
        started: None,
        beside: gauges.beside().companions(),
    };
    Ok(Recording {
        gauges,
        settings,
        record: Record::New(arguments.out.clone(), Box::new(header)),
        logo,
    })
}

/// Says which unit is taken where the gauge sends none.
pub(crate) fn tell_assumed_unit(dialect: &Dialect) {
    if let Some(unit) = dialect.fixed_unit() {
        say(format!(
            "Unit {unit} is assumed, the gauge sends none: compare with its display."
        ));
    }
}

/// The runtime commands record on.
pub(crate) fn runtime() -> Result<tokio::runtime::Runtime, Failure> {
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(Failure::other)
}

/// Seals, reviews and draws a run that has just been recorded. All of that is
/// beside the record: failing in it does not undo what was recorded.
pub(crate) fn close(recorded: &Recorded, sealer: &mut Sealer) -> Result<Outcome, Failure> {
    sealer.renew();
    // first: whatever becomes of review and sheet, the record is sealed
    let key = sealer.seal(&recorded.run);
    review_and_draw(recorded, key)
}

fn review_and_draw(recorded: &Recorded, key: Option<&SealKey>) -> Result<Outcome, Failure> {
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
    output::say_lines(review::lines(&judged, &wording::Voice::default()));
    let made = products::make(
        &judged,
        folder,
        &SheetChoices::default(),
        &SheetOptions::default(),
        key,
    );
    match made {
        Ok(made) => {
            made.paths().for_each(|p| say(format!("  {}", p.display())));
            seal::tell_unsealed(&made);
            made.failure.iter().for_each(complain);
        }
        Err(failure) => complain(failure),
    }
    Ok(Outcome::Done)
}

/// Completes on Ctrl-C, on a request to terminate, or when the time is up; where nobody
/// sits at a terminal, also when it is hung up.
async fn until_stopped(requests: &mut StopRequests, limit_min: Option<f64>, interactive: bool) {
    let limit = async {
        match limit_min {
            Some(minutes) => tokio::time::sleep(Duration::from_secs_f64(60.0 * minutes)).await,
            None => std::future::pending().await,
        }
    };
    tokio::select! {
        () = requests.next(!interactive) => {}
        () = limit => {}
    }
}

/// Reads what is typed on standard input, a line each; the end of input ends that,
/// not the run.
///
/// An empty line asks `status` how things stand, where there is one.
pub(crate) fn read_lines(
    send: mpsc::UnboundedSender<Act>,
    status: Option<std::sync::mpsc::Sender<Input>>,
) {
    std::thread::spawn(move || {
        await_foreground();
        for line in std::io::stdin().lock().split(b'\n') {
            let Ok(line) = line else { return };
            // not every keyboard speaks UTF-8, and a remark is better kept with
            // a letter missing than not at all
            let line = String::from_utf8_lossy(&line);
            let Some(act) = act_of(line.trim()) else {
                status.as_ref().map(|s| s.send(Input::Ask));
                continue;
            };
            if send.send(act).is_err() {
                return;
            }
        }
    });
}

/// What a single key stamps.
pub(crate) fn mark_of_key(key: char) -> Option<(MarkKind, &'static str)> {
    Some(match key {
        's' => (MarkKind::PumpSideShut, ""),
        'p' => (MarkKind::PumpStopped, ""),
        'm' => (MarkKind::Note, MANIFOLD_SHUT),
        'o' => (MarkKind::ValveOpened, ""),
        'n' => (MarkKind::NitrogenBreak, ""),
        't' => (MarkKind::Throttled, ""),
        'b' => (MarkKind::BallastOpened, ""),
        'h' => (MarkKind::HeatApplied, ""),
        _ => return None,
    })
}

/// A letter or code is an act, anything else a remark.
pub(crate) fn act_of(line: &str) -> Option<Act> {
    let mut letters = line.chars();
    let key = letters.next()?;
    if letters.next().is_none() {
        if key == 'u' {
            return Some(Act::Undo(None));
        }
        if let Some((kind, note)) = mark_of_key(key) {
            return Some(Act::Mark(kind, note.to_owned()));
        }
    }
    Some(match MarkKind::from_code(line) {
        Some(kind) => Act::Mark(kind, String::new()),
        None => Act::Mark(MarkKind::Note, line.to_owned()),
    })
}
