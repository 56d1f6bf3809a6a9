//! What the desk flags, on invented claims of which it is known what was planted in them.
//!
//! `desk FROM TO [--tune | --test] [--gate] [--wrong] [--keep DIR]`: a claim a seed. Claims
//! share no formula with what looks for copies: the readings come from simulated plants, and
//! copies are made of rows, not of curves. `Alike` claims are innocent ones of the same system
//! on the same rig on another day, hardly to be told from copies.

mod claim;
mod damage;
mod readings;

use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
    sync::atomic::AtomicBool,
    time::Instant,
};

use claim::{Claim, Keys, Plant, Written, draw, is_copy};
use custody::KnownKeys;
use desk::{Cache, FlagCode, Making, Measure, RepeatDays, Row, flag_across, rows_of, walk};
use run_review::{all_cores, in_order};
use seal_keys::SealKey;

use crate::print::{say, say_bars, share};

/// Shops that the desk trusts.
const SHOPS: usize = 3;

/// Found, missed and false flags.
#[derive(Default)]
struct Tally {
    planted: u32,
    found: u32,
    wrong: u32,
}

/// What was measured.
pub(crate) struct Measured {
    flags: BTreeMap<FlagCode, Tally>,
    copies: BTreeMap<Plant, (u32, u32)>,
    claims: usize,
    rows: usize,
    unreadable: (u32, u32),
    /// Claims read again whose row is not the same.
    differing: usize,
    first_s: f64,
    again_s: f64,
    /// Seconds of one core that the first time took, with sealing checked and all judged.
    cpu_s: Option<f64>,
}

/// Plays the claims of the seeds and prints the table; false when a bar is missed.
pub(crate) fn play(seeds: &[u64], wrong: bool, keep: Option<&Path>) -> bool {
    let own = tempfile::tempdir().expect("a folder");
    let place = keep.unwrap_or(own.path());
    let began = Instant::now();
    let (written, measure) = write(seeds, place);
    say(&format!(
        "{} claims written in {:.0} s",
        written.len(),
        began.elapsed().as_secs_f64()
    ));
    if keep.is_some() {
        let line = |w: &Written| format!("{}\t{:?}\t{:?}\n", w.path.display(), w.plant, w.of);
        let truth: String = written.iter().map(line).collect();
        std::fs::write(place.join("truth.tsv"), truth).expect("written");
    }
    let measured = look(&written, place, &measure, wrong);
    measured.print();
    say_bars(&measured.bars())
}

fn write(seeds: &[u64], place: &Path) -> (Vec<Written>, Measure) {
    let key = |name: &str| {
        let path = place.join("keys").join(name);
        SealKey::load_or_make(&path).expect("a key").0
    };
    let keys = Keys {
        shops: (0..SHOPS)
            .map(|i| key(&format!("shop-{i}/key.pem")))
            .collect(),
        stranger: key("stranger/key.pem"),
    };
    let mut claims: Vec<Claim> = Vec::new();
    for (number, seed) in seeds.iter().enumerate() {
        let claim = draw(number as u64, *seed, &claims);
        claims.push(claim);
    }
    let below = place.join("claims");
    let mut written = Vec::new();
    in_order(
        claims.len(),
        all_cores(),
        |i| claims[i].write(&below, &keys),
        |one| written.push(one),
    );
    let trusted: Vec<String> = keys.shops.iter().map(|key| key.public().to_hex()).collect();
    let measure = Measure {
        keys: KnownKeys::read(&trusted, &[]).expect("keys"),
        rule: vacuum::Criteria::common_practice(),
        no_personal_data: false,
        advice: Default::default(),
    };
    (written, measure)
}

fn look(written: &[Written], place: &Path, measure: &Measure, wrong: bool) -> Measured {
    let cache = Cache::open(&place.join("cache"), measure, b"").expect("a cache");
    let below = place.join("claims");
    let read = |cache: Option<&Cache>| {
        let began = Instant::now();
        let things = walk(std::slice::from_ref(&below));
        let making = Making {
            measure,
            cache,
            threads: all_cores(),
            stop: &AtomicBool::new(false),
        };
        let mut rows = rows_of(&things, &making, |_| {});
        let read_s = began.elapsed().as_secs_f64();
        flag_across(&mut rows, RepeatDays::default());
        (rows, read_s, began.elapsed().as_secs_f64())
    };
    // files that were just written are not kept
    std::thread::sleep(std::time::Duration::from_secs(4));
    let before_s = cpu_s();
    let (rows, read_s, first_s) = read(Some(&cache));
    let took_s = cpu_s().zip(before_s).map(|(after, before)| after - before);
    say(&format!("across: {:.2} s", first_s - read_s));
    let (again, _, again_s) = read(Some(&cache));
    let mut measured = Measured {
        flags: BTreeMap::new(),
        copies: BTreeMap::new(),
        claims: written.len(),
        rows: written.iter().map(|w| w.rows).sum(),
        unreadable: (0, 0),
        differing: rows.iter().zip(&again).filter(|(a, b)| a != b).count(),
        first_s,
        again_s,
        cpu_s: took_s,
    };
    let by_path: BTreeMap<&str, &Row> = rows.iter().map(|row| (row.path.as_str(), row)).collect();
    let mut related: Vec<BTreeSet<FlagCode>> = vec![BTreeSet::new(); written.len()];
    for one in written {
        // whoever was copied from, or whose number is nearly that of another, is told too
        let code = match one.plant {
            plant if is_copy(plant) => FlagCode::CurveCopied,
            Plant::SerialSlip => FlagCode::SerialAlmostAnother,
            Plant::SameSerial => FlagCode::SameSerialAgain,
            _ => continue,
        };
        if let Some(of) = one.of.and_then(|of| related.get_mut(of as usize)) {
            of.insert(code);
        }
    }
    // and so is whoever has the number of that one
    for (place, one) in written.iter().enumerate() {
        let of = one.of.filter(|_| one.plant == Plant::SameSerial);
        let of = of.and_then(|of| related.get(of as usize)).cloned();
        if let Some(slips) = of.filter(|of| of.contains(&FlagCode::SerialAlmostAnother)) {
            related[place].extend(slips);
        }
    }
    for (one, related) in written.iter().zip(&related) {
        let path = one.path.display().to_string();
        let Some(row) = by_path.get(path.as_str()) else {
            say(&format!("NO ROW {path}"));
            continue;
        };
        measured.take(one, row, related, wrong);
    }
    measured
}

impl Measured {
    fn take(&mut self, one: &Written, row: &Row, related: &BTreeSet<FlagCode>, wrong: bool) {
        let said: BTreeSet<FlagCode> = row.flags.iter().map(|flag| flag.code).collect();
        for code in FlagCode::ALL {
            let tally = self.flags.entry(code).or_default();
            let (planted, found) = (one.expected.contains(&code), said.contains(&code));
            tally.planted += u32::from(planted);
            tally.found += u32::from(planted && found);
            let may_be = one.allowed.contains(&code) || related.contains(&code);
            let is_wrong = found && !planted && !may_be;
            tally.wrong += u32::from(is_wrong);
            if wrong && (is_wrong || planted && !found) {
                let words = row.flags.iter().find(|flag| flag.code == code);
                let words = words.map_or("MISSED", |flag| flag.words.as_str());
                say(&format!(
                    "{} {:?} {}: {words}",
                    code.word(),
                    one.plant,
                    row.path
                ));
            }
        }
        if is_copy(one.plant) {
            let (planted, found) = self.copies.entry(one.plant).or_default();
            *planted += 1;
            *found += u32::from(said.contains(&FlagCode::CurveCopied));
        }
        if one.is_readable {
            self.unreadable.0 += u32::from(row.unreadable.is_some());
            if wrong && let Some(why) = &row.unreadable {
                say(&format!("UNREADABLE {:?} {}: {why}", one.plant, row.path));
            }
        } else {
            self.unreadable.1 += u32::from(row.unreadable.is_none());
        }
    }

    fn print(&self) {
        say("| flag | planted | found | missed | false |\n|---|---|---|---|---|");
        for (code, tally) in &self.flags {
            let missed = tally.planted - tally.found;
            let (planted, found, wrong) = (tally.planted, tally.found, tally.wrong);
            say(&format!(
                "| {} | {planted} | {found} | {missed} | {wrong} |",
                code.word()
            ));
        }
        for (plant, (planted, found)) in &self.copies {
            say(&format!("{plant:?}: {found} of {planted} found"));
        }
        say(&format!(
            "{} claims of {} rows each on average: {:.0} a second, the second time {:.0} a \
             second, {} rows of it differ",
            self.claims,
            self.rows / self.claims.max(1),
            self.claims as f64 / self.first_s,
            self.claims as f64 / self.again_s,
            self.differing
        ));
        if let Some(cpu_s) = self.cpu_s {
            let each_ms = 1e3 * cpu_s / self.claims.max(1) as f64;
            say(&format!(
                "{each_ms:.2} ms of one core each: {:.0} a second on two cores with nothing \
                 else to do; {:.0} a second of 3,000 rows",
                2e3 / each_ms,
                2.0 * self.rows as f64 / 3_000.0 / cpu_s
            ));
        }
        say(&format!(
            "{} good claims not read, {} hostile files read; peak memory {} MB",
            self.unreadable.0,
            self.unreadable.1,
            peak_mb().map_or("unknown".into(), |mb| mb.to_string())
        ));
    }

    fn bars(&self) -> Vec<(&'static str, bool)> {
        let of = |plants: &[Plant]| {
            let all = plants.iter().filter_map(|plant| self.copies.get(plant));
            let (planted, found) = all.fold((0, 0), |(p, f), (a, b)| (p + a, f + b));
            if planted == 0 {
                1.0
            } else {
                share(found, planted)
            }
        };
        let all_found = |code| self.flags.get(&code).is_none_or(|t| t.found == t.planted);
        let wrong = self
            .flags
            .get(&FlagCode::CurveCopied)
            .map_or(0, |t| t.wrong);
        vec![
            (
                "copies, exact or shifted: 98 % found",
                of(&[Plant::CopyExact, Plant::CopyShifted]) >= 0.98,
            ),
            (
                "copies, thinned, resampled: 90 % found",
                of(&[Plant::CopyThinned, Plant::CopyResampled]) >= 0.9,
            ),
            (
                "copies, multiplied: 90 % found",
                of(&[Plant::CopyScaled]) >= 0.9,
            ),
            (
                "copies: at most 1 in 1,000 false",
                share(wrong, self.claims as u32) <= 0.001,
            ),
            ("every tampering flagged", all_found(FlagCode::SealBroken)),
            ("every other key flagged", all_found(FlagCode::UnknownKey)),
            ("every missing seal flagged", all_found(FlagCode::Unsealed)),
            (
                "every softer criteria flagged",
                all_found(FlagCode::CriteriaBelowRule),
            ),
            ("every good claim is read", self.unreadable.0 == 0),
            ("the second time gives the same rows", self.differing == 0),
        ]
    }
}

/// Seconds of one core that this process has used, where the system tells: fields 14 and 15 of
/// `stat`, in hundredths (proc(5), `USER_HZ`).
fn cpu_s() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let (_, fields) = stat.rsplit_once(')')?;
    let mut fields = fields.split_whitespace().skip(11);
    let (user, system) = (fields.next()?, fields.next()?);
    Some((user.parse::<f64>().ok()? + system.parse::<f64>().ok()?) / 100.0)
}

/// The most memory that the process ever had, MB, where the system tells.
fn peak_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.split_whitespace().next()?.parse::<u64>().ok()? / 1024)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 500 claims of reporting seeds; no constant was chosen by them.
    #[test]
    fn five_hundred_claims_are_flagged_as_they_should_be() {
        let place = tempfile::tempdir().expect("a folder");
        let seeds: Vec<u64> = (0..1_000).filter(|seed| seed % 2 == 1).collect();
        let (written, measure) = write(&seeds, place.path());
        let measured = look(&written, place.path(), &measure, true);
        measured.print();
        assert!(say_bars(&measured.bars()));
    }
}
