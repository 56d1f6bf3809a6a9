//! The power is cut at every step of a run, and the disk keeps of the last,
//! unsynced bytes whatever a disk may keep. Lines that begin with `proof:` hold the
//! figures, which PROOF.md collects; `-- --ignored` cuts many more random runs.

use std::{
    cell::Cell,
    path::Path,
    time::{Duration, Instant},
};

use proptest::prelude::*;
use run_record::{Companion, RunHeader, RunReader, RunWriter, verify};
use vacuum::{Entry, Mark, MarkKind, Reading};

use super::{
    assert_same,
    disk::{SimDisk, Step, Tail},
    header, micron, same, stamp, started,
};

/// What the disk may keep of bytes not synced.
const TAILS: [Tail; 12] = [
    Tail::Kept,
    Tail::Lost,
    Tail::Torn(1),
    Tail::Torn(330),
    Tail::Torn(500),
    Tail::Torn(995),
    Tail::Holes(0b1010_1010),
    Tail::Holes(0b1101_1101),
    Tail::Holes(!1),
    Tail::Holes(!0b10),
    Tail::Zeros,
    Tail::Garbage(0x9e37_79b9_7f4a_7c15),
];

const BESIDE: &str = "beside-pump-side.csv";

fn with_beside() -> RunHeader {
    RunHeader {
        beside: vec![Companion {
            name: "pump-side".into(),
            place: "pump side".into(),
            ..Companion::default()
        }],
        ..header()
    }
}

/// One thing that happens in a run.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Act {
    Read,
    ReadBeside,
    Mark,
    Sync,
    /// The tick of the session, so many seconds from now.
    Tick(u64),
    /// The next write or sync of this kind fails.
    Fail(Step),
    /// The disk takes so many more bytes.
    Room(usize),
    Free,
}

/// A run as it was played until the power went.
#[derive(Default)]
struct Played {
    /// What was appended, of each trace.
    told: [Vec<Entry>; 2],
    /// How many of them the writer knew to be on disk.
    safe: [usize; 2],
}

impl Played {
    fn entry(&self, trace: usize, act: Act) -> Entry {
        let n = self.told[trace].len() as f64;
        // half milliseconds would be rounded
        let elapsed_s = n * 0.125;
        if act == Act::Mark {
            return Entry::Mark(Mark {
                elapsed_s,
                kind: MarkKind::Note,
                note: format!("act {n}, \"and\" a\nlonger note"),
            });
        }
        Entry::Reading(Reading::measured(elapsed_s, micron(500.0 + n)))
    }

    /// Does one thing.
    fn act(&mut self, writer: &mut RunWriter, disk: &SimDisk, act: Act) {
        match act {
            Act::Read | Act::Mark => {
                let entry = self.entry(0, act);
                writer.append(&entry, stamp(&entry)).unwrap();
                self.told[0].push(entry);
            }
            Act::ReadBeside => {
                let entry = self.entry(1, act);
                if let Entry::Reading(reading) = &entry {
                    writer.append_beside(0, reading, stamp(&entry));
                }
                self.told[1].push(entry);
            }
            Act::Sync => drop(writer.sync()),
            Act::Tick(s) => writer.sync_if_due(Instant::now() + Duration::from_secs(s)),
            Act::Fail(step) => disk.image().fails = Some(step),
            Act::Room(room) => disk.image().room = Some(room),
            Act::Free => disk.image().room = None,
        }
    }

    /// Plays until the power goes after so many steps of the disk.
    fn play(disk: &SimDisk, acts: &[Act], power_goes_at: usize) -> Self {
        disk.image().power_goes_at = Some(power_goes_at);
        let mut played = Self::default();
        let is_on = || disk.image().steps.len() <= power_goes_at;
        let folder = Path::new("invented-run");
        let created =
            RunWriter::create_on(Box::new(disk.clone()), folder, &with_beside(), started());
        let mut writer = created.unwrap();
        for act in acts {
            if !is_on() {
                break;
            }
            played.act(&mut writer, disk, *act);
            if is_on() {
                let waiting = writer.rows_waiting() as usize;
                let safe = writer.rows_synced() as usize;
                let all = played.told[0].len() + played.told[1].len() - waiting;
                played.safe = [safe, all - safe];
            }
        }
        played
    }
}

/// The rows found after a crash are the first ones told, all that were safe
/// among them, and they fit together.
fn assert_found(folder: &Path, file: &str, told: &[Entry], safe: usize, when: &str) -> usize {
    let path = folder.join(file);
    let verified = verify(&path).unwrap_or_else(|e| panic!("{when}: {e}"));
    assert!(verified.chain.is_intact(), "{when}: {verified}");
    let mut reader = RunReader::open(&path, true).unwrap();
    let mut found = Vec::new();
    loop {
        match reader.next_entry() {
            Ok(Some(entry)) => found.push(entry),
            Ok(None) => break,
            Err(e) => {
                assert!(found.is_empty(), "{when}: {e}");
                break;
            }
        }
    }
    let (count, all) = (found.len(), told.len());
    assert!(
        count >= safe,
        "{when}: {safe} of {all} were safe, {count} found"
    );
    assert!(count <= all, "{when}: {count} of {all}");
    assert!(found.iter().zip(told).all(|(a, b)| same(a, b)), "{when}");
    count
}

/// Cuts the power of a run after so many steps, looks at what is left, and gives
/// how many records there were to find and to go on with.
fn cut(acts: &[Act], power_goes_at: usize, tails: &[Tail]) -> usize {
    let mut found = 0;
    let disk = SimDisk::default();
    let played = Played::play(&disk, acts, power_goes_at);
    assert!(!disk.image().wrote_on_failed, "wrote on a failed file");
    for tail in tails {
        let folder = disk.after_crash(*tail);
        let folder = folder.path();
        let when = format!("power cut after {power_goes_at} steps, {tail:?}");
        // no record has begun as long as making it has not returned
        if !folder.join(BESIDE).is_file() {
            assert!(played.told[0].is_empty());
            continue;
        }
        let [told, beside] = &played.told;
        let [safe, beside_safe] = played.safe;
        let count = assert_found(folder, "trace.csv", told, safe, &when);
        let beside_count = assert_found(folder, BESIDE, beside, beside_safe, &when);
        go_on(folder, [&told[..count], &beside[..beside_count]], &when);
        found += 1;
    }
    found
}

/// Resumes what a crash left, and crashes again.
fn go_on(folder: &Path, found: [&[Entry]; 2], when: &str) {
    let disk = SimDisk::of_folder(folder);
    let before: Vec<_> = disk
        .names()
        .iter()
        .map(|n| (n.clone(), disk.live(n)))
        .collect();
    let storage = Box::new(disk.clone());
    let now = started() + chrono::Duration::seconds(3600);
    let mut resumed =
        RunWriter::resume_on(storage, folder, now).unwrap_or_else(|e| panic!("{when}: {e}"));
    let last_s = |entries: &[Entry]| entries.last().map_or(0.0, Entry::elapsed_s);
    let mut told = found[0].to_vec();
    told.push(Entry::Reading(Reading::gap(last_s(found[0]))));
    assert_eq!(resumed.elapsed_s, 3600.0);
    told.push(Entry::Mark(Mark {
        elapsed_s: 3600.0,
        kind: MarkKind::Note,
        note: String::new(),
    }));
    let mut beside = found[1].to_vec();
    beside.push(Entry::Reading(Reading::gap(last_s(found[1]))));
    let safe = [told.len(), beside.len()];
    for i in 0..3 {
        let reading = Reading::measured(3601.0 + f64::from(i), micron(400.0));
        let entry = Entry::Reading(reading);
        resumed.writer.append(&entry, stamp(&entry)).unwrap();
        resumed.writer.append_beside(0, &reading, stamp(&entry));
        told.push(entry.clone());
        beside.push(entry);
    }
    for tail in [Tail::Lost, Tail::Torn(500), Tail::Holes(0b10), Tail::Kept] {
        let again = disk.after_crash(tail);
        let again = again.path();
        let when = format!("{when}, resumed, {tail:?}");
        let mut expected = told.clone();
        // what the note says is looked at elsewhere
        expected[found[0].len() + 1] = note_in(again, found[0].len() + 1);
        assert_found(again, "trace.csv", &expected, safe[0], &when);
        assert_found(again, BESIDE, &beside, safe[1], &when);
    }
    for (name, bytes) in before {
        assert_eq!(disk.live(&name), bytes, "{when}: {name} was touched");
    }
}

fn note_in(folder: &Path, index: usize) -> Entry {
    let mut reader = RunReader::open(folder, false).unwrap();
    for _ in 0..index {
        reader.next_entry().unwrap();
    }
    let note = reader.next_entry().unwrap().unwrap();
    assert!(
        matches!(&note, Entry::Mark(m) if m.note.starts_with("recording resumed after")),
        "{note:?}"
    );
    note
}

/// Steps the disk takes when nothing goes wrong with the power.
fn steps_of(acts: &[Act]) -> usize {
    let disk = SimDisk::default();
    Played::play(&disk, acts, usize::MAX);
    disk.image().steps.len()
}

/// A quiet stretch: readings of both gauges, now and then a mark and a sync.
fn stretch(length: usize) -> Vec<Act> {
    let mut acts = Vec::new();
    for i in 0..length {
        acts.push(Act::Read);
        if i % 2 == 0 {
            acts.push(Act::ReadBeside);
        }
        if i % 5 == 3 {
            acts.push(Act::Mark);
        }
        if i % 4 == 3 {
            acts.push(Act::Sync);
        }
    }
    acts
}

fn assert_survives(what: &str, acts: &[Act]) {
    let points = steps_of(acts) + 1;
    let found: usize = (0..points).map(|at| cut(acts, at, &TAILS)).sum();
    tell(
        &format!("power cut at every step, {what}"),
        &format!("{points} moments × {} states of the disk", TAILS.len()),
        points * TAILS.len(),
        found,
    );
}

/// Prints a figure. Whatever was not as it should be has failed before.
#[expect(clippy::print_stdout, reason = "the figures of the documentation")]
fn tell(what: &str, cuts: &str, all: usize, found: usize) {
    println!(
        "proof: {what}: {cuts}, {found} records recovered, resumed and cut again; {} before \
         there was a record",
        all - found
    );
}

#[test]
fn a_plain_run_survives_a_power_cut_at_every_step() {
    let acts = stretch(13);
    assert!(steps_of(&acts) > 25, "{}", steps_of(&acts));
    assert_survives("plain run", &acts);
}

#[test]
fn a_run_whose_file_fails_survives_a_power_cut_at_every_step() {
    for (what, step) in [
        ("a write fails", Step::Appended),
        ("a sync fails", Step::Synced),
    ] {
        let fail = [Act::Fail(step)];
        let acts = [&stretch(6)[..], &fail, &stretch(5)].concat();
        assert_survives(what, &acts);
    }
}

#[test]
fn a_run_on_a_full_disk_survives_a_power_cut_at_every_step() {
    let full = [Act::Room(90)];
    let free = [Act::Tick(6), Act::Free, Act::Tick(12)];
    let acts = [&stretch(5)[..], &full, &stretch(5), &free, &stretch(3)].concat();
    assert_survives("full disk", &acts);
}

#[test]
fn what_waits_in_memory_is_written_when_there_is_room() {
    let full = [Act::Room(700)];
    let free = [Act::Free, Act::Tick(60), Act::Sync];
    let acts = [&stretch(5)[..], &full, &stretch(40), &free].concat();
    let disk = SimDisk::default();
    let played = Played::play(&disk, &acts, usize::MAX);
    assert_eq!(played.safe, [played.told[0].len(), played.told[1].len()]);
    let folder = disk.after_crash(Tail::Lost);
    for (told, file) in played.told.iter().zip(["trace.csv", BESIDE]) {
        let found = super::read_all(&folder.path().join(file)).0;
        assert_same(&found, told);
    }
    assert!(!disk.image().wrote_on_failed);
}

fn any_act() -> impl Strategy<Value = Act> {
    let step = prop_oneof![Just(Step::Made), Just(Step::Appended), Just(Step::Synced)];
    prop_oneof![
        8 => Just(Act::Read),
        4 => Just(Act::ReadBeside),
        1 => Just(Act::Mark),
        3 => Just(Act::Sync),
        2 => (0_u64..20).prop_map(Act::Tick),
        1 => step.prop_map(Act::Fail),
        1 => (0_usize..2_000).prop_map(Act::Room),
        1 => Just(Act::Free),
    ]
}

fn any_tail() -> impl Strategy<Value = Tail> {
    prop_oneof![
        Just(Tail::Kept),
        Just(Tail::Lost),
        (0_u32..1000).prop_map(Tail::Torn),
        any::<u64>().prop_map(Tail::Holes),
        Just(Tail::Zeros),
        (1..u64::MAX).prop_map(Tail::Garbage),
    ]
}

fn random_runs_survive(cases: u32) {
    let found = Cell::new(0);
    // written out: the macro takes it from the name of a test
    let config = ProptestConfig {
        cases,
        source_file: Some(file!()),
        ..ProptestConfig::default()
    };
    proptest!(config, |(
        acts in prop::collection::vec(any_act(), 0..80),
        power_goes_at in 0_usize..140,
        tail in any_tail(),
    )| {
        found.set(found.get() + cut(&acts, power_goes_at, &[tail]));
    });
    tell(
        "power cut at random steps of random runs",
        &format!("{cases} moments"),
        cases as usize,
        found.get(),
    );
}

#[test]
fn any_run_survives_a_power_cut_anywhere() {
    random_runs_survive(400);
}

#[test]
#[ignore = "the figures of the documentation; minutes, for each writes files"]
fn thousands_of_runs_survive_a_power_cut_anywhere() {
    random_runs_survive(3_000);
}
