//! `dryhold log --headless`: a small board that records by itself. Waits for the gauge,
//! begins a run when the pressure falls, ends it after the hold, keeps the last ones,
//! leaves room on the card, and waits for the next.

use std::{sync::Arc, time::Duration};

use console::{complain, say};
use recorder::{
    Gauges, Marks, Recorded, Recorder, StopRequests, Who,
    unattended::{Begin, Limits, Retention, until_full, until_over},
};
use sensor_reader::Event;
use terminal_view::attach_line_without_keys;
use watch::Follow;

use super::{
    arguments::LogArguments,
    new_run::{Record, Recording, new_run, tell_assumed_unit},
};
use crate::{
    outcome::{Failure, Outcome},
    recording::{close::close, operator::AtTerminal, page::ServedPage, runtime},
};

/// Between two looks at the room on the disk.
const LOOK_AGAIN: Duration = Duration::from_secs(10);
/// Events taken at once while waiting.
const BATCH: usize = 512;

/// Records until it is asked to end.
pub(crate) fn run(arguments: &LogArguments) -> Result<Outcome, Failure> {
    let runtime = runtime()?;
    // one for all runs: a request may come while a run is judged and drawn
    let mut stop = StopRequests::listen(&runtime);
    console::detach();
    let mut sealer = arguments.sealing.unattended_sealer()?;
    let page = ServedPage::open(&arguments.page)?;
    let retention = Retention::new(
        &arguments.out,
        arguments.headless.keep_runs.map(|n| n as usize),
        arguments.headless.keep_free.saturating_mul(1_000_000),
        Arc::new(AtTerminal),
    )?;
    let mut begin = Begin::default();
    loop {
        let recorded = runtime.block_on(async {
            tokio::select! {
                biased;
                () = stop.next(true) => Ok(None),
                waited = wait_for_fall(arguments, &retention, &mut begin) => waited.map(Some),
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
            &retention,
            &mut stop,
        ))?;
        if let Err(failure) = close(&recorded, &mut sealer) {
            // the record is whole; the next run is worth more than this sheet
            complain(failure);
        }
        retention.prune();
        if asked {
            return Ok(Outcome::Done);
        }
        begin.ran();
    }
}

/// Opens the gauges, and listens until a run begins.
async fn wait_for_fall(
    arguments: &LogArguments,
    retention: &Retention,
    begin: &mut Begin,
) -> Result<(Recording, Gauges), Failure> {
    // read anew for every run: the job file may have been changed for the next
    let recording = new_run(arguments)?;
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
        match retention.make_room() {
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
    retention: &Retention,
    requests: &mut StopRequests,
) -> Result<(Recorded, bool), Failure> {
    let Recording {
        gauges: plan,
        settings,
        record: Record::New(out, header),
        logo,
        photo,
    } = recording
    else {
        return Err(Failure::usage("--headless begins new runs"));
    };
    let companions = plan.companions();
    let mut recorder = Recorder::start(&out, &header, plan.dialect(), settings, companions)?;
    say(format!("Recording to {}", recorder.folder().display()));
    if let Some(logo) = &logo {
        logo.put(recorder.folder());
    }
    photo.put(recorder.folder());
    tell_assumed_unit(plan.dialect());
    retention.made(recorder.folder());
    let view = attach_line_without_keys(recorder.watch(Follow::Calmly));
    let means = arguments.notify.means();
    let calm = || recorder.watch(Follow::Calmly);
    let notifiers = notify::start(means, calm, &view.asks).map_err(Failure::other)?;
    let folder = recorder.folder().to_owned();
    let room = until_full(retention.clone(), folder, view.asks.clone());
    if let Some(page) = page {
        page.show(recorder.watch(Follow::Closely), view.asks.clone());
    }
    let limits = Limits {
        after_hold_s: 60.0 * arguments.headless.after_hold_min,
        ..Limits::default()
    };
    let mut asked = false;
    let watch = recorder.watch(Follow::Calmly);
    let stop = async {
        tokio::select! {
            () = requests.next(true) => asked = true,
            why = until_over(watch, limits) => say(format!("Ending the run: {why}.")),
            why = room => say(format!("Ending the run: {why}.")),
        }
    };
    let marks = Marks::asked_for(view.acts);
    let recorded = recorder
        .record(gauges, marks, Arc::new(AtTerminal), stop, || false)
        .await;
    view.views.gone().await;
    notifiers.finish();
    Ok((recorded?, asked))
}
