//! `dryhold log --headless`: a small board that records by itself. Waits for the gauge,
//! begins a run when the pressure falls, ends it after the hold, keeps the last ones,
//! leaves room on the card, and waits for the next.

mod begin;
mod end;
mod keep;

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use clap::Args;
use sensor_reader::Event;
use tokio::sync::mpsc::{self, UnboundedSender};

use crate::{
    arguments::LogArguments,
    gauges::{Gauges, Who},
    log::{self, Record, Recording},
    nudge,
    outcome::{Failure, Outcome, complain, say},
    output,
    page::ServedPage,
    seal::Sealer,
    session::{Marks, Session},
    stop::StopRequests,
    watch::{Act, Watch},
};
use begin::Begin;
use end::{End, Limits};
use keep::{Keeper, Room};

/// How a board records by itself.
#[derive(Debug, Args)]
pub(crate) struct HeadlessArguments {
    /// Records by itself, run after run: waits for the gauge, begins when the pressure
    /// falls, ends after the hold, waits for the next. Reads no keyboard
    #[arg(long, conflicts_with_all = ["resume", "stop_after_min"])]
    pub(crate) headless: bool,
    /// Keeps the last N runs it made by itself in the folder and deletes older ones; a
    /// run folder that holds a file named KEEP, that was moved or renamed, or that it did
    /// not make, stays [default: all]
    #[arg(long, value_name = "N", requires = "headless", value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) keep_runs: Option<u32>,
    /// Leaves so much of the disk free: deletes its oldest runs first, begins none while
    /// there is less, and ends the one that goes on when a quarter of it is left
    #[arg(long, value_name = "MB", requires = "headless", default_value_t = 200)]
    pub(crate) keep_free: u64,
    /// Goes on so long after a hold is over, in case another round follows, minutes
    #[arg(long, value_name = "MIN", requires = "headless", default_value_t = 5.0, value_parser = crate::ranges::minutes)]
    pub(crate) after_hold_min: f64,
}

/// Between two looks at the room on the disk.
const LOOK_AGAIN: Duration = Duration::from_secs(10);
/// Events taken at once while waiting.
const BATCH: usize = 512;

/// Records until it is asked to end.
pub(crate) fn run(arguments: &LogArguments) -> Result<Outcome, Failure> {
    let runtime = log::runtime()?;
    // one for all runs: a request may come while a run is judged and drawn
    let mut stop = StopRequests::listen(&runtime);
    output::detach();
    let mut sealer = Sealer::prepare_unattended(&arguments.sealing)?;
    let page = ServedPage::open(&arguments.page)?;
    let keeper = Keeper::of(&arguments.out, &arguments.headless)?;
    let mut begin = Begin::default();
    loop {
        let recorded = runtime.block_on(async {
            tokio::select! {
                biased;
                () = stop.next(true) => Ok(None),
                waited = wait_for_fall(arguments, &keeper, &mut begin) => waited.map(Some),
            }
        });
        let Some((recording, gauges)) = recorded? else {
            say("Asked to end; nothing is being recorded.");
            return Ok(Outcome::Done);
        };
        let (recorded, asked) = runtime.block_on(record(
            arguments,
            (recording, gauges),
            page.as_ref(),
            &keeper,
            &mut stop,
        ))?;
        if let Err(failure) = log::close(&recorded, &mut sealer) {
            // the record is whole; the next run is worth more than this sheet
            complain(failure);
        }
        keeper.prune();
        if asked {
            return Ok(Outcome::Done);
        }
        begin.ran();
    }
}

/// Opens the gauges, and listens until a run begins.
async fn wait_for_fall(
    arguments: &LogArguments,
    keeper: &Keeper,
    begin: &mut Begin,
) -> Result<(Recording, Gauges), Failure> {
    // read anew for every run: the job file may have been changed for the next
    let recording = log::new_run(arguments)?;
    let mut gauges = recording.gauges.open().await?;
    say("Waiting for the gauge and for a falling pressure.");
    let mut told_full = false;
    let mut batch = Vec::with_capacity(BATCH);
    loop {
        if gauges.next_batch(&mut batch, BATCH).await == 0 || gauges.judged_ended() {
            return Err(Failure::other("the gauge's capture is at its end"));
        }
        let mut falls = false;
        for (who, event) in batch.drain(..) {
            match (who, event) {
                (Who::Judged, Event::Reading { arrived, sample }) => {
                    falls |= begin.reading(arrived, sample.sensed);
                }
                (Who::Judged, Event::Lost { .. }) => begin.lost(),
                _ => {}
            }
        }
        if !falls {
            continue;
        }
        match keeper.make_room() {
            Ok(()) => return Ok((recording, gauges)),
            Err(why) => {
                if !std::mem::replace(&mut told_full, true) {
                    complain(format!("NOT RECORDING: {why}"));
                }
                // the gauge is heard meanwhile; what it says is not kept
                tokio::time::sleep(LOOK_AGAIN).await;
            }
        }
    }
}

/// Records one run; says whether it was asked to end.
async fn record(
    arguments: &LogArguments,
    (recording, gauges): (Recording, Gauges),
    page: Option<&ServedPage>,
    keeper: &Keeper,
    requests: &mut StopRequests,
) -> Result<(crate::session::Recorded, bool), Failure> {
    let Recording {
        gauges: plan,
        settings,
        record: Record::New(out, header),
        logo,
    } = recording
    else {
        return Err(Failure::usage("--headless begins new runs"));
    };
    let mut session = Session::start(&out, &header, plan.dialect(), settings, plan.beside())?;
    say(format!("Recording to {}", session.folder().display()));
    if let Some(logo) = &logo {
        logo.put(session.folder());
    }
    crate::log::tell_assumed_unit(plan.dialect());
    keeper.made(session.folder());
    let (acts, asked_for) = mpsc::unbounded_channel();
    let nudges = nudge::start(&arguments.nudge, || session.watch_beside(), &acts)?;
    let room = until_full(keeper.clone(), session.folder().to_owned(), acts.clone());
    if let Some(page) = page {
        page.show(session.watch_beside(), acts);
    }
    let limits = Limits {
        after_hold_s: 60.0 * arguments.headless.after_hold_min,
        ..Limits::default()
    };
    let mut asked = false;
    let watch = session.watch_beside();
    let stop = async {
        tokio::select! {
            () = requests.next(true) => asked = true,
            why = until_over(watch, limits) => say(format!("Ending the run: {why}.")),
            why = room => say(format!("Ending the run: {why}.")),
        }
    };
    let marks = Marks::typed(asked_for);
    let recorded = session.record(gauges, marks, stop, || false).await;
    nudges.finish();
    Ok((recorded?, asked))
}

/// Completes when a run is over, with the reason.
async fn until_over(mut watch: Watch, limits: Limits) -> &'static str {
    let mut end = End::of(limits);
    loop {
        if let Some(why) = end.look(&watch.borrow_and_update().now) {
            return why;
        }
        if watch.changed().await.is_err() {
            return std::future::pending().await;
        }
    }
}

/// Looks after the room on the disk while a run is recorded; completes when hardly any
/// is left, with the reason.
async fn until_full(keeper: Keeper, run: PathBuf, acts: UnboundedSender<Act>) -> &'static str {
    let mut told = false;
    loop {
        tokio::time::sleep(LOOK_AGAIN).await;
        let (keeper, run) = (keeper.clone(), run.clone());
        // deleting a long run from a slow card takes a while: the recording goes on beside it
        let room = tokio::task::spawn_blocking(move || keeper.room_for(&run)).await;
        match room {
            Ok(Room::NearlyNone) => return "the disk is nearly full (--keep-free)",
            Ok(Room::Little(why)) => {
                if !std::mem::replace(&mut told, true) {
                    let _ = acts.send(Act::Tell(format!("{why}; this run goes on for now")));
                }
            }
            Ok(Room::Enough) => told = false,
            Err(_) => {}
        }
    }
}

/// Free room where this folder is or will be, bytes.
fn free_bytes(folder: &Path) -> Option<u64> {
    let there = folder.ancestors().find(|f| f.is_dir());
    crate::session::free_bytes(there.unwrap_or(Path::new(".")))
}
