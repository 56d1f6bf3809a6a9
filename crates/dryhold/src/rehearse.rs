//! `dryhold rehearse`: an invented system and gauge over a real pseudo-terminal,
//! through the very code `log` uses.

use std::io::IsTerminal;

use analyser::Settings;
use rehearsal::{GaugeBench, Pace, Scenario, Simulation, Truth, scenarios};
use run_record::{Companion, RunHeader};
use sensor_reader::{Address, Clock, Dialect, GaugeStream, Options};
use tokio::sync::mpsc;

use crate::{
    arguments::{RehearseArguments, Speed},
    beside::{Beside, PUMP_SIDE, PUMP_SIDE_NAME},
    gauges::Gauges,
    judged::MADE_BY,
    log,
    outcome::{Failure, Outcome, say},
    output,
    page::ServedPage,
    seal::Sealer,
    session::{Marks, Session},
    stop::StopRequests,
    view::{attach, choice::ViewKind, keyboard},
};

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
    let runtime = log::runtime()?;
    let requests = StopRequests::listen(&runtime);
    output::detach();
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
    let mut sealer = Sealer::prepare(&arguments.sealing)?;
    let recorded = record(scenario, benches, arguments, (runtime, requests))?;
    let outcome = log::close(&recorded, &mut sealer)?;
    tell_truth(&truth);
    Ok(outcome)
}

fn record(
    scenario: &Scenario,
    mut benches: Benches,
    arguments: &RehearseArguments,
    (runtime, mut requests): (tokio::runtime::Runtime, StopRequests),
) -> Result<crate::session::Recorded, Failure> {
    let dialect = Dialect::from_toml(GaugeBench::dialect_toml(), "rehearsal-gauge")
        .map_err(Failure::other)?;
    debug_assert_eq!(
        dialect.clock(),
        Clock::Device,
        "simulated time may run faster"
    );
    let beside = benches.beside(scenario, &dialect);
    let settings = Settings::default().with_job(&scenario.job);
    let header = RunHeader {
        job: scenario.job.clone(),
        criteria: Some(settings.criteria.clone()),
        dialect: Some(dialect.name().to_owned()),
        assumed_unit: dialect.fixed_unit(),
        port: Some(PORT.into()),
        software: MADE_BY.to_owned(),
        started: None,
        beside: beside.companions(),
    };
    let page = ServedPage::open(&arguments.page)?;
    let recorded = runtime.block_on(async {
        let gauges = benches.connect(&dialect).await?;
        let mut session = Session::start(&arguments.out, &header, &dialect, settings, beside)?;
        say(format!("Recording to {}", session.folder().display()));
        // a rehearsal without a view takes no keys, but what a page asks for
        let watched = arguments.view() != ViewKind::Line;
        let mut view = watched.then(|| {
            let code = page.as_ref().and_then(ServedPage::code);
            attach::attach(&mut session, ViewKind::Full, code)
        });
        if let Some(view) = &mut view {
            view.mind_signals();
        }
        let interactive = std::io::stdout().is_terminal();
        let (asks, acts) = match view {
            Some(view) => (view.asks, view.acts),
            None => {
                let (asks, acts) = mpsc::unbounded_channel();
                #[cfg(unix)]
                tokio::spawn(keyboard::mind_signals(None, interactive, asks.clone()));
                (asks, acts)
            }
        };
        if let Some(page) = &page {
            page.show(session.watch_beside(), asks.clone());
        }
        let marks = Marks::timed(benches.judged.marks(), Some(acts));
        let stop = requests.next(!interactive);
        session
            .record(gauges, marks, stop, || benches.finished())
            .await
    })?;
    // keys are read on a thread that waits for the keyboard
    runtime.shutdown_background();
    if recorded.ending == crate::session::Ending::Ended {
        benches.join()?;
    }
    Ok(recorded)
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

    fn beside(&self, scenario: &Scenario, dialect: &Dialect) -> Beside {
        let mut beside = Beside::default();
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
