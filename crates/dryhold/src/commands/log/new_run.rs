//! What a run is recorded from and into, as the command line and the job file say.

use std::path::{Path, PathBuf};

use analyser::Settings;
use console::{complain, say};
use job_form::{ShopLogo, last_gauge::LastGauge, memory};
use recorder::{GaugeChoice, Plan};
use report::Logo;
use run_record::{JobFile, RunHeader};
use run_review::before_the_job;
use sensor_reader::Dialect;
use vacuum::{Criteria, GaugeIdentity, Job, Pressure, TestKind, TestPlan};
use wording::Voice;

use super::{arguments::LogArguments, job_photo::JobPhoto, last_gauge};
use crate::{made_by::MADE_BY, options::judging::JudgingArguments, outcome::Failure};

/// What is recorded, from where, and into what.
pub(crate) struct Recording {
    pub(crate) gauges: Plan,
    pub(crate) settings: Settings,
    pub(crate) record: Record,
    /// To be put into a new run folder.
    pub(crate) logo: Option<ShopLogo>,
    pub(crate) photo: JobPhoto,
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
    let LastGauge {
        port,
        dialect,
        baud,
    } = &last_gauge::chosen(arguments)?;
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
    let logo = ShopLogo::take(
        &mut job_file.job.sheet,
        arguments.job.as_deref(),
        Logo::MOST_BYTES,
    );
    let photo = JobPhoto::take(&mut job_file.job, arguments.job.as_deref());
    if !second_gauge && job_file.pump_gauge != GaugeIdentity::default() {
        complain(
            "the job file has a [pump_gauge] but no --pump-port is given; one gauge is recorded",
        );
    }
    let mut test = arguments.test.plan(&job_file.test);
    if test.kind == TestKind::Evacuation {
        tell_of_rig(&arguments.out, &job_file.job);
    }
    let judged = GaugeChoice {
        port,
        dialect,
        baud: *baud,
        barometer: air_of(&test),
    };
    let gauges = Plan::new(
        judged,
        arguments.pump_side(),
        &job_file.pump_gauge,
        (arguments.waits(), arguments.all_channels),
    )
    .and_then(|plan| plan.with_scale(arguments.scale(), arguments.waits()))
    .map_err(|e| match test.kind {
        TestKind::PressureDecay if test.barometer_pa.is_none() => Failure::usage(format!(
            "{e}. In a pressure test the gauge may count from the air around it: then give \
             --barometer-hpa, or barometer_hpa under [test] in the job file"
        )),
        _ => e.into(),
    })?;
    test.counts_from_air = gauges.dialect().may_count_from_air();
    test.barometer_recorded = test.counts_from_air && gauges.dialect().carries_barometer();
    let usual = Criteria::usual_for(test.kind);
    let criteria = job_file.criteria.as_ref().unwrap_or(&usual);
    let settings = arguments
        .judging
        .settings_live(Some(&job_file.job), Some(criteria))?;
    let header = RunHeader {
        test,
        job: job_file.job,
        criteria: Some(settings.criteria.clone()),
        dialect: Some(gauges.dialect().name().to_owned()),
        assumed_unit: gauges.dialect().fixed_unit(),
        port: Some(port.clone()),
        software: MADE_BY.to_owned(),
        started: None,
        beside: gauges.companions().in_header(),
        scale: gauges.scale(),
    };
    Ok(Recording {
        gauges,
        settings,
        record: Record::New(arguments.out.clone(), Box::new(header)),
        logo,
        photo,
    })
}

/// Says what the records know of pump, hoses and gauge before they go on a system.
fn tell_of_rig(folder: &Path, job: &Job) {
    let now_s = chrono::Utc::now().timestamp() as f64;
    let voice = Voice::default();
    for warning in before_the_job(folder, job, now_s, &JudgingArguments::ADVICE) {
        complain(wording::rig_warning(&voice, &warning));
    }
}

/// The barometer of a test under pressure.
pub(super) fn air_of(test: &TestPlan) -> Option<Pressure> {
    let barometer_pa = test
        .barometer_pa
        .filter(|_| test.kind == TestKind::PressureDecay)?;
    Pressure::from_pa(barometer_pa).ok()
}

/// Says which unit is taken where the gauge sends none.
pub(crate) fn tell_assumed_unit(dialect: &Dialect) {
    if let Some(unit) = dialect.fixed_unit() {
        say(format!(
            "Unit {unit} is assumed, the gauge sends none: compare with its display."
        ));
    }
}
