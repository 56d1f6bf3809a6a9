//! What several records say of the registers of their shops: which numbers are missing
//! here, and whether a register was written anew.

use std::collections::BTreeMap;

use run_record::{RegisterEntry, Seal};
use serde_json::{Value, json};

/// Name and version of the JSON that is printed.
const SCHEMA: &str = "dryhold.register/1";
/// Stretches of missing numbers that are listed.
const LISTED: usize = 12;

/// Places in registers, by key and series.
#[derive(Debug, Default)]
pub(crate) struct Registers {
    seen: BTreeMap<(String, String), BTreeMap<u64, RegisterEntry>>,
    /// Numbers of a series that two records claim, or that do not follow.
    contradicted: BTreeMap<(String, String), u64>,
    /// Records of a key that have no place in a register.
    without: BTreeMap<String, u64>,
}

impl Registers {
    /// Takes a seal that fits its record.
    pub(crate) fn add(&mut self, seal: &Seal) {
        let key = seal.key.fingerprint();
        let Some(entry) = &seal.register else {
            *self.without.entry(key).or_default() += 1;
            return;
        };
        let series = (key, entry.series.clone());
        let numbers = self.seen.entry(series.clone()).or_default();
        let before = entry.number.checked_sub(1).and_then(|n| numbers.get(&n));
        let after = entry.number.checked_add(1).and_then(|n| numbers.get(&n));
        let fits = before.is_none_or(|before| entry.follows(before))
            && after.is_none_or(|after| after.follows(entry))
            // the same run twice is one run
            && numbers.get(&entry.number).is_none_or(|same| same == entry);
        if !fits {
            self.contradicted.entry(series).or_insert(entry.number);
        }
        numbers.insert(entry.number, entry.clone());
    }

    /// True when two records cannot come from one register.
    pub(crate) fn is_contradicted(&self) -> bool {
        !self.contradicted.is_empty()
    }

    /// What there is to say, a line each.
    pub(crate) fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for (series, numbers) in &self.seen {
            let (key, _) = series;
            let highest = numbers.keys().next_back().copied().unwrap_or(0);
            let missing = missing(numbers);
            let here = match missing.is_empty() {
                true => "none is missing here".to_owned(),
                false => format!("missing here: {}", listed(&missing)),
            };
            lines.push(format!(
                "Register of the key {key}: numbers 1 to {highest} were given; {here}."
            ));
            if let Some(number) = self.contradicted.get(series) {
                lines.push(format!(
                    "Register of the key {key}: WRITTEN ANEW. Number {number} does not fit the \
                     numbers beside it: one run was put in the place of another."
                ));
            }
        }
        let mut series: BTreeMap<&str, u64> = BTreeMap::new();
        for (key, _) in self.seen.keys() {
            *series.entry(key).or_default() += 1;
        }
        for (key, count) in series.into_iter().filter(|(_, count)| *count > 1) {
            lines.push(format!(
                "Register of the key {key}: it was begun anew, so there are {count} of them: ask \
                 the shop why."
            ));
        }
        for (key, count) in &self.without {
            let runs = if *count == 1 { "run has" } else { "runs have" };
            lines.push(format!(
                "Register of the key {key}: {count} {runs} no number in it."
            ));
        }
        lines
    }

    /// The same for programs, an object for each register.
    pub(crate) fn json(&self) -> Vec<Value> {
        let object = |(series, numbers): (&(String, String), &BTreeMap<u64, RegisterEntry>)| {
            json!({
                "schema": SCHEMA,
                "fingerprint": series.0,
                "series": series.1,
                "highest": numbers.keys().next_back(),
                "missing": missing(numbers),
                "contradicted_at": self.contradicted.get(series),
            })
        };
        self.seen.iter().map(object).collect()
    }
}

/// Stretches of numbers, first and last, that are missing below the highest.
fn missing(numbers: &BTreeMap<u64, RegisterEntry>) -> Vec<(u64, u64)> {
    let mut missing = Vec::new();
    let mut next = 1;
    for number in numbers.keys() {
        if *number > next {
            missing.push((next, number - 1));
        }
        next = number.saturating_add(1);
    }
    missing
}

fn listed(stretches: &[(u64, u64)]) -> String {
    let one = |(from, to): &(u64, u64)| match from == to {
        true => from.to_string(),
        false => format!("{from} to {to}"),
    };
    let mut all: Vec<String> = stretches.iter().take(LISTED).map(one).collect();
    if stretches.len() > LISTED {
        all.push("…".into());
    }
    all.join(", ")
}
