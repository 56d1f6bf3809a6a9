//! `dryhold rehearse`: an invented system and gauge over a real pseudo-terminal,
//! through the very code `log` uses.

use std::{
    collections::VecDeque,
    path::PathBuf,
    sync::{Arc, mpsc::Receiver},
};

use analyser::Settings;
use clap::Args;
use console::say;
use recorder::{Companions, Ending, Gauges, Marks, PUMP_SIDE_NAME, Recorded, Recorder, TimedMarks};
use rehearsal::{GaugeBench, Pace, Scenario, Simulation, TimedMark, Truth, scenarios};
use run_record::{Companion, RunHeader};
use sensor_reader::{Address, Clock, Dialect, GaugeStream, Options};
use terminal_view::{ViewKind, attach, attach_line_without_keys};
use vacuum::{Mark, PUMP_SIDE};
use watch::Follow;

use crate::{
    made_by::MADE_BY,
    options::{
        page::PageArguments,
        ranges,
        sealing::SealingArguments,
        view::{ViewChoice, chosen},
    },
    outcome::{Failure, Outcome},
    recording::{
        close::close, operator::AtTerminal, page::ServedPage, runtime, stop::StopRequests,
    },
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
    ranges::speed(text)
        .map(Speed::Times)
        .map_err(|why| format!("{why}, or be \"max\""))
}

/// Plays a scenario, records it, reviews it, draws it.
pub(crate) fn run(arguments: &RehearseArguments) -> Result<Outcome, Failure> {
    if arguments.list {
        for scenario in scenarios() {
            say(format!("{:<20} {}", scenario.name, scenario.title));
        }
        return Ok(Outcome::Done);
    }
    let scenario = Scenario::named(&arguments.scenario).ok_or_else(|| {
        let names: Vec<&str> = scenarios().iter().map(|s| s.name).collect();
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
        scenario.name, scenario.title
    ));
    say("An invented system and gauge; nothing here is evidence of anything.");
    let simulation = Simulation::new(scenario, arguments.seed.unwrap_or(scenario.seed));
    let truth = simulation.truth().clone();
    let pace = match arguments.speed() {
        Speed::Times(x) => Pace::Times(x),
        Speed::Max => Pace::Unlimited,
    };
    let benches = Benches::open(simulation, pace)?;
    let mut sealer = arguments.sealing.sealer()?;
    let recorded = record(scenario, benches, arguments, (runtime, requests))?;
    let outcome = close(&recorded, &mut sealer)?;
    tell_truth(&truth);
    Ok(outcome)
}

fn record(
    scenario: &Scenario,
    mut benches: Benches,
    arguments: &RehearseArguments,
    (runtime, mut requests): (tokio::runtime::Runtime, StopRequests),
) -> Result<Recorded, Failure> {
    let dialect = Dialect::from_toml(GaugeBench::dialect_toml(), "rehearsal-gauge")
        .map_err(Failure::other)?;
    debug_assert_eq!(
        dialect.clock(),
        Clock::Device,
        "simulated time may run faster"
    );
    let companions = benches.companions(scenario, &dialect);
    let settings = Settings::default().with_job(&scenario.job);
    let header = RunHeader {
        job: scenario.job.clone(),
        criteria: Some(settings.criteria.clone()),
        dialect: Some(dialect.name().to_owned()),
        assumed_unit: dialect.fixed_unit(),
        port: Some(PORT.into()),
        software: MADE_BY.to_owned(),
        started: None,
        beside: companions.in_header(),
    };
    let page = ServedPage::open(&arguments.page)?;
    let recorded = runtime.block_on(async {
        let gauges = benches.connect(&dialect).await?;
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
        let simulated = SimulatedMarks {
            stamped: benches.judged.marks(),
            waiting: VecDeque::new(),
        };
        let marks = Marks::asked_for(view.acts).with_timed(Box::new(simulated));
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
        benches.join()?;
    }
    Ok(recorded)
}

/// Marks that the simulated technician stamps, on the gauge's clock.
struct SimulatedMarks<'a> {
    stamped: &'a Receiver<TimedMark>,
    waiting: VecDeque<TimedMark>,
}

impl TimedMarks for SimulatedMarks<'_> {
    fn due(&mut self, gauge_s: f64) -> Vec<Mark> {
        self.waiting.extend(self.stamped.try_iter());
        let count = self.waiting.iter().take_while(|m| m.t_s <= gauge_s).count();
        let due = self.waiting.drain(..count);
        due.map(|mark| Mark {
            elapsed_s: mark.t_s,
            kind: mark.kind,
            note: mark.note,
        })
        .collect()
    }
}

/// What the record says of the port.
const PORT: &str = "a pseudo-terminal of the rehearsal";

/// The simulated gauges, each on a pseudo-terminal of its own.
struct Benches {
    judged: GaugeBench,
    pump_side: Option<GaugeBench>,
}

impl Benches {
    fn open(simulation: Simulation, pace: Pace) -> Result<Self, Failure> {
        let bench = |simulation| GaugeBench::open(simulation, pace).map_err(Failure::other);
        Ok(Self {
            pump_side: simulation.pump_side().map(bench).transpose()?,
            judged: bench(simulation)?,
        })
    }

    fn companions(&self, scenario: &Scenario, dialect: &Dialect) -> Companions {
        let mut beside = Companions::default();
        // both lines carry simulated time
        beside.one_clock = true;
        if self.pump_side.is_some() {
            beside.add_pump_side(Companion {
                name: PUMP_SIDE_NAME.into(),
                place: PUMP_SIDE.into(),
                dialect: Some(dialect.name().to_owned()),
                port: Some(PORT.into()),
                gauge: scenario.pump_gauge.clone().unwrap_or_default(),
            });
        }
        beside
    }

    async fn connect(&self, dialect: &Dialect) -> Result<Gauges, Failure> {
        let pump_side = match &self.pump_side {
            Some(bench) => Some(connect(bench, dialect).await?),
            None => None,
        };
        Ok(Gauges::new(
            connect(&self.judged, dialect).await?,
            pump_side,
        ))
    }

    /// True once everything was sent and read.
    fn finished(&self) -> bool {
        self.judged.finished() && self.pump_side.as_ref().is_none_or(GaugeBench::finished)
    }

    fn join(&mut self) -> Result<(), Failure> {
        let all = std::iter::once(&mut self.judged).chain(&mut self.pump_side);
        for bench in all {
            bench.join().map_err(Failure::other)?;
        }
        Ok(())
    }
}

async fn connect(bench: &GaugeBench, dialect: &Dialect) -> Result<GaugeStream, Failure> {
    let address = Address::parse(&bench.path().display().to_string()).map_err(Failure::other)?;
    GaugeStream::open(&address, dialect, Options::default())
        .await
        .map_err(Failure::other)
}

/// What the simulation knows and the analyser did not.
fn tell_truth(truth: &Truth) {
    let rise = truth.rise.map_or("no hold", |r| r.word()).replace('_', " ");
    let verdict = truth.verdict.word().replace('_', " ");
    let leak = truth.leak_micron_per_min;
    let decimals = usize::from(leak < 10.0);
    if let Some(ratio) = truth.pump_side.as_ref().and_then(|p| p.at_isolation_ratio) {
        say(format!(
            "  At the valve the far side truly stood at {ratio:.1} times the pump side."
        ));
    }
    say(format!(
        "  What was simulated: verdict {verdict}, rise {rise}, leak {leak:.decimals$} micron/min."
    ));
}
