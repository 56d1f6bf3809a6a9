//! `dryhold log`: records a gauge until stopped, then reviews and draws.

mod arguments;
mod job_photo;
mod last_gauge;
mod new_run;
mod resume;
mod unattended;

use std::sync::Arc;

use console::say;
use recorder::{Marks, Recorder, StopRequests};
use terminal_view::{ViewKind, attach};
use watch::Follow;

use crate::{
    outcome::{Failure, Outcome},
    recording::{close::close, operator::AtTerminal, page::ServedPage, runtime, visits},
};
use new_run::{Record, Recording, new_run, tell_assumed_unit};

pub(crate) use arguments::LogArguments;

/// Records, then says what was found.
pub(crate) fn run(arguments: &LogArguments) -> Result<Outcome, Failure> {
    arguments.notify.check()?;
    if arguments.headless.headless {
        return unattended::run(arguments);
    }
    if arguments.background {
        return visits::begin_in_background();
    }
    if arguments.without_terminal {
        visits::leave_terminal()?;
    }
    let runtime = runtime()?;
    let mut requests = StopRequests::listen(&runtime);
    console::detach();
    let recording = match &arguments.resume {
        Some(folder) => resume::recording(arguments, folder)?,
        None => new_run(arguments)?,
    };
    let Recording {
        gauges,
        settings,
        record,
        logo,
        photo,
    } = recording;
    let mut sealer = arguments.sealing.sealer()?;
    let page = ServedPage::open(&arguments.page)?;
    let recorded = runtime.block_on(async {
        let open = tokio::select! {
            biased;
            () = requests.next(true) => return Ok(None),
            open = gauges.open() => open?,
        };
        let companions = gauges.companions();
        let mut recorder = match &record {
            Record::New(out, header) => {
                resume::hint(out);
                Recorder::start(out, header, gauges.dialect(), settings, companions)?
            }
            Record::Resumed(folder) => {
                Recorder::resume(folder, gauges.dialect(), settings, companions)?
            }
        };
        say(format!("Recording to {}", recorder.folder().display()));
        last_gauge::keep(arguments);
        if let Some(logo) = &logo {
            logo.put(recorder.folder());
        }
        photo.put(recorder.folder());
        tell_assumed_unit(gauges.dialect());
        let code = page.as_ref().and_then(ServedPage::code);
        let kind = arguments.view();
        let view = attach(|follow| recorder.watch(follow), kind, code.clone());
        let curve = arguments.without_terminal || kind == ViewKind::Full;
        let _door = visits::open(&mut recorder, curve, &view.asks, code);
        if let Some(page) = &page {
            page.show(recorder.watch(Follow::Closely), view.asks.clone());
        }
        let means = arguments.notify.means();
        let calm = || recorder.watch(Follow::Calmly);
        let notifiers = notify::start(means, calm, &view.asks).map_err(Failure::other)?;
        let stop = requests.next_or_after(arguments.stop_after_min, view.interactive);
        let marks = Marks::asked_for(view.acts);
        let recorded = recorder
            .record(open, marks, Arc::new(AtTerminal), stop, || false)
            .await;
        view.views.gone().await;
        notifiers.finish();
        Ok::<_, Failure>(Some(recorded?))
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
