//! Every round of a run that has several.

use findings::{Findings, Round};
use wording::{Voice, say};

use layout::parts::Table;

/// One row for each round; `None` when there is one round only.
pub(super) fn table(voice: &Voice, findings: &Findings) -> Option<Table> {
    let rounds = &findings.rounds;
    let row = |(i, round): (usize, &Round)| {
        [
            (i + 1).to_string(),
            pulldown(voice, round),
            hold(voice, round),
            rise(voice, round),
        ]
    };
    let head = [
        "rounds-round",
        "criterion-pull-down",
        "criterion-hold",
        "rounds-rise",
    ];
    (rounds.len() > 1).then(|| Table {
        title: say!(voice, "rounds-title"),
        head: head.map(|id| say!(voice, id)),
        rows: rounds.iter().enumerate().map(row).collect(),
    })
}

fn pulldown(voice: &Voice, round: &Round) -> String {
    let Some(pulldown) = &round.pulldown else {
        return say!(voice, "rounds-none");
    };
    let (lowest, reached) = wording::pulldown_words(voice, pulldown);
    [say!(voice, "lowest", pressure = lowest), reached].join(", ")
}

fn hold(voice: &Voice, round: &Round) -> String {
    let none = || say!(voice, "rounds-none");
    round.hold.as_ref().map_or_else(none, |hold| {
        let time = voice.held(hold.duration_s);
        let from_to = wording::from_to(voice, hold);
        [time]
            .into_iter()
            .chain(from_to)
            .collect::<Vec<_>>()
            .join(", ")
    })
}

fn rise(voice: &Voice, round: &Round) -> String {
    let none = || say!(voice, "rounds-none");
    let hold = round.hold.as_ref();
    hold.map_or_else(none, |hold| wording::cause_and_rate(voice, hold))
}
