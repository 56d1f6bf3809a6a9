//! `dryhold rehearse`: an invented system and gauge over a real pseudo-terminal,
//! through the very code `log` uses.

use std::collections::VecDeque;

use analyser::Settings;
use rehearsal::{GaugeBench, Pace, Scenario, Simulation, Truth, scenarios};
use run_record::RunHeader;
use sensor_reader::{Address, Clock, Dialect, GaugeStream, Options};

use crate::{
    arguments::{RehearseArguments, Speed},
    judged::MADE_BY,
    log,
    outcome::{Failure, Outcome, say},
    seal::Sealer,
    session::{Marks, Session},
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
    say(format!(
        "Rehearsal \"{}\": {}",
        scenario.name, scenario.title
    ));
    say("An invented system and gauge; nothing here is evidence of anything.");
    let simulation = Simulation::new(scenario, arguments.seed.unwrap_or(scenario.seed));
    let truth = simulation.truth().clone();
    let pace = match arguments.speed {
        Speed::Times(x) => Pace::Times(x),
        Speed::Max => Pace::Unlimited,
    };
    let bench = GaugeBench::open(simulation, pace).map_err(Failure::other)?;
    let sealer = Sealer::prepare(&arguments.sealing);
    let recorded = record(scenario, bench, arguments)?;
    let outcome = log::close(&recorded, &sealer)?;
    tell_truth(&truth);
    Ok(outcome)
}

fn record(
    scenario: &Scenario,
    mut bench: GaugeBench,
    arguments: &RehearseArguments,
) -> Result<crate::session::Recorded, Failure> {
    let dialect = Dialect::from_toml(GaugeBench::dialect_toml(), "rehearsal-gauge")
        .map_err(Failure::other)?;
    debug_assert_eq!(
        dialect.clock(),
        Clock::Device,
        "simulated time may run faster"
    );
    let port = bench.path().display().to_string();
    let address = Address::parse(&port).map_err(Failure::other)?;
    let settings = Settings::default().with_job(&scenario.job);
    let header = RunHeader {
        job: scenario.job.clone(),
        criteria: Some(settings.criteria.clone()),
        dialect: Some(dialect.name().to_owned()),
        port: Some("a pseudo-terminal of the rehearsal".into()),
        software: MADE_BY.to_owned(),
        started: None,
        beside: Vec::new(),
    };
    let recorded = log::runtime()?.block_on(async {
        let gauge = GaugeStream::open(&address, &dialect, Options::default())
            .await
            .map_err(Failure::other)?;
        let session = Session::start(&arguments.out, &header, &dialect, settings)?;
        say(format!("Recording to {}", session.folder().display()));
        let marks = Marks::Timed(bench.marks(), VecDeque::new());
        let interrupted = async {
            if tokio::signal::ctrl_c().await.is_err() {
                std::future::pending::<()>().await;
            }
        };
        session
            .record(gauge, marks, interrupted, || bench.finished())
            .await
    })?;
    if recorded.ending == crate::session::Ending::Ended {
        bench.join().map_err(Failure::other)?;
    }
    Ok(recorded)
}

/// What the simulation knows and the analyser did not.
fn tell_truth(truth: &Truth) {
    let rise = truth.rise.map_or("no hold", |r| r.word()).replace('_', " ");
    let verdict = truth.verdict.word().replace('_', " ");
    let leak = truth.leak_micron_per_min;
    let decimals = usize::from(leak < 10.0);
    say(format!(
        "  What was simulated: verdict {verdict}, rise {rise}, leak {leak:.decimals$} micron/min."
    ));
}
