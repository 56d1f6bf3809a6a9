//! `dryhold log --resume`: goes on with a run that was cut off.

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use console::say;
use recorder::Plan;
use run_record::{RunHeader, is_being_recorded};
use sensor_reader::Dialect;

use super::{
    arguments::LogArguments,
    job_photo::JobPhoto,
    new_run::{Record, Recording, air_of},
};
use crate::outcome::Failure;

/// A run left longer ago than this is not the one to go on with.
const RECENT: Duration = Duration::from_secs(24 * 3600);

/// Takes job, criteria and dialect from the record. Options may repeat them but
/// not contradict.
pub(crate) fn recording(arguments: &LogArguments, folder: &Path) -> Result<Recording, Failure> {
    if !folder.join("trace.csv").is_file() {
        return Err(Failure::other(format!(
            "{}: this folder holds no trace.csv, so there is no run to resume",
            folder.display()
        )));
    }
    // said before the gauge is asked for, which the other program holds as well
    if is_being_recorded(folder)? {
        return Err(Failure::other(format!(
            "{}: another program is recording into this folder: stop it first, or record \
             elsewhere",
            folder.display()
        )));
    }
    let header = RunHeader::read(&folder.join("job.toml"))?;
    let port = arguments.port.as_ref().or(header.port.as_ref());
    let port = port.ok_or_else(|| {
        Failure::usage("the record does not say where the gauge was connected: give --port")
    })?;
    let dialect = dialect(arguments, &header)?;
    let judged = (port.as_str(), dialect, arguments.baud);
    let gauges = Plan::resumed(judged, arguments.pump_side(), &header, arguments.waits())?
        .resumed_with_scale(arguments.scale(), &header, arguments.waits())?;
    let recorded = header.criteria.clone().unwrap_or_default();
    let mut settings = arguments
        .judging
        .settings_live(Some(&header.job), header.criteria.as_ref())?;
    let given = &settings.criteria;
    let same = given.target_micron == recorded.target_micron
        && given.hold_min == recorded.hold_min
        && given.ceiling_micron == recorded.ceiling_micron
        && given.further == recorded.further;
    if !same {
        return Err(Failure::usage(
            "this run is recorded against the criteria in its job.toml: leave --target-micron, \
             --hold-min and --ceiling-micron out, and give them to dryhold review",
        ));
    }
    settings.criteria = recorded;
    Ok(Recording {
        gauges,
        settings,
        record: Record::Resumed(folder.to_owned()),
        logo: None,
        photo: JobPhoto::default(),
    })
}

fn dialect(arguments: &LogArguments, header: &RunHeader) -> Result<Dialect, Failure> {
    let load = |name: &str| match air_of(&header.test) {
        Some(air) => Dialect::load_under_pressure(name, air),
        None => Dialect::load(name),
    };
    let Some(given) = &arguments.dialect else {
        let name = header.dialect.as_deref().unwrap_or_default();
        return load(name).map_err(|_| {
            Failure::usage(format!(
                "the record's dialect \"{name}\" is not one that ships with this program: give \
                 its file with --dialect FILE"
            ))
        });
    };
    let dialect = load(given).map_err(Failure::usage)?;
    match header.dialect.as_deref() {
        Some(name) if name != dialect.name() => Err(Failure::usage(format!(
            "this run was recorded with the dialect \"{name}\", not \"{}\": leave --dialect out, \
             or record a new run",
            dialect.name()
        ))),
        _ => Ok(dialect),
    }
}

/// Says so when the newest run below `out` was cut off not long ago.
pub(crate) fn hint(out: &Path) {
    if let Some(folder) = cut_off(out) {
        say(format!(
            "The last run, {}, was not finished. To go on with it: dryhold log --resume {}",
            folder.display(),
            folder.display()
        ));
    }
}

/// The newest run below `out`, if it was not finished and is not being recorded.
fn cut_off(out: &Path) -> Option<PathBuf> {
    let folders = std::fs::read_dir(out).ok()?.filter_map(Result::ok);
    // their names begin with the time they started
    let newest = folders.map(|entry| entry.path()).max()?;
    let trace = newest.join("trace.csv").metadata().ok()?;
    let recent = trace.modified().ok()?.elapsed().is_ok_and(|t| t < RECENT);
    let has_rows = trace.len() > 200;
    let finished = newest.join("findings.json").exists() || newest.join("seal.json").exists();
    let left = recent && has_rows && !finished && !is_being_recorded(&newest).unwrap_or(true);
    left.then_some(newest)
}
