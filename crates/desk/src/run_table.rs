//! Many runs, a line each.

use std::path::Path;

use chrono::{DateTime, Local, TimeZone, Utc};
use findings::Verdict;
use run_record::Answer;
use serde::Serialize;
use wording::{Voice, verdict_words};

use crate::cut::cut;

/// What is said of one run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Listed {
    /// The folder.
    pub path: String,
    /// When it began, RFC 3339.
    pub started_utc: Option<String>,
    /// Its job number.
    pub job: String,
    /// True for invented demonstration data.
    pub invented: bool,
    /// The word of its verdict; `None` where it cannot be read.
    pub verdict: Option<String>,
    /// The verdict with what stands against it: "PASS by the rule; a leak is indicated: …".
    pub headline: Option<String>,
    /// True when it passes by the rule and a leak is indicated all the same.
    pub pass_with_leak: bool,
    /// Why it does not pass, as codes.
    pub reasons: Vec<String>,
    /// Lowest pressure of the last pull-down, micron.
    pub lowest_micron: Option<f64>,
    /// Length of the last hold, s.
    pub hold_s: Option<f64>,
    /// True when a program records into it now.
    pub recording: bool,
    /// True when it was reviewed for this list; else its findings.json was read.
    pub reviewed_now: bool,
    /// What of it is not as it was sealed, where anything is not; whoever sealed it.
    pub edited_after_sealing: Vec<String>,
    /// When it began, to sort by.
    #[serde(skip)]
    pub started: Option<DateTime<Utc>>,
}

/// What is not as it was sealed, in words; empty where everything is.
#[must_use]
pub(crate) fn edited_after_sealing(folder: &Path) -> Vec<String> {
    let found = match run_record::verify(folder) {
        Ok(found) => found,
        Err(error) => return vec![error.to_string()],
    };
    match found.answer(false) {
        Answer::Altered | Answer::ProductChanged => found.changes(),
        _ => Vec::new(),
    }
}

/// True when the code for a leak in a hold that passes is among the findings.
#[must_use]
pub(crate) fn indicates_leak(findings: &serde_json::Value) -> bool {
    let all = findings["findings"].as_array();
    all.is_some_and(|all| all.iter().any(|f| f["code"] == "pass_with_leak"))
}

/// What is said below the table of so many runs that were looked at.
#[must_use]
pub fn closing_words(all: &[Listed], looked_at: usize) -> String {
    let reviewed = all.iter().filter(|r| r.reviewed_now).count();
    match (all.len(), reviewed) {
        (0, _) => format!("No such run among {looked_at}."),
        (n, 0) => {
            format!("{n} of {looked_at} runs, as their findings.json says, which your seal covers.")
        }
        (n, r) => format!(
            "{n} of {looked_at} runs; {r} reviewed just now, because findings.json was missing, \
             not covered by a seal of yours, older than the record, or from another version."
        ),
    }
}

/// The table in at most `columns`: the path, which may be long, comes last.
#[must_use]
pub fn run_table(all: &[Listed], columns: usize) -> Vec<String> {
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
            .map_or("—".to_owned(), |s| Voice::default().held(s));
        let name = run.path.as_str();
        lines.push(format!(
            "{started:<16}  {:<job$}  {verdict:<10}  {lowest:>13}  {hold:>8}  {name}",
            cut(&run.job, job)
        ));
        // one breath: nobody reads "pass" without it
        let plain = verdict_words(&Voice::default(), Verdict::Pass);
        let passes = run.verdict.as_deref() == Some(Verdict::Pass.word()) && !run.recording;
        let more = run.headline.as_ref().filter(|h| passes && **h != plain);
        lines.extend(more.map(|headline| cut(&format!("    {headline}"), columns)));
        let edited = run.edited_after_sealing.first();
        lines.extend(edited.map(|what| {
            let line = format!("    EDITED AFTER SEALING, judged as it is now: {what}");
            cut(&line, columns)
        }));
    }
    // a path that does not fit keeps its end, which tells runs apart
    lines
        .into_iter()
        .map(|line| fitted(&line, columns))
        .collect()
}

fn fitted(line: &str, columns: usize) -> String {
    let length = line.chars().count();
    if length <= columns {
        return line.to_owned();
    }
    let Some(at) = line.rfind("  ").filter(|at| *at + 12 < columns) else {
        return cut(line, columns);
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
            edited_after_sealing: Vec::new(),
            started: None,
        };
        for columns in [20, 60, 80, 100, 200] {
            let lines = run_table(std::slice::from_ref(&run), columns);
            assert_eq!(lines.len(), 2);
            let widest = lines.iter().map(|l| l.chars().count()).max();
            assert!(widest <= Some(columns), "{columns}: {lines:#?}");
        }
        assert!(run_table(std::slice::from_ref(&run), 100)[1].ends_with("INVENTED-0042"));
        let edited = Listed {
            edited_after_sealing: vec!["findings.json is not as it was sealed".into()],
            ..run.clone()
        };
        assert_eq!(
            run_table(&[edited], 100)[2],
            "    EDITED AFTER SEALING, judged as it is now: findings.json is not as it was sealed"
        );
        let leaking = Listed {
            verdict: Some("pass".into()),
            headline: Some("PASS by the rule; a leak is indicated: 52 to 860 g/year".into()),
            pass_with_leak: true,
            ..run
        };
        let lines = run_table(&[leaking], 80);
        assert_eq!(
            lines[2],
            "    PASS by the rule; a leak is indicated: 52 to 860 g/year"
        );
    }
}
