//! What the records of a shop say of its pumps, hose sets and gauges.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError},
    time::SystemTime,
};

use analyser::{Certainty, Findings, RiseKind, Settings, StallKind};
use rig_history::{
    Beside, NextJob, Overview, Run, Warning, overview, pumped_s, same_name, share, warnings,
};
use rig_notes::Found;
use run_record::{ImportOptions, RunHeader, Source};
use vacuum::{Criteria, Entry, GaugeIdentity, Job, Mark, TestKind, is_pump_side};

use crate::{
    error::ReviewError,
    in_order::{all_cores, in_order},
    judge::{Judged, Record},
    other_gauges::{Advice, Draw},
    runs_below::runs_below,
};

/// Expanded uncertainty of a gauge whose accuracy nobody states, as a share of its reading
/// (common practice, no source: as `analyser` takes it).
const EXPANDED: f64 = 0.10;
/// Seconds in an hour.
const HOUR_S: f64 = 3_600.0;

/// Runs and notes of a shop.
#[derive(Debug, Default)]
pub struct RigRecords {
    /// What each record says of its parts.
    pub runs: Vec<Run>,
    /// What was noted.
    pub notes: Found,
    /// Records, or the notes, that could not be read, each with its reason, in one line.
    pub unread: Vec<String>,
}

impl RigRecords {
    /// Reads every run below a folder, on all cores, and the notes in it.
    #[must_use]
    pub fn below(folder: &Path, advice: &Advice) -> Self {
        Self::read(folder, Depth::Whole, advice)
    }

    /// The same for a blank-off test: evacuations are read and not judged, so that only the
    /// hours of pumping are known of them. A folder that has not changed is read once.
    #[must_use]
    pub fn for_test(folder: &Path, advice: &Advice) -> Arc<Self> {
        static READ: Mutex<BTreeMap<PathBuf, (Changed, Arc<RigRecords>)>> =
            Mutex::new(BTreeMap::new());
        let changed = changed(folder);
        let mut all = READ.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((then, known)) = all.get(folder)
            && *then == changed
        {
            return Arc::clone(known);
        }
        let read = Arc::new(Self::read(folder, Depth::HoursAndTests, advice));
        all.insert(folder.to_owned(), (changed, Arc::clone(&read)));
        read
    }

    fn read(folder: &Path, depth: Depth, advice: &Advice) -> Self {
        let found = runs_below(folder);
        let mut records = Self::default();
        records.unread.extend(found.complaints());
        in_order(
            found.runs.len(),
            all_cores(),
            |i| run_to(depth, &found.runs[i], advice),
            |read| match read {
                Ok(run) => records.runs.push(run),
                Err(why) => records.unread.push(why.to_string()),
            },
        );
        match rig_notes::read(folder) {
            Ok(notes) => records.notes = notes,
            Err(why) => records.unread.push(why.to_string()),
        }
        let notes = rig_notes::file_of(folder);
        let problems = records.notes.problems.iter();
        let problems = problems.map(|p| format!("{}: {p}", notes.display()));
        records.unread.extend(problems);
        records
    }

    /// Pumps, hose sets and gauges as they are now.
    #[must_use]
    pub fn overview(&self) -> Overview {
        overview(&self.runs, &self.notes.plain())
    }
}

/// What the records below `folder` say of pump, hoses and gauge of a job that is about to be
/// recorded: tired or wet oil, a test that failed, oil of the last system that does harm in
/// this one, a calibration that is overdue. `now_s` is s since 1970-01-01 UTC. Nothing is
/// read for a job that names neither pump nor hose set.
#[must_use]
pub fn before_the_job(folder: &Path, job: &Job, now_s: f64, advice: &Advice) -> Vec<Warning> {
    if (job.pump.is_none() && job.hose.is_none()) || !folder.is_dir() {
        return Vec::new();
    }
    let overview = RigRecords::for_test(folder, advice).overview();
    let mut all = warnings(&overview, now_s, &NextJob::of(job));
    all.retain(|warning| match warning {
        Warning::OilTired { .. }
        | Warning::TestFailed { .. }
        | Warning::WetOil { .. }
        | Warning::OilCarriedOver { .. } => true,
        Warning::CalibrationOverdue { gauge, .. } => {
            let serial = job.gauge.serial.as_deref();
            serial.is_some_and(|serial| same_name(serial, gauge))
        }
        // not of this job, or no reason to wait
        Warning::GaugesDisagree { .. } | Warning::NotTested { .. } => false,
    });
    all
}

impl Judged {
    /// Says what of its leak is the rig's own, by the newest blank-off test of its hose set
    /// before it, in the folder that the run lies in.
    pub fn take_rig_off(&mut self, advice: &Advice) {
        let around = self.origin.folder().and_then(|run| run.canonicalize().ok());
        let folder = around.as_deref().and_then(Path::parent);
        let hold = self.findings.judged_hold();
        let leak = hold.and_then(|h| h.rise.leak_micron_per_min);
        if let (Some(folder), Some(leak), Some(header)) = (folder, leak, &self.origin.header)
            && let Some(hose) = &header.job.hose
        {
            let began = began_s(header);
            let test = newest_test(folder, hose, began, advice);
            let notes = rig_notes::read(folder).unwrap_or_default().plain();
            let hold = (leak, header.job.volume_l);
            self.rig = share(test.as_slice(), &notes, hose, began, hold);
        }
    }
}

/// The newest blank-off test of a hose set that began before `began_s` and shows what leaks.
fn newest_test(folder: &Path, hose: &str, began_s: f64, advice: &Advice) -> Option<Run> {
    let mut tests: Vec<(f64, PathBuf)> = runs_below(folder)
        .runs
        .into_iter()
        .filter_map(|run| {
            let header = RunHeader::read(&run.join("job.toml")).ok()?;
            let its = header.job.hose.as_deref();
            let at_s = self::began_s(&header);
            let fits = header.test.kind == TestKind::BlankOff
                && its.is_some_and(|its| same_name(its, hose))
                && at_s < began_s;
            fits.then_some((at_s, run))
        })
        .collect();
    tests.sort_by(|a, b| b.0.total_cmp(&a.0));
    let read = tests.iter().filter_map(|(_, run)| run_of(run, advice).ok());
    read.into_iter()
        .find(|run| run.leak_micron_per_min.is_some())
}

/// The folder that a run folder lies in; `None` for anything else.
#[must_use]
pub fn shop_of(record: &Record) -> Option<PathBuf> {
    record.header()?;
    let path = record.path();
    let folder = match path.is_dir() {
        true => path,
        false => path.parent()?,
    };
    // the parent of "run" is "", and of "." what it stands for
    folder.canonicalize().ok()?.parent().map(Path::to_owned)
}

/// When a folder and its notes were written to last.
type Changed = (Option<SystemTime>, Option<SystemTime>);

fn changed(folder: &Path) -> Changed {
    let at = |path: &Path| path.metadata().and_then(|m| m.modified()).ok();
    (at(folder), at(&rig_notes::file_of(folder)))
}

/// How much of a record is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Depth {
    /// All of it.
    Whole,
    /// How long the pump ran, and blank-off tests.
    HoursAndTests,
}

/// What one record says.
fn run_of(folder: &Path, advice: &Advice) -> Result<Run, ReviewError> {
    run_to(Depth::Whole, folder, advice)
}

fn run_to(depth: Depth, folder: &Path, advice: &Advice) -> Result<Run, ReviewError> {
    let record = Record::open(folder, &ImportOptions::default())?;
    let header = record.header().cloned().unwrap_or_default();
    let job = &header.job;
    let mut run = Run {
        path: folder.display().to_string(),
        invented: job.invented,
        kind: header.test.kind,
        pump: job.pump.clone(),
        hose: job.hose.clone(),
        gauge: gauge_name(&job.gauge),
        calibration_due: job.gauge.calibration_due.clone(),
        refrigerant: job.refrigerant.clone(),
        oil: job.oil.clone(),
        volume_l: job.volume_l,
        ..Run::began(began_s(&header))
    };
    run.pumped_h = match run.kind {
        TestKind::PressureDecay => Some(0.0),
        _ => pumped(folder)?.map(|s| s / HOUR_S),
    };
    let criteria = header.criteria.clone();
    match run.kind {
        TestKind::PressureDecay => {}
        TestKind::Evacuation if depth == Depth::HoursAndTests => {}
        TestKind::BlankOff => {
            // a test of the rig is on no system
            (run.refrigerant, run.oil) = (None, None);
            let settings = Settings {
                criteria: criteria.unwrap_or_else(Criteria::rig_half_hour),
                ..Settings::default()
            }
            .with_job(job);
            let found = record
                .judge_blank_off(settings, None, None, (Draw::No, advice))?
                .findings;
            let reached = found.floor.filter(|f| f.reached_s.is_some());
            run.floor_micron = reached.map(|f| f.micron);
            run.verdict = Some(found.verdict.word().to_owned());
            if let Some(rise) = &found.rise {
                run.rise_micron_per_min = rise.micron_per_min;
                run.leak_micron_per_min = rise.hold.rise.leak_micron_per_min;
                run.wet = is_wet(&rise.hold.rise);
            }
        }
        TestKind::Evacuation => {
            let settings = Settings {
                criteria: criteria.unwrap_or_default(),
                ..Settings::default()
            }
            .with_job(job);
            let judged = record.judge(settings, Draw::No, advice)?;
            run.wet = saw_water(&judged.findings);
            run.beside = beside(&header, &judged.findings);
        }
    }
    Ok(run)
}

/// When a run began, s since 1970-01-01 UTC; the beginning of time where nobody knows.
pub(crate) fn began_s(header: &RunHeader) -> f64 {
    let started = header.started.map(|at| at.timestamp_millis());
    // milliseconds of a date are exact in a double
    started.map_or(f64::NEG_INFINITY, |ms| ms as f64 / 1e3)
}

/// How long the pump ran, s; `None` without rows.
fn pumped(folder: &Path) -> Result<Option<f64>, ReviewError> {
    let mut source = Source::open(folder, &ImportOptions::default())?;
    let (mut marks, mut span): (Vec<Mark>, Option<(f64, f64)>) = (Vec::new(), None);
    while let Some(entry) = source.next_entry()? {
        let at_s = entry.elapsed_s();
        span = Some(span.map_or((at_s, at_s), |(from, to)| (from, to.max(at_s))));
        if let Entry::Mark(mark) = entry {
            match mark.withdraws() {
                Some(_) => drop(Mark::withdraw_from(&mark, &mut marks)),
                None => marks.push(mark),
            }
        }
    }
    Ok(span.map(|span| pumped_s(span, &marks)))
}

/// What a gauge is known by.
fn gauge_name(gauge: &GaugeIdentity) -> Option<String> {
    gauge.serial.clone().or_else(|| gauge.description.clone())
}

fn is_wet(rise: &analyser::Rise) -> bool {
    matches!(rise.kind, RiseKind::Moisture | RiseKind::LeakAndMoisture)
        && matches!(rise.certainty(), Certainty::Stated(_))
}

fn saw_water(findings: &Findings) -> bool {
    findings.rounds.iter().any(|round| {
        let stalls = round.pulldown.iter().flat_map(|p| &p.stalls);
        let boiled = stalls
            .into_iter()
            .any(|s| matches!(s.kind, StallKind::BoilOff | StallKind::Ice));
        boiled || round.hold.as_ref().is_some_and(|h| is_wet(&h.rise))
    })
}

/// Gauges that felt the same volume in the hold. One at the pump does not.
fn beside(header: &RunHeader, findings: &Findings) -> Vec<Beside> {
    let mut all = Vec::new();
    for (named, found) in header.beside.iter().zip(&findings.auxiliary) {
        let Some(hold) = found.hold.filter(|_| !is_pump_side(&named.place)) else {
            continue;
        };
        let Some(judged) = findings.judged_hold().and_then(|h| {
            let (from, to) = h.start_micron.zip(h.end_micron)?;
            Some(0.5 * (from + to))
        }) else {
            continue;
        };
        if hold.same_volume == Some(false) {
            continue;
        }
        let other = judged - hold.difference_micron;
        all.push(Beside {
            gauge: gauge_name(&named.gauge).unwrap_or_else(|| named.name.clone()),
            micron: (judged, other),
            expanded_micron: (EXPANDED * judged, EXPANDED * other),
        });
    }
    all
}
