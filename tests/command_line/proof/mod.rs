//! Every figure that says how well a record survives, in one table:
//!
//! ```text
//! cargo test --release --workspace --test command_line proof -- --ignored --nocapture
//! ```
//!
//! prints the table of crates/run-record/PROOF.md, a few minutes on two cores.
//! Foreign CSV is read with 0.2 GB; `DRYHOLD_IMPORT_GB=5` in front makes it 5 GB.
//! A short version runs with the other tests. Whether processor time meets its bar
//! is for the reader to see, and for `cost.rs` to fail on: other work on the same
//! computer makes it more.

mod feeder;
mod kills;
mod record;

use std::{collections::BTreeSet, path::Path, time::Duration};

use self::record::TestPrograms;
use crate::{
    cost::cost,
    full_disk::{fill_and_free, refusals_on_a_read_only_disk},
};

/// One line of the table.
pub(crate) struct Row {
    what: String,
    came_of_it: String,
    bar: &'static str,
}

impl Row {
    fn new(what: &str, came_of_it: String, bar: &'static str) -> Self {
        Self {
            what: what.to_owned(),
            came_of_it: grouped(&came_of_it),
            bar,
        }
    }
}

/// The same with a comma between thousands of whole numbers.
fn grouped(text: &str) -> String {
    let mut out = String::new();
    for piece in text.split_inclusive(|c: char| !c.is_ascii_digit()) {
        let digits = piece.trim_end_matches(|c: char| !c.is_ascii_digit());
        for (i, c) in piece.chars().enumerate() {
            let left = digits.len().saturating_sub(i);
            if i > 0 && left > 0 && left.is_multiple_of(3) {
                out.push(',');
            }
            out.push(c);
        }
    }
    out
}

#[test]
fn thousands_are_told_apart() {
    let text = grouped("10000 made, 999 caught; 0.25 GB × 1000000");
    assert_eq!(text, "10,000 made, 999 caught; 0.25 GB × 1,000,000");
}

/// How much of each is done.
struct Extent {
    kills: usize,
    /// Edits of each kind and the size of a foreign CSV, GB, for the programs of tests in
    /// which power cuts, edits and CSV are measured; `None` leaves these out.
    programs: Option<(&'static str, String)>,
    cost_readings: [u32; 2],
    /// How often 1,000 readings a second are measured; the least counts, for whatever
    /// else the computer does makes it more.
    cost_tries: u32,
}

fn table(extent: &Extent) -> Vec<Row> {
    let mut rows = kills::rows(extent.kills);
    rows.extend(disk());
    if let Some((edits, gb)) = &extent.programs {
        rows.extend(by_programs(edits, gb));
    }
    rows.extend(costs(extent));
    rows
}

/// What programs of other tests measure. They are built first, which takes its time.
fn by_programs(edits: &str, import_gb: &str) -> Vec<Row> {
    let programs = TestPrograms::build();
    let every = ["crash::", "--include-ignored"];
    let mut rows = programs.rows("record", &every, &[], "all");
    let many = ["--exact", "proof::ten_thousand_of_each", "--ignored"];
    let edits = [("DRYHOLD_PROOF_EDITS", edits)];
    rows.extend(programs.rows("sealed", &many, &edits, "all caught"));
    let large = ["--exact", "five_gigabytes", "--ignored"];
    let size = [("DRYHOLD_IMPORT_GB", import_gb)];
    rows.extend(programs.rows(
        "flat_memory",
        &large,
        &size,
        "< 32 MB; newest first < 160 MB",
    ));
    rows
}

/// Disks that are full or cannot be written.
fn disk() -> Vec<Row> {
    let skipped = || "skipped: only root may mount a small disk".to_owned();
    let full = fill_and_free().map(|[said, kept]| {
        assert_eq!(said, kept, "rows lost on a full disk");
        format!("{said} readings, {} lost", said - kept)
    });
    let refusals = refusals_on_a_read_only_disk();
    let refused = match refusals.len() {
        0 => skipped(),
        n => format!("{n} tries, each refused in one line, nothing left behind"),
    };
    vec![
        Row::new(
            "disk of 256 kB full while recording, freed later",
            full.unwrap_or_else(skipped),
            "0 lost",
        ),
        Row::new("read-only disk", refused, "one line"),
    ]
}

/// Processor time of the whole program.
fn costs(extent: &Extent) -> Vec<Row> {
    let [slow, fast] = extent.cost_readings;
    let (share, _) = cost(Duration::from_millis(100), slow);
    let tries = (0..extent.cost_tries).map(|_| cost(Duration::from_millis(1), fast));
    let (busy, each_s) = tries
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((f64::NAN, f64::NAN));
    let each_us = 1e6 * each_s;
    vec![
        Row::new(
            "processor time of `dryhold log`, 10 readings a second",
            format!("{:.2} % of one core over {} s", 100.0 * share, slow / 10),
            "< 1 %",
        ),
        Row::new(
            "processor time of `dryhold log`, 1,000 readings a second",
            format!(
                "{each_us:.0} µs a reading ({:.1} % of one core), the least of {} times {} s",
                100.0 * busy,
                extent.cost_tries,
                f64::from(fast) / 1000.0
            ),
            "< 50 µs",
        ),
    ]
}

#[expect(clippy::print_stdout, reason = "the table is what it is for")]
fn print(rows: &[Row]) {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let build = if cfg!(debug_assertions) {
        "debug"
    } else {
        "release"
    };
    println!("\nOn a machine with {cores} cores, {build} build:\n");
    println!("| what was done | what came of it | bar |");
    println!("|---|---|---|");
    for Row {
        what,
        came_of_it,
        bar,
    } in rows
    {
        println!("| {what} | {came_of_it} | {bar} |");
    }
    println!();
}

#[test]
#[ignore = "the figures of PROOF.md; minutes in a release build"]
fn all_figures() {
    let gb = std::env::var("DRYHOLD_IMPORT_GB");
    print(&table(&Extent {
        kills: 1_000,
        programs: Some(("10000", gb.unwrap_or_else(|_| "0.2".into()))),
        cost_readings: [600, 20_000],
        cost_tries: 3,
    }));
}

/// The command works, and what it makes is what the document shows.
#[test]
fn a_short_table_has_the_lines_of_the_document() {
    let rows = table(&Extent {
        kills: 20,
        programs: None,
        cost_readings: [10, 500],
        cost_tries: 1,
    });
    print(&rows);
    let document = Path::new(env!("CARGO_MANIFEST_DIR")).join("../run-record/PROOF.md");
    let document = std::fs::read_to_string(document).expect("PROOF.md");
    let cells = |line: &str| line.split('|').nth(1).map(|cell| cell.trim().to_owned());
    let shown: BTreeSet<String> = document.lines().filter_map(cells).collect();
    for row in rows {
        assert!(shown.contains(&row.what), "PROOF.md lacks: {}", row.what);
    }
}
