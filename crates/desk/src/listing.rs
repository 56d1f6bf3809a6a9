//! A run of a list: is it one that is asked for, and what is said of it?

use std::path::Path;

use chrono::{Local, NaiveDate};
use run_record::{ImportOptions, RunHeader};
use run_review::{Advice, Draw, Record, known_findings};
use seal_keys::PublicKey;

use crate::run_table::{Listed, edited_after_sealing, indicates_leak};

/// Which runs are asked for; everything where nothing is said.
#[derive(Debug, Clone, Default)]
pub struct Wanted {
    /// Only runs that began on this day or later.
    pub since: Option<NaiveDate>,
    /// Only runs that began on this day or earlier.
    pub until: Option<NaiveDate>,
    /// Only runs whose job number holds this, whatever its case.
    pub job: Option<String>,
    /// Only runs with this verdict, by its word.
    pub verdict: Option<String>,
}

/// A run, if it is one that is asked for, and why it could not be read. Cheap
/// questions come first.
#[must_use]
pub fn listed(
    folder: &Path,
    wanted: &Wanted,
    own_keys: &[PublicKey],
    advice: &Advice,
) -> (Option<Listed>, Option<String>) {
    let header = RunHeader::read(&folder.join("job.toml")).ok();
    let started = header.as_ref().and_then(|h| h.started);
    let day = started.map(|t| t.with_timezone(&Local).date_naive());
    let outside = |limit: Option<NaiveDate>, is: fn(&NaiveDate, &NaiveDate) -> bool| {
        limit.is_some_and(|limit| !day.is_some_and(|day| is(&day, &limit)))
    };
    if outside(wanted.since, |day, limit| day >= limit)
        || outside(wanted.until, |day, limit| day <= limit)
    {
        return (None, None);
    }
    let job = header
        .as_ref()
        .map(|h| h.job.id.clone())
        .unwrap_or_default();
    let part = wanted.job.as_ref().map(|j| j.to_lowercase());
    if part.is_some_and(|part| !job.to_lowercase().contains(&part)) {
        return (None, None);
    }
    let known = own_keys.iter().find_map(|key| known_findings(folder, key));
    let reviewed_now = known.is_none();
    let (findings, unreadable) = match known {
        Some(known) => (Some(known), None),
        None => findings_now(folder, advice),
    };
    let edited = match reviewed_now && run_record::is_sealed(folder) {
        true => edited_after_sealing(folder),
        false => Vec::new(),
    };
    let text = |value: &serde_json::Value| value.as_str().map(str::to_owned);
    let verdict = findings.as_ref().and_then(|f| text(&f["verdict"]));
    let other = |wanted| verdict.as_ref() != Some(wanted);
    if wanted.verdict.as_ref().is_some_and(other) {
        return (None, unreadable);
    }
    let round = findings
        .as_ref()
        .and_then(|f| f["rounds"].as_array()?.last());
    let listed = Listed {
        path: folder.display().to_string(),
        started_utc: started.map(|t| t.to_rfc3339()),
        job,
        invented: header.as_ref().is_some_and(|h| h.job.invented),
        headline: findings.as_ref().and_then(|f| text(&f["headline"])),
        pass_with_leak: findings.as_ref().is_some_and(indicates_leak),
        verdict,
        reasons: findings
            .as_ref()
            .and_then(|f| Some(f["reasons"].as_array()?.iter().filter_map(text).collect()))
            .unwrap_or_default(),
        lowest_micron: round.and_then(|r| r["pulldown"]["lowest_micron"].as_f64()),
        hold_s: round.and_then(|r| r["hold"]["duration_s"].as_f64()),
        recording: run_record::is_being_recorded(folder).unwrap_or(false),
        reviewed_now,
        edited_after_sealing: edited,
        started,
    };
    (Some(listed), unreadable)
}

/// Its findings, made just now. A run that cannot be read has none, and a reason.
fn findings_now(folder: &Path, advice: &Advice) -> (Option<serde_json::Value>, Option<String>) {
    let judged = Record::open(folder, &ImportOptions::default())
        .and_then(|record| record.judge_as_recorded(Draw::No, advice));
    match judged {
        Ok(judged) => (serde_json::from_str(&judged.json()).ok(), None),
        Err(error) => (None, Some(format!("{}: {error}", folder.display()))),
    }
}
