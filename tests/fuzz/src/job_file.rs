//! The job file of a technician, and the job data of a run folder.
//!
//! Input: the bytes of a TOML file.
//!
//! Promises: data or one line of error; numbers are within what the reader says
//! it takes; both readers understand the same; a run recorded for this job lies
//! inside the folder it was meant for, whatever the job is called; and what was
//! written into the run folder reads back the same.

use std::path::Path;

use chrono::{DateTime, Utc};
use run_record::{JobFile, RunHeader, RunWriter};

use super::{entries::assert_told, scratch};

/// Longest file looked at; the sample has 1.8 kB.
const MOST_BYTES: usize = 8192;

/// Checks one input.
pub fn check(data: &[u8]) {
    let data = &data[..data.len().min(MOST_BYTES)];
    scratch::in_folder(|folder| {
        let path = folder.join("given.toml");
        scratch::put(&path, data);
        let header = RunHeader::read(&path);
        match (JobFile::read(&path), header) {
            (Err(one), Err(other)) => {
                assert_told(&one);
                assert_eq!(one.to_string(), other.to_string());
            }
            (Ok(file), Ok(header)) => {
                assert_eq!(file.job, header.job);
                assert_eq!(file.criteria, header.criteria);
                assert_within(&file);
                there_and_back(folder, &header);
            }
            (one, other) => panic!("{one:?}, but {other:?}"),
        }
    });
}

fn assert_within(file: &JobFile) {
    let job = &file.job;
    for number in [job.charge_g, job.volume_l] {
        assert!(number.is_none_or(|n| n.is_finite() && n > 0.0), "{job:?}");
    }
    for celsius in [job.ambient_c, job.coldest_part_c] {
        assert!(
            celsius.is_none_or(|t| (-60.0..=60.0).contains(&t)),
            "{job:?}"
        );
    }
    if let Some(criteria) = &file.criteria {
        let again = criteria.clone().checked();
        assert_eq!(again.as_ref(), Ok(criteria));
    }
}

fn there_and_back(folder: &Path, header: &RunHeader) {
    let parent = folder.join("runs");
    let started = DateTime::<Utc>::from_timestamp(1_773_479_700, 0);
    let started = started.unwrap_or_else(|| panic!("14 March 2026 is a date"));
    let written = match RunWriter::create(&parent, header, started) {
        Ok(writer) => writer.folder().to_owned(),
        Err(error) => return assert_told(&error),
    };
    assert_eq!(
        written.parent(),
        Some(parent.as_path()),
        "outside of its folder"
    );
    let inside = std::fs::read_dir(&parent)
        .map(Iterator::count)
        .unwrap_or_default();
    assert_eq!(inside, 1, "the run is not in its folder");
    let back = RunHeader::read(&written.join("job.toml"));
    let back = back.unwrap_or_else(|e| panic!("not readable once written: {e}"));
    let wanted = RunHeader {
        started: Some(started),
        ..header.clone()
    };
    assert_eq!(back, wanted);
    let _ = std::fs::remove_dir_all(&parent);
}
