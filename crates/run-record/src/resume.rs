//! Going on with a record after a restart.

use std::{io, path::Path};

use chrono::{DateTime, TimeDelta, Utc};
use plain_file::Links;
use vacuum::{Entry, Mark, MarkKind, Reading, Weighing};

use crate::{
    chain::ChainStatus,
    chained::{ChainedTrace, Continuing},
    error::{AtPath, Problem, RecordError},
    header::{JOB_NAME, RunHeader, read_small},
    link::Link,
    parts::{continuations, file_name},
    run::RunReader,
    seal::is_sealed,
    storage::{FolderStorage, Storage},
    trace::{HEADER_ROW, SCALE_NAME, TRACE_NAME},
    writer::RunWriter,
};

/// A record that goes on.
#[derive(Debug)]
pub struct Resumed {
    /// Records from here on, into a fresh file beside those that are there.
    pub writer: RunWriter,
    /// What `job.toml` says.
    pub header: RunHeader,
    /// Elapsed time at which it goes on, s.
    pub elapsed_s: f64,
    /// How long there were no readings by the computer's clock; `None` when that
    /// clock is behind the last reading, so that nobody knows.
    pub away: Option<TimeDelta>,
}

/// Where a trace ends.
struct End {
    last_ms: u64,
    utc: Option<DateTime<Utc>>,
    trace: ChainedTrace,
}

impl RunWriter {
    /// Goes on with the record in this run folder, for instance after a restart.
    /// No file that is there is touched: rows go to the next part of the trace.
    /// The first of them are a gap, which begins at the last row, and a note
    /// that says how long it lasted. Time goes on by the computer's clock.
    ///
    /// # Errors
    /// When it is no run folder or cannot be read or written,
    /// [`RecordError::is_locked`] when another program records there, when its
    /// chain of links is broken, and when it is sealed.
    pub fn resume(folder: &Path, now: DateTime<Utc>) -> Result<Resumed, RecordError> {
        if !std::fs::metadata(folder).reading(folder)?.is_dir() {
            return Err(RecordError::new(folder, Problem::NoFolder));
        }
        Self::resume_on(Box::new(FolderStorage::new(folder)), folder, now)
    }

    /// As [`RunWriter::resume`]; what is there is read from `folder`, what comes
    /// goes to a storage of the caller's own.
    ///
    /// # Errors
    /// As [`RunWriter::resume`].
    pub fn resume_on(
        mut storage: Box<dyn Storage>,
        folder: &Path,
        now: DateTime<Utc>,
    ) -> Result<Resumed, RecordError> {
        if !folder.join(TRACE_NAME).is_file() {
            return Err(RecordError::new(folder, Problem::NotARun));
        }
        // first of all the lock: two that resume at once must not both go on
        hold(&mut *storage, folder, TRACE_NAME)?;
        if is_sealed(folder) {
            return Err(RecordError::new(folder, Problem::Sealed));
        }
        let job_path = folder.join(JOB_NAME);
        let job = read_small(&job_path, Links::Refuse)?;
        let header = RunHeader::from_bytes(&job_path, &job)?;
        storage.remember(JOB_NAME, &job);
        let end = end_of(&mut *storage, folder, TRACE_NAME)?;
        let mut gauges = Vec::new();
        for companion in &header.beside {
            let name = companion.file_name();
            if folder.join(&name).is_file() {
                hold(&mut *storage, folder, &name)?;
                gauges.push(end_of(&mut *storage, folder, &name)?);
            } else {
                // cut off before it was made
                let seed = Link::seed_beside(&name, HEADER_ROW, &job);
                let trace = ChainedTrace::start(&mut *storage, folder, name, seed)?;
                gauges.push(End {
                    last_ms: 0,
                    utc: None,
                    trace,
                });
            }
        }
        let scale = match &header.scale {
            Some(_) if folder.join(SCALE_NAME).is_file() => {
                hold(&mut *storage, folder, SCALE_NAME)?;
                Some(end_of(&mut *storage, folder, SCALE_NAME)?)
            }
            // cut off before it was made
            Some(_) => Some(End {
                last_ms: 0,
                utc: None,
                trace: Self::start_scale(&mut *storage, folder, &job)?,
            }),
            None => None,
        };
        let scale_ms = scale.as_ref().map_or(0, |end| end.last_ms);
        let last_utc = end.utc.or(header.started).unwrap_or(now);
        let away = Some(now - last_utc).filter(|away| *away >= TimeDelta::zero());
        let away_ms = away.map_or(0, |away| away.num_milliseconds().unsigned_abs());
        let last_s = end.last_ms as f64 / 1000.0;
        let elapsed_s = (end.last_ms + away_ms) as f64 / 1000.0;
        let (ends, beside): (Vec<u64>, Vec<_>) =
            gauges.into_iter().map(|g| (g.last_ms, g.trace)).unzip();
        let mut writer = Self::over(storage, folder, end.trace, beside, scale.map(|s| s.trace));
        let gap = Reading::gap(last_s);
        writer.append(&Entry::Reading(gap), last_utc)?;
        let note = Entry::Mark(Mark {
            elapsed_s,
            kind: MarkKind::Note,
            note: note(away),
        });
        writer.append(&note, now)?;
        for (index, last_ms) in ends.into_iter().enumerate() {
            let gap = Reading::gap(last_ms as f64 / 1000.0);
            writer.append_beside(index, &gap, last_utc);
        }
        let gap = Weighing::gap(scale_ms as f64 / 1000.0);
        writer.append_weighing(&gap, last_utc);
        writer.sync()?;
        Ok(Resumed {
            writer,
            header,
            elapsed_s,
            away,
        })
    }
}

fn hold(storage: &mut dyn Storage, folder: &Path, name: &str) -> Result<(), RecordError> {
    storage.hold(name).map_err(|e| {
        let problem = match e.kind() {
            io::ErrorKind::WouldBlock => Problem::Locked,
            _ => Problem::Read(e),
        };
        RecordError::new(&folder.join(name), problem)
    })
}

/// Finds the last whole row of a trace that begins in `first`, and makes sure
/// that everything up to there is on disk.
fn end_of(storage: &mut dyn Storage, folder: &Path, first: &str) -> Result<End, RecordError> {
    let path = folder.join(first);
    let parts = continuations(&path).reading(&path)?;
    for part in parts.values() {
        hold(storage, folder, &file_name(part))?;
    }
    let mut reader = RunReader::open(&path, true)?;
    reader.read_links()?;
    if let ChainStatus::Broken(broken) = reader.summary().chain {
        let broken = broken.to_string();
        return Err(RecordError::new(folder, Problem::ChainBroken { broken }));
    }
    let no_row = || RecordError::new(&path, Problem::NotARun);
    let link = reader.last_link().ok_or_else(no_row)?;
    let (rows, last_ms, utc) = match reader.last_row() {
        None => (0, 0, None),
        Some(row) => {
            let elapsed_s = row.elapsed_s().ok_or_else(no_row)?;
            let last_ms = (elapsed_s * 1000.0).round() as u64;
            (row.seq.ok_or_else(no_row)?, last_ms, row.stamp())
        }
    };
    let from = Continuing {
        number: parts.keys().next_back().copied().unwrap_or(1),
        link,
        rows,
        last_ms,
    };
    Ok(End {
        last_ms,
        utc,
        trace: ChainedTrace::resume(folder, first.to_owned(), from),
    })
}

/// What stands in the record where it goes on.
fn note(away: Option<TimeDelta>) -> String {
    match away {
        Some(away) => format!(
            "recording resumed after {} without readings; this stretch is timed by the \
             computer's clock",
            span(away)
        ),
        None => "recording resumed; the computer's clock is behind the last reading, so it is \
                 not known how long there were no readings"
            .into(),
    }
}

/// "12 min 5 s", "3 h 2 min", "2 d 4 h".
fn span(time: TimeDelta) -> String {
    let s = time.num_seconds();
    let (minutes, hours, days) = (s / 60, s / 3600, s / 86_400);
    match s {
        ..60 => format!("{s} s"),
        60..3600 => format!("{minutes} min {} s", s % 60),
        3600..86_400 => format!("{hours} h {} min", minutes % 60),
        _ => format!("{days} d {} h", hours % 24),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_are_read_as_people_say_them() {
        let said = |s| span(TimeDelta::seconds(s));
        assert_eq!(said(5), "5 s");
        assert_eq!(said(725), "12 min 5 s");
        assert_eq!(said(3 * 3600 + 150), "3 h 2 min");
        assert_eq!(said(2 * 86_400 + 4 * 3600), "2 d 4 h");
    }
}
