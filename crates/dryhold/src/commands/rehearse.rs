//! `dryhold rehearse`: an invented system and gauge over a real pseudo-terminal (or, where
//! there is none, a connection of this computer), through the very code `log` uses.

use std::{path::PathBuf, sync::Arc};

use analyser::Settings;
use clap::Args;
use console::say;
use played_rehearsal::{Benches, Story, listed};
use recorder::{Ending, Marks, Recorded, Recorder, StopRequests};
use rehearsal::{Line, Pace};
use terminal_view::{ViewKind, attach, attach_line_without_keys};
use watch::Follow;

use crate::{
    made_by::MADE_BY,
    options::{
        page::PageArguments,
        sealing::SealingArguments,
        view::{ViewChoice, chosen},
    },
    outcome::{Failure, Outcome},
    recording::{close::close, operator::AtTerminal, page::ServedPage, runtime},
};

#[derive(Debug, Args)]
pub(crate) struct RehearseArguments {
    /// Which rehearsal (see --list)
    #[arg(long, value_name = "NAME", default_value = "small-leak")]
    pub(crate) scenario: String,
    /// Simulated seconds per second, or "max" [default: 300, with --watch 20]
    #[arg(long, value_name = "X", value_parser = parse_speed)]
    speed: Option<Speed>,
    /// Shows it on the whole screen as a recording is shown, slowly enough to be watched;
    /// keys stamp marks
    #[arg(long)]
    watch: bool,
    /// Where the run folder goes
    #[arg(long, value_name = "DIR", default_value = "rehearsals")]
    pub(crate) out: PathBuf,
    /// Another throw of the dice
    #[arg(long, value_name = "N")]
    pub(crate) seed: Option<u64>,
    /// The simulated gauge speaks over a network connection of this computer instead of a
    /// pseudo-terminal, as it always does on Windows
    #[arg(long)]
    over_tcp: bool,
    /// Lists the rehearsals
    #[arg(long)]
    pub(crate) list: bool,
    #[command(flatten)]
    pub(crate) page: PageArguments,
    #[command(flatten)]
    pub(crate) sealing: SealingArguments,
}

impl RehearseArguments {
    /// How fast it plays: slowly enough to be watched, if it is.
    pub(crate) fn speed(&self) -> Speed {
        let usual = if self.watch { 20.0 } else { 300.0 };
        self.speed.unwrap_or(Speed::Times(usual))
    }

    /// What shows it.
    pub(crate) fn view(&self) -> ViewKind {
        let watch = self.watch.then_some(ViewChoice::Full);
        chosen(watch, ViewChoice::Line)
    }
}

/// How fast a rehearsal plays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Speed {
    /// So many simulated seconds per second.
    Times(f64),
    /// As fast as it can be read.
    Max,
}

fn parse_speed(text: &str) -> Result<Speed, String> {
    if text == "max" {
        return Ok(Speed::Max);
    }
    option_ranges::speed(text)
        .map(Speed::Times)
        .map_err(|why| format!("{why}, or be \"max\""))
}

/// Plays a scenario, records it, reviews it, draws it.
pub(crate) fn run(arguments: &RehearseArguments) -> Result<Outcome, Failure> {
    if arguments.list {
        for (name, title) in listed() {
            say(format!("{name:<24} {title}"));
        }
        return Ok(Outcome::Done);
    }
    let story = Story::named(&arguments.scenario).ok_or_else(|| {
        let names: Vec<&str> = listed().map(|(name, _)| name).collect();
        Failure::usage(format!(
            "there is no rehearsal \"{}\"; choose one of {}",
            arguments.scenario,
            names.join(", ")
        ))
    })?;
    let runtime = runtime()?;
    let requests = StopRequests::listen(&runtime);
    console::detach();
    say(format!(
        "Rehearsal \"{}\": {}",
        arguments.scenario,
        story.title()
    ));
    say("An invented system and gauge; nothing here is evidence of anything.");
    let pace = match arguments.speed() {
        Speed::Times(x) => Pace::Times(x),
        Speed::Max => Pace::Unlimited,
    };
    let line = match arguments.over_tcp {
        true => Line::Loopback,
        false => Line::default(),
    };
    let (benches, truth) = story
        .begin(arguments.seed, line, pace)
        .map_err(Failure::other)?;
    let mut sealer = arguments.sealing.sealer()?;
    let recorded = record(story, benches, arguments, (runtime, requests))?;
    let outcome = close(&recorded, &mut sealer)?;
    truth.iter().for_each(|line| say(format!("  {line}")));
    Ok(outcome)
}

fn record(
    story: Story,
    mut benches: Benches,
    arguments: &RehearseArguments,
    (runtime, mut requests): (tokio::runtime::Runtime, StopRequests),
) -> Result<Recorded, Failure> {
    let dialect = story.dialect().map_err(Failure::other)?;
    let companions = benches.companions(story, &dialect);
    let settings = Settings {
        criteria: story.criteria(),
        ..Settings::default()
    }
    .with_job(story.job());
    let header = story.header(
        &dialect,
        &settings.criteria,
        (&companions, &benches),
        MADE_BY,
    );
    let page = ServedPage::open(&arguments.page)?;
    let recorded = runtime.block_on(async {
        let gauges = benches.connect(&dialect).await.map_err(Failure::other)?;
        let mut recorder =
            Recorder::start(&arguments.out, &header, &dialect, settings, companions)?;
        say(format!("Recording to {}", recorder.folder().display()));
        // a rehearsal without a view takes no keys, but what a page asks for
        let code = page.as_ref().and_then(ServedPage::code);
        let view = match arguments.view() {
            ViewKind::Line => attach_line_without_keys(recorder.watch(Follow::Calmly)),
            _ => attach(|follow| recorder.watch(follow), ViewKind::Full, code),
        };
        if let Some(page) = &page {
            page.show(recorder.watch(Follow::Closely), view.asks.clone());
        }
        let marks = Marks::asked_for(view.acts).with_timed(Box::new(benches.marks()));
        let stop = requests.next(!view.interactive);
        let recorded = recorder
            .record(gauges, marks, Arc::new(AtTerminal), stop, || {
                benches.finished()
            })
            .await;
        view.views.gone().await;
        Ok::<_, Failure>(recorded?)
    })?;
    // keys are read on a thread that waits for the keyboard
    runtime.shutdown_background();
    if recorded.ending == Ending::Ended {
        benches.join().map_err(Failure::other)?;
    }
    Ok(recorded)
}
