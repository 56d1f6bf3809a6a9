//! What several records say of the registers of their shops: which numbers are missing
//! here, and whether a register was written anew.

use std::collections::BTreeMap;

use run_record::Seal;
use seal_keys::{PublicKey, RegisterEntry};
use serde_json::{Value, json};

/// Name and version of the JSON that is printed.
const SCHEMA: &str = "dryhold.register/1";
/// Stretches of missing numbers that are listed.
const LISTED: usize = 12;

/// Places in registers, by shop and series. A shop goes by the fingerprint of the first of
/// its keys that is known.
#[derive(Debug, Default)]
pub struct Registers {
    /// The keys of each shop, one replaced by the next.
    keys: BTreeMap<String, Vec<String>>,
    seen: BTreeMap<(String, String), BTreeMap<u64, RegisterEntry>>,
    /// Numbers of a series that two records claim, or that do not follow.
    contradicted: BTreeMap<(String, String), u64>,
    /// Records of a key that have no place in a register.
    without: BTreeMap<String, u64>,
}

impl Registers {
    /// Takes a seal that fits its record, and the keys of its shop up to the one that
    /// sealed, each replaced by the next.
    pub fn add(&mut self, seal: &Seal, line: &[PublicKey]) {
        let line: Vec<String> = line.iter().map(PublicKey::fingerprint).collect();
        let Some(key) = line.first().cloned() else {
            return;
        };
        let known = self.keys.entry(key.clone()).or_default();
        if known.len() < line.len() {
            *known = line;
        }
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
    pub fn is_contradicted(&self) -> bool {
        !self.contradicted.is_empty()
    }

    /// What there is to say, a line each.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for (series, numbers) in &self.seen {
            let key = self.named(&series.0);
            let highest = numbers.keys().next_back().copied().unwrap_or(0);
            let missing = missing(numbers);
            let here = match missing.is_empty() {
                true => "none is missing here".to_owned(),
                false => format!("missing here: {}", listed(&missing)),
            };
            lines.push(format!(
                "Register of {key}: numbers 1 to {highest} were given; {here}."
            ));
            if let Some(number) = self.contradicted.get(series) {
                lines.push(format!(
                    "Register of {key}: WRITTEN ANEW. Number {number} does not fit the \
                     numbers beside it: one run was put in the place of another."
                ));
            }
        }
        let mut series: BTreeMap<&str, u64> = BTreeMap::new();
        for (key, _) in self.seen.keys() {
            *series.entry(key).or_default() += 1;
        }
        for (key, count) in series.into_iter().filter(|(_, count)| *count > 1) {
            let key = self.named(key);
            lines.push(format!(
                "Register of {key}: it was begun anew, so there are {count} of them: ask \
                 the shop why."
            ));
        }
        for (key, other) in self.of_one_series() {
            lines.push(format!(
                "The keys {key} and {other} number their runs in one register: if one replaced the \
                 other, the shop can send its statement (dryhold key --out)."
            ));
        }
        for (key, count) in &self.without {
            let runs = if *count == 1 { "run has" } else { "runs have" };
            let key = self.named(key);
            lines.push(format!(
                "Register of {key}: {count} {runs} no number in it."
            ));
        }
        lines
    }

    /// The keys of a shop, as they are named.
    fn named(&self, first: &str) -> String {
        match self.keys.get(first).map(Vec::as_slice) {
            Some([_, .., _]) => format!("the keys {}", self.keys[first].join(", then ")),
            _ => format!("the key {first}"),
        }
    }

    /// Keys of which nobody says that one replaced the other, and whose numbers are of one
    /// series.
    fn of_one_series(&self) -> impl Iterator<Item = (&str, &str)> {
        let all: Vec<&(String, String)> = self.seen.keys().collect();
        let mut pairs = Vec::new();
        for (i, (key, series)) in all.iter().enumerate() {
            let same = all[i + 1..].iter().find(|(_, other)| other == series);
            pairs.extend(same.map(|(other, _)| (key.as_str(), other.as_str())));
        }
        pairs.into_iter()
    }

    /// The same for programs, an object for each register.
    pub fn json(&self) -> Vec<Value> {
        let object = |(series, numbers): (&(String, String), &BTreeMap<u64, RegisterEntry>)| {
            json!({
                "schema": SCHEMA,
                "fingerprint": series.0,
                "keys": self.keys.get(&series.0),
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
