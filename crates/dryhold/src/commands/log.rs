//! `dryhold log`: records a gauge until stopped, then reviews and draws.

mod arguments;
mod new_run;
mod resume;
mod shop_logo;
mod unattended;

use std::{sync::Arc, time::Duration};

use console::say;
use recorder::{Marks, Recorder};
use terminal_view::attach;
use watch::Follow;

use crate::{
    outcome::{Failure, Outcome},
    recording::{
        close::close, operator::AtTerminal, page::ServedPage, runtime, stop::StopRequests,
    },
};
use new_run::{Record, Recording, new_run, tell_assumed_unit};

pub(crate) use arguments::LogArguments;

/// Records, then says what was found.
pub(crate) fn run(arguments: &LogArguments) -> Result<Outcome, Failure> {
    arguments.notify.check()?;
    if arguments.headless.headless {
        return unattended::run(arguments);
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
        if let Some(logo) = &logo {
            logo.put(recorder.folder());
        }
        tell_assumed_unit(gauges.dialect());
        let code = page.as_ref().and_then(ServedPage::code);
        let view = attach(|follow| recorder.watch(follow), arguments.view(), code);
        if let Some(page) = &page {
            page.show(recorder.watch(Follow::Closely), view.asks.clone());
        }
        let means = arguments.notify.means();
        let calm = || recorder.watch(Follow::Calmly);
        let notifiers = notify::start(means, calm, &view.asks).map_err(Failure::other)?;
        let stop = until_stopped(&mut requests, arguments.stop_after_min, view.interactive);
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
