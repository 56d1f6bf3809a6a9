//! `dryhold list`: finds runs by date, job and verdict.

use std::path::{Path, PathBuf};

use analyser::Verdict;
use chrono::{DateTime, Local, NaiveDate, TimeZone, Utc};
use clap::{Args, ValueEnum};
use console::{complain, say};
use custody::own_public_keys;
use run_record::{ImportOptions, RunHeader};
use run_review::{Draw, all_cores, in_order, known_findings, runs_below};
use seal_keys::PublicKey;
use serde::Serialize;
use wording::{Voice, verdict_words};

use crate::{
    below::tell_unreadable,
    options::judging::JudgingArguments,
    outcome::{Failure, Outcome},
};

/// Columns where the output is no terminal.
const USUAL_COLUMNS: usize = 100;

#[derive(Debug, Args)]
pub(crate) struct ListArguments {
    /// Run folders, or folders with runs in them
    #[arg(value_name = "DIR", default_value = "runs")]
    folders: Vec<PathBuf>,
    /// Only runs that began on this day or later, for instance 2026-03-14
    #[arg(long, value_name = "DAY")]
    since: Option<NaiveDate>,
    /// Only runs that began on this day or earlier
    #[arg(long, value_name = "DAY")]
    until: Option<NaiveDate>,
    /// Only runs whose job number holds this, whatever its case
    #[arg(long, value_name = "TEXT")]
    job: Option<String>,
    /// Only runs with this verdict
    #[arg(long, value_enum)]
    verdict: Option<VerdictWanted>,
    /// Prints one JSON object per run
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[value(rename_all = "snake_case")]
enum VerdictWanted {
    Pass,
    Fail,
    #[value(alias = "not-proven")]
    NotProven,
}

impl VerdictWanted {
    const fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::NotProven => "not_proven",
        }
    }
}

/// What is said of one run.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Listed {
    path: String,
    started_utc: Option<String>,
    job: String,
    invented: bool,
    verdict: Option<String>,
    /// The verdict with what stands against it: "PASS by the rule; a leak is indicated: …".
    headline: Option<String>,
    /// True when it passes by the rule and a leak is indicated all the same.
    pass_with_leak: bool,
    reasons: Vec<String>,
    lowest_micron: Option<f64>,
    hold_s: Option<f64>,
    /// True when a program records into it now.
    recording: bool,
    /// True when it was reviewed for this list; else its findings.json was read.
    reviewed_now: bool,
    #[serde(skip)]
    started: Option<DateTime<Utc>>,
}

/// Prints the table, or the objects.
pub(crate) fn run(arguments: &ListArguments) -> Result<Outcome, Failure> {
    let mut folders = Vec::new();
    for folder in &arguments.folders {
        if !folder.is_dir() {
            return Err(Failure::usage(format!(
                "{} is no folder; give the folder with your runs",
                folder.display()
            )));
        }
        let found = runs_below(folder);
        tell_unreadable(&found);
        folders.extend(found.runs);
    }
    folders.sort();
    folders.dedup();
    let own_keys = own_public_keys();
    let mut all: Vec<Listed> = Vec::new();
    in_order(
        folders.len(),
        all_cores(),
        |i| listed(&folders[i], arguments, &own_keys),
        |(listed, unreadable)| {
            unreadable.iter().for_each(complain);
            all.extend(listed);
        },
    );
    all.sort_by(|a, b| b.started.cmp(&a.started).then_with(|| b.path.cmp(&a.path)));
    if arguments.json {
        for run in &all {
            say(serde_json::to_string(run).map_err(Failure::other)?);
        }
        return Ok(Outcome::Done);
    }
    let columns = terminal_size::terminal_size().map_or(USUAL_COLUMNS, |(w, _)| w.0.into());
    table(&all, columns).iter().for_each(say);
    let reviewed = all.iter().filter(|r| r.reviewed_now).count();
    say(match (all.len(), reviewed) {
        (0, _) => format!("No such run among {}.", folders.len()),
        (n, 0) => format!(
            "{n} of {} runs, as their findings.json says, which your seal covers.",
            folders.len()
        ),
        (n, r) => format!(
            "{n} of {} runs; {r} reviewed just now, because findings.json was missing, not \
             covered by a seal of yours, older than the record, or from another version.",
            folders.len()
        ),
    });
    Ok(Outcome::Done)
}

/// A run, if it is one that is asked for, and why it could not be read. Cheap
/// questions come first.
fn listed(
    folder: &Path,
    arguments: &ListArguments,
    own_keys: &[PublicKey],
) -> (Option<Listed>, Option<String>) {
    let header = RunHeader::read(&folder.join("job.toml")).ok();
    let started = header.as_ref().and_then(|h| h.started);
    let day = started.map(|t| t.with_timezone(&Local).date_naive());
    let outside = |limit: Option<NaiveDate>, is: fn(&NaiveDate, &NaiveDate) -> bool| {
        limit.is_some_and(|limit| !day.is_some_and(|day| is(&day, &limit)))
    };
    if outside(arguments.since, |day, limit| day >= limit)
        || outside(arguments.until, |day, limit| day <= limit)
    {
        return (None, None);
    }
    let job = header
        .as_ref()
        .map(|h| h.job.id.clone())
        .unwrap_or_default();
    let wanted = arguments.job.as_ref().map(|j| j.to_lowercase());
    if wanted.is_some_and(|wanted| !job.to_lowercase().contains(&wanted)) {
        return (None, None);
    }
    let known = own_keys.iter().find_map(|key| known_findings(folder, key));
    let reviewed_now = known.is_none();
    let (findings, unreadable) = match known {
        Some(known) => (Some(known), None),
        None => findings_now(folder),
    };
    let text = |value: &serde_json::Value| value.as_str().map(str::to_owned);
    let verdict = findings.as_ref().and_then(|f| text(&f["verdict"]));
    if arguments
        .verdict
        .is_some_and(|v| verdict.as_deref() != Some(v.word()))
    {
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
        started,
    };
    (Some(listed), unreadable)
}

/// True when the code for a leak in a hold that passes is among the findings.
fn indicates_leak(findings: &serde_json::Value) -> bool {
    let all = findings["findings"].as_array();
    all.is_some_and(|all| all.iter().any(|f| f["code"] == "pass_with_leak"))
}

/// Its findings, made just now. A run that cannot be read has none, and a reason.
fn findings_now(folder: &Path) -> (Option<serde_json::Value>, Option<String>) {
    let nothing_else = JudgingArguments::default();
    let import = ImportOptions::default();
    match nothing_else.judge(folder, &import, Draw::No) {
        Ok(judged) => {
            let text = report::findings_json(&judged.findings, &judged.source);
            (serde_json::from_str(&text).ok(), None)
        }
        Err(failure) => (None, Some(format!("{}: {failure}", folder.display()))),
    }
}

/// The table in at most `columns`: the path, which may be long, comes last.
fn table(all: &[Listed], columns: usize) -> Vec<String> {
    if all.is_empty() {
        return Vec::new();
    }
    let job = all.iter().map(|r| r.job.chars().count()).max().unwrap_or(0);
    let job = job.clamp(3, (columns / 4).max(3));
    let head = format!(
        "{:<16}  {:<job$}  {:<10}  {:>13}  {:>8}  run",
        "started", "job", "verdict", "lowest micron", "hold"
    );
    let mut lines = vec![head];
    for run in all {
        let started = run.started.map_or("unknown".to_owned(), |t| {
            let local = Local.from_utc_datetime(&t.naive_utc());
            local.format("%Y-%m-%d %H:%M").to_string()
        });
        let verdict = match (&run.verdict, run.recording) {
            (_, true) => "recording".to_owned(),
            (Some(verdict), false) => verdict.replace('_', " "),
            (None, false) => "unreadable".to_owned(),
        };
        let lowest = run
            .lowest_micron
            .map_or("—".to_owned(), |p| Voice::default().reading_number(p));
        let hold = run
            .hold_s
            .map_or("—".to_owned(), |s| Voice::default().about(s));
        let name = run.path.as_str();
        lines.push(format!(
            "{started:<16}  {:<job$}  {verdict:<10}  {lowest:>13}  {hold:>8}  {name}",
            shortened(&run.job, job)
        ));
        // one breath: nobody reads "pass" without it
        let plain = verdict_words(&Voice::default(), Verdict::Pass);
        let passes = run.verdict.as_deref() == Some(Verdict::Pass.word()) && !run.recording;
        let more = run.headline.as_ref().filter(|h| passes && **h != plain);
        lines.extend(more.map(|headline| shortened(&format!("    {headline}"), columns)));
    }
    // a path that does not fit keeps its end, which tells runs apart
    lines
        .into_iter()
        .map(|line| fitted(&line, columns))
        .collect()
}

fn shortened(text: &str, most: usize) -> String {
    match text.chars().count() <= most {
        true => text.to_owned(),
        false => text
            .chars()
            .take(most.saturating_sub(1))
            .chain(['…'])
            .collect(),
    }
}

fn fitted(line: &str, columns: usize) -> String {
    let length = line.chars().count();
    if length <= columns {
        return line.to_owned();
    }
    let Some(at) = line.rfind("  ").filter(|at| *at + 12 < columns) else {
        return shortened(line, columns);
    };
    let (head, path) = line.split_at(at + 2);
    let room = columns.saturating_sub(head.chars().count() + 1);
    let skip = path.chars().count().saturating_sub(room);
    format!("{head}…{}", path.chars().skip(skip).collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_never_exceeds_the_terminal_and_keeps_the_end_of_paths() {
        let run = Listed {
            path: "/home/somebody/fridges/2026/runs/20260314T091500Z-INVENTED-0042".into(),
            started_utc: None,
            job: "INVENTED-0042-with-a-long-name-behind-it".into(),
            invented: true,
            verdict: Some("not_proven".into()),
            headline: Some("NOT PROVEN".into()),
            pass_with_leak: false,
            reasons: Vec::new(),
            lowest_micron: Some(182.0),
            hold_s: Some(780.0),
            recording: false,
            reviewed_now: false,
            started: None,
        };
        for columns in [20, 60, 80, 100, 200] {
            let lines = table(std::slice::from_ref(&run), columns);
            assert_eq!(lines.len(), 2);
            let widest = lines.iter().map(|l| l.chars().count()).max();
            assert!(widest <= Some(columns), "{columns}: {lines:#?}");
        }
        assert!(table(std::slice::from_ref(&run), 100)[1].ends_with("INVENTED-0042"));
        let leaking = Listed {
            verdict: Some("pass".into()),
            headline: Some("PASS by the rule; a leak is indicated: 52 to 860 g/year".into()),
            pass_with_leak: true,
            ..run
        };
        let lines = table(&[leaking], 80);
        assert_eq!(
            lines[2],
            "    PASS by the rule; a leak is indicated: 52 to 860 g/year"
        );
    }
}
