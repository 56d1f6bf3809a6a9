//! Recordings that are begun in the background, looked at from other terminals and stopped by
//! name.

use console::{complain, say, say_lines};
use live_runs::{Begun, Door, Looker};
use recorder::Recorder;
use terminal_view::{FarTerminal, PageCode, show_far};
use tokio::sync::mpsc::UnboundedSender;
use watch::{Act, Follow};

use crate::outcome::{Failure, Outcome};

/// Lets visitors come to this recording, as long as what is given back lives; `curve` where
/// they see one.
pub(crate) fn open(
    recorder: &mut Recorder,
    curve: bool,
    asks: &UnboundedSender<Act>,
    page: Option<PageCode>,
) -> Option<Door> {
    let folder = recorder.folder().canonicalize().ok()?;
    let name = folder.file_name()?.to_string_lossy().into_owned();
    let watch = recorder.watch(match curve {
        true => Follow::Closely,
        false => Follow::Calmly,
    });
    let (asks, stops) = (asks.clone(), asks.clone());
    let looks = move |looker: Looker| {
        let Looker { keys, screen, vars } = looker;
        let size = {
            let screen = screen.clone();
            move || screen.size()
        };
        let var = move |name: &str| vars.get(name).cloned();
        let far = FarTerminal {
            keys,
            screen,
            size,
            var,
        };
        // whoever went away misses nothing
        let _ = show_far(watch.clone(), &asks, page.clone(), far);
    };
    let opened = Door::open(&name, folder, looks, move || drop(stops.send(Act::Stop)));
    opened
        .inspect_err(|e| complain(format!("no other terminal can look at this recording: {e}")))
        .ok()
}

/// Begins this recording once more, in the background, and says how to come to it.
pub(crate) fn begin_in_background() -> Result<Outcome, Failure> {
    let given = std::env::args_os().skip(1);
    let arguments = given.map(|argument| match argument == "--background" {
        true => "--without-terminal".into(),
        false => argument,
    });
    let Begun { run, log } = live_runs::begin_in_background(arguments, |process| {
        say("Waiting for the gauge; Ctrl-C leaves it waiting in the background,");
        say(format!("kill {process} ends that."));
    })
    .map_err(Failure::other)?;
    let said = std::fs::read_to_string(&log).unwrap_or_default();
    say_lines(said.lines());
    let name = &run.name;
    say(format!(
        "In the background (process {}); what it says goes to {}.",
        run.process,
        log.display()
    ));
    say(format!("Look at it: dryhold show {name}"));
    say(format!("End it:     dryhold stop {name}"));
    Ok(Outcome::Done)
}

/// Leaves the terminal: what becomes of it no longer concerns this recording.
pub(crate) fn leave_terminal() -> Result<(), Failure> {
    live_runs::leave_session().map_err(Failure::other)
}
