//! Which crate may see which: the table, and what is complained of.

use std::collections::BTreeSet;

use serde_json::Value;

/// Who may depend on whom, development dependencies included.
pub(crate) const ALLOWED: &[(&str, &[&str])] = &[
    // only ever a development dependency, and open to every test
    ("skipped-tests", &[]),
    // whoever opens a file of unknown origin does it here
    ("plain-file", &[]),
    // whoever reads rows of text counts and shows them here
    ("table-rows", &[]),
    // whoever writes a file whole does it here
    ("whole-file", &[]),
    // whoever prints does it here
    ("console", &[]),
    ("vacuum", &[]),
    // tables of a reference library, read by whoever weighs or finds faults
    ("refrigerant-tables", &["vacuum"]),
    ("charge", &["refrigerant-tables", "vacuum"]),
    // what is asked of a charge
    (
        "charge-options",
        &["charge", "refrigerant-tables", "vacuum"],
    ),
    // firmware uses it too: nothing may hang on it
    ("node-line", &[]),
    // only ever a development dependency: see `ONLY_FOR_TESTS`
    ("headless-browser", &[]),
    // bytes in, answer out
    ("time-stamp", &["invented-authority"]),
    // only ever a development dependency: see `ONLY_FOR_TESTS`
    ("invented-authority", &[]),
    ("sensor-reader", &["plain-file", "vacuum"]),
    ("scale-reader", &["plain-file", "sensor-reader", "vacuum"]),
    ("weigh-in", &["findings", "vacuum"]),
    ("foreign-csv", &["plain-file", "table-rows", "vacuum"]),
    ("seal-keys", &["plain-file", "whole-file"]),
    (
        "run-record",
        &[
            "plain-file",
            "table-rows",
            "whole-file",
            "seal-keys",
            // one way in for every record: `Source` opens both
            "foreign-csv",
            "time-stamp",
            "vacuum",
            "invented-authority",
        ],
    ),
    // knows nothing of what was measured
    ("statistics", &[]),
    // what is said of a run, without who says it
    ("findings", &["vacuum"]),
    // what any kind of test remembers of a run
    ("run-memory", &["statistics", "vacuum"]),
    (
        "analyser",
        &["findings", "run-memory", "statistics", "vacuum"],
    ),
    // what happens after isolation is a hold as any other
    (
        "blank-off",
        &["analyser", "findings", "run-memory", "statistics", "vacuum"],
    ),
    ("pressure-decay", &["findings", "statistics", "vacuum"]),
    ("rig-history", &["findings", "statistics", "vacuum"]),
    // links and keys as records have them
    (
        "rig-notes",
        &["plain-file", "rig-history", "run-record", "seal-keys"],
    ),
    ("rehearsal", &["vacuum"]),
    // a rehearsal comes to the recorder as any gauge does
    (
        "played-rehearsal",
        &[
            "recorder",
            "rehearsal",
            "run-record",
            "sensor-reader",
            "vacuum",
        ],
    ),
    (
        "wording",
        &[
            "charge",
            "findings",
            "rig-history",
            "vacuum",
            // its tests only
            "invented-runs",
            "refrigerant-tables",
        ],
    ),
    // knows of a test its verdict and when nothing was measured
    ("layout", &["findings", "vacuum", "wording"]),
    (
        "report",
        // its tests draw what the judges say
        &[
            "analyser",
            "blank-off",
            "charge",
            "findings",
            "layout",
            "pressure-decay",
            "rig-history",
            "vacuum",
            "wording",
            "invented-runs",
            "refrigerant-tables",
        ],
    ),
    // what options of the command line may be
    ("option-ranges", &["rig-history", "vacuum"]),
    // pure: signs in, candidates out
    ("fault", &["refrigerant-tables", "vacuum"]),
    // what is asked and said of it, and what a hold says of it later
    (
        "fault-form",
        &[
            "console",
            "fault",
            "findings",
            "plain-file",
            "whole-file",
            "refrigerant-tables",
            "vacuum",
            "wording",
        ],
    ),
    // appliances to measure the diagnosis on, which they do not know: see `ONLY_FOR_TESTS`
    ("simulated-appliances", &[]),
    // only ever a development dependency: see `ONLY_FOR_TESTS`
    ("invented-runs", &["findings", "vacuum"]),
    // plain data for views; knows neither record nor screen
    (
        "watch",
        // its tests judge, and play every rehearsal
        &[
            "analyser",
            "findings",
            "rehearsal",
            "report",
            "vacuum",
            "wording",
        ],
    ),
    // one record from rows to sheet
    (
        "run-review",
        &[
            "plain-file",
            "packed-run",
            "seal-keys",
            "analyser",
            "blank-off",
            "findings",
            "pressure-decay",
            "report",
            "rig-history",
            "rig-notes",
            "run-record",
            "vacuum",
            "wording",
            "weigh-in",
        ],
    ),
    // its rows as one page
    ("desk-page", &["desk", "headless-browser"]),
    // its rows as files for statistics; empty without its feature
    ("desk-parquet", &["desk", "whole-file"]),
    // what has to do with a person about seals: private keys here, trusted keys there
    (
        "custody",
        &[
            "plain-file",
            "console",
            "seal-keys",
            "run-record",
            "run-review",
            "time-stamp",
            "wording",
        ],
    ),
    // archives are unpacked here and nowhere else
    ("packed-run", &["plain-file"]),
    // what is asked of a gauge that nobody knows
    (
        "gauge-finder",
        &[
            "plain-file",
            "whole-file",
            "console",
            "sensor-reader",
            "vacuum",
        ],
    ),
    // what is asked of a job
    (
        "job-form",
        &[
            "plain-file",
            "whole-file",
            "console",
            "run-record",
            "vacuum",
            "wording",
        ],
    ),
    // runs with nobody watching: no view, no simulator
    (
        "recorder",
        &[
            "plain-file",
            "analyser",
            "findings",
            "pressure-decay",
            "run-record",
            "scale-reader",
            "sensor-reader",
            "vacuum",
            "watch",
            "weigh-in",
            "wording",
        ],
    ),
    // views are consumers of watch and know no recorder
    (
        "terminal-view",
        &[
            "analyser",
            "console",
            "report",
            "vacuum",
            "watch",
            "wording",
            // its tests only
            "phone-view",
            "rehearsal",
        ],
    ),
    // who comes to a recording from elsewhere; draws nothing itself
    ("live-runs", &["whole-file"]),
    (
        "phone-view",
        &["plain-file", "whole-file", "vacuum", "watch"],
    ),
    (
        "notify",
        &[
            "plain-file",
            "console",
            "watch",
            // what a fingerprint of a certificate is
            "phone-view",
            // its tests only
            "vacuum",
        ],
    ),
    // runs to measure the analyser on, which they do not know: see `ONLY_FOR_TESTS`
    ("simulated-runs", &["rehearsal", "vacuum"]),
    // measures the analyser, ships nothing
    (
        "scorecard",
        &[
            "analyser",
            "blank-off",
            // writes claims, and looks at them as a desk does
            "custody",
            "desk",
            "fault",
            "findings",
            "pressure-decay",
            "refrigerant-tables",
            "rehearsal",
            "rig-history",
            "run-record",
            "run-review",
            "seal-keys",
            "simulated-appliances",
            "simulated-runs",
            "vacuum",
        ],
    ),
    // many records as one table
    (
        "desk",
        &[
            "plain-file",
            "console",
            "custody",
            "findings",
            "report",
            "run-record",
            "run-review",
            "seal-keys",
            "table-rows",
            "vacuum",
            "whole-file",
            "wording",
            // its tests only
            "simulated-runs",
        ],
    ),
    // what is asked of a desk
    (
        "desk-options",
        &[
            "plain-file",
            "custody",
            "desk",
            "desk-page",
            "desk-parquet",
            "run-record",
            "run-review",
            "vacuum",
            "whole-file",
        ],
    ),
    // the command line only
    (
        "dryhold",
        &[
            "plain-file",
            "console",
            "scale-reader",
            "sensor-reader",
            "foreign-csv",
            "whole-file",
            "seal-keys",
            "run-record",
            "analyser",
            "pressure-decay",
            "report",
            "wording",
            "watch",
            "rig-history",
            "rig-notes",
            "run-review",
            "custody",
            "fault-form",
            "option-ranges",
            "job-form",
            "charge",
            "charge-options",
            "desk",
            "desk-options",
            "gauge-finder",
            "live-runs",
            "recorder",
            "terminal-view",
            "phone-view",
            "notify",
            "played-rehearsal",
            "rehearsal",
            "time-stamp",
            "vacuum",
            // its tests only
            "node-line",
            "packed-run",
            "headless-browser",
            "invented-authority",
            "simulated-runs",
        ],
    ),
];

/// Crates that the program may not contain: development dependencies only, except of each
/// other. The scorecard is among them: it measures the program and is no part of it.
pub(crate) const ONLY_FOR_TESTS: [&str; 7] = [
    "headless-browser",
    "invented-authority",
    "invented-runs",
    "scorecard",
    "simulated-appliances",
    "simulated-runs",
    "skipped-tests",
];

/// Edges of `cargo metadata` that are not allowed, and crates with no rule.
pub(crate) fn wrong_edges(metadata: &Value) -> Vec<String> {
    let packages = metadata["packages"].as_array().expect("packages");
    let name = |value: &Value| value["name"].as_str().unwrap_or_default().to_owned();
    let members: BTreeSet<String> = packages.iter().map(name).collect();
    let mut complaints = Vec::new();
    for package in packages {
        let from = name(package);
        let Some((_, allowed)) = ALLOWED.iter().find(|(known, _)| *known == from) else {
            complaints.push(format!(
                "{from}: a crate with no rule; say in tests/house what it may depend on"
            ));
            continue;
        };
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            let to = name(dependency);
            let open_to_all = to == "skipped-tests";
            if members.contains(&to) && !open_to_all && !allowed.contains(&to.as_str()) {
                let kind = dependency["kind"].as_str().unwrap_or("normal");
                complaints.push(format!(
                    "{from} → {to} ({kind}): dependencies run only downwards"
                ));
            }
            let is_fixture = ONLY_FOR_TESTS.contains(&from.as_str());
            if ONLY_FOR_TESTS.contains(&to.as_str()) && dependency["kind"] != "dev" && !is_fixture {
                complaints.push(format!("{from} → {to}: only for tests"));
            }
        }
    }
    complaints
}
