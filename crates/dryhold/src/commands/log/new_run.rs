//! What a run is recorded from and into, as the command line and the job file say.

use std::path::PathBuf;

use analyser::Settings;
use console::{complain, say};
use job_form::memory;
use recorder::{GaugeChoice, Plan};
use run_record::{JobFile, RunHeader};
use sensor_reader::Dialect;
use vacuum::{GaugeIdentity, Job};

use super::{arguments::LogArguments, shop_logo::ShopLogo};
use crate::{made_by::MADE_BY, outcome::Failure};

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

/// A new run.
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
    if !second_gauge && job_file.pump_gauge != GaugeIdentity::default() {
        complain(
            "the job file has a [pump_gauge] but no --pump-port is given; one gauge is recorded",
        );
    }
    let judged = GaugeChoice {
        port,
        dialect,
        baud: arguments.baud,
    };
    let gauges = Plan::new(
        judged,
        arguments.pump_side(),
        &job_file.pump_gauge,
        (arguments.waits(), arguments.all_channels),
    )?;
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
        beside: gauges.companions().in_header(),
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
