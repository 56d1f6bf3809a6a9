//! Every round of a run that has several.

use analyser::{Findings, Round};

use super::Table;
use crate::{
    figures::{duration, micron},
    wording,
};

/// One row for each round; `None` when there is one round only.
pub(super) fn table(findings: &Findings) -> Option<Table> {
    let rounds = &findings.rounds;
    let row = |(i, round): (usize, &Round)| {
        [
            (i + 1).to_string(),
            pulldown(round),
            hold(round),
            rise(round),
        ]
    };
    (rounds.len() > 1).then(|| Table {
        title: "All rounds",
        head: ["Round", "Pull-down", "Hold", "Rise"],
        rows: rounds.iter().enumerate().map(row).collect(),
    })
}

fn pulldown(round: &Round) -> String {
    let Some(pulldown) = &round.pulldown else {
        return "none".to_owned();
    };
    let lowest = pulldown
        .lowest_micron
        .map_or_else(|| "nothing measured".to_owned(), micron);
    let reached = pulldown.reached_target_s.map_or_else(
        || "target not reached".to_owned(),
        |s| format!("target reached after {}", duration(s - pulldown.start_s)),
    );
    format!("lowest {lowest}, {reached}")
}

fn hold(round: &Round) -> String {
    round.hold.as_ref().map_or_else(
        || "none".to_owned(),
        |hold| {
            let from_to = match (hold.start_micron, hold.end_micron) {
                (Some(start), Some(end)) => {
                    format!(", from {} to {}", micron(start), micron(end))
                }
                _ => String::new(),
            };
            format!("{}{from_to}", duration(hold.duration_s))
        },
    )
}

fn rise(round: &Round) -> String {
    let hold = round.hold.as_ref();
    hold.map_or_else(|| "none".to_owned(), wording::cause_and_rate)
}
