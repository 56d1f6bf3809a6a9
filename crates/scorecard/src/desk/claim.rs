//! An invented claim: a run of simulated readings with what was planted in it.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use chrono::{DateTime, TimeDelta, TimeZone, Utc};
use desk::FlagCode;
use rehearsal::{ExpectedRise, rng::Rng};
use run_record::{RunHeader, RunWriter, SealMoment, seal_run};
use seal_keys::SealKey;
use simulated_runs::{alike_case, bench_case};
use vacuum::{Criteria, Entry, GaugeIdentity, Job, MarkKind};

use super::{
    damage::{packed, slipped, tamper},
    readings::{bounded, changed},
};

/// What is done to a claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Plant {
    Nothing,
    /// The same appliance model, on the same rig, on another day: innocent.
    Alike,
    CopyExact,
    CopyShifted,
    CopyThinned,
    CopyResampled,
    CopyScaled,
    SameSerial,
    SerialSlip,
    SoftCriteria,
    Tampered,
    ForeignKey,
    Unsealed,
    SealedLater,
    Torn,
    Zipped,
    Hostile,
    ClockSet,
    Implausible,
    CalibrationOver,
    WrongRepair,
    OtherFindings,
    FixedFloor,
}

/// How often each, of 1,000; the rest is innocent.
const SHARES: [(Plant, u64); 21] = [
    (Plant::Alike, 150),
    (Plant::CopyExact, 20),
    (Plant::CopyShifted, 20),
    (Plant::CopyThinned, 20),
    (Plant::CopyResampled, 20),
    (Plant::CopyScaled, 20),
    (Plant::SameSerial, 30),
    (Plant::SerialSlip, 20),
    (Plant::SoftCriteria, 30),
    (Plant::Tampered, 40),
    (Plant::ForeignKey, 25),
    (Plant::Unsealed, 25),
    (Plant::SealedLater, 15),
    (Plant::Torn, 15),
    (Plant::Zipped, 30),
    (Plant::Hostile, 10),
    (Plant::ClockSet, 20),
    (Plant::Implausible, 20),
    (Plant::CalibrationOver, 20),
    (Plant::WrongRepair, 30),
    (Plant::OtherFindings, 20),
];

/// A claim before it is written.
pub(crate) struct Claim {
    pub(crate) number: u64,
    pub(crate) plant: Plant,
    /// The claim whose readings or serial number it has.
    pub(crate) of: Option<u64>,
    seed: u64,
}

/// Where it was written, and what should be told of it.
pub(crate) struct Written {
    pub(crate) path: PathBuf,
    pub(crate) plant: Plant,
    pub(crate) of: Option<u64>,
    pub(crate) rows: usize,
    pub(crate) expected: BTreeSet<FlagCode>,
    /// May be told or not: what the simulation decides by itself.
    pub(crate) allowed: BTreeSet<FlagCode>,
    pub(crate) is_readable: bool,
}

/// Keys of the shops: the last is not among the trusted ones.
pub(crate) struct Keys {
    pub(crate) shops: Vec<SealKey>,
    pub(crate) stranger: SealKey,
}

/// Claim `number`, the run of `seed`.
pub(crate) fn draw(number: u64, seed: u64, earlier: &[Claim]) -> Claim {
    let mut rng = Rng::new(seed, 500);
    let mut at = (rng.unit() * 1_000.0) as u64;
    let mut plant = Plant::Nothing;
    for (which, share) in SHARES {
        if at < share {
            plant = which;
            break;
        }
        at -= share;
    }
    // a gauge that shows its own floor, in eight claims that follow each other
    if number % 500 < 8 {
        plant = Plant::FixedFloor;
    }
    let needs_other = matches!(
        plant,
        Plant::Alike
            | Plant::CopyExact
            | Plant::CopyShifted
            | Plant::CopyThinned
            | Plant::CopyResampled
            | Plant::CopyScaled
            | Plant::SameSerial
            | Plant::SerialSlip
    );
    let plain: Vec<&Claim> = earlier
        .iter()
        .rev()
        .take(400)
        .filter(|claim| claim.plant == Plant::Nothing)
        .collect();
    let of = plain
        .get((rng.unit() * plain.len() as f64) as usize)
        .filter(|_| needs_other)
        .map(|claim| (claim.number, claim.seed));
    if needs_other && of.is_none() {
        plant = Plant::Nothing;
    }
    let alike = plant == Plant::Alike || is_copy(plant);
    Claim {
        number,
        plant,
        of: of.map(|(number, _)| number),
        seed: of.filter(|_| alike).map_or(seed, |(_, seed)| seed),
    }
}

pub(crate) fn is_copy(plant: Plant) -> bool {
    matches!(
        plant,
        Plant::CopyExact
            | Plant::CopyShifted
            | Plant::CopyThinned
            | Plant::CopyResampled
            | Plant::CopyScaled
    )
}

impl Claim {
    /// Writes it into a folder below `place`.
    pub(crate) fn write(&self, place: &Path, keys: &Keys) -> Written {
        let mut rng = Rng::new(self.number, 501);
        let folder = place.join(format!("{:06}", self.number));
        fs::create_dir_all(&folder).expect("a folder");
        if self.plant == Plant::Hostile {
            return self.hostile(&folder, &mut rng);
        }
        let case = match self.plant {
            Plant::Alike => alike_case(self.seed, self.number),
            _ => bench_case(self.seed),
        };
        let is_leak = matches!(
            case.truth.rise,
            Some(ExpectedRise::Leak | ExpectedRise::LeakAndMoisture)
        );
        let entries = changed(self.plant, bounded(case.entries), &mut rng);
        let marked = entries
            .iter()
            .any(|e| matches!(e, Entry::Mark(mark) if mark.kind == MarkKind::PumpSideShut));
        let started = self.started();
        let header = self.header(started, &mut rng);
        let mut run = RunWriter::create(&folder, &header, started).expect("a run");
        let steps_at = entries.len() / 2;
        for (i, entry) in entries.iter().enumerate() {
            let ms = (entry.elapsed_s() * 1e3) as i64;
            let set = match self.plant == Plant::ClockSet && i >= steps_at {
                true => TimeDelta::seconds(-3_600),
                false => TimeDelta::zero(),
            };
            let at = started + TimeDelta::milliseconds(ms) + set;
            run.append(entry, at).expect("a row");
        }
        let run = run.finish().expect("a record");
        let mut written = Written {
            path: run.folder.clone(),
            plant: self.plant,
            of: self.of,
            rows: entries.len(),
            expected: BTreeSet::from([FlagCode::Invented]),
            allowed: BTreeSet::new(),
            is_readable: true,
        };
        // a mark may be of another round than the one that is judged
        written.allowed.insert(FlagCode::IsolationNotMarked);
        if !marked && self.plant != Plant::Tampered {
            written.expected.insert(FlagCode::IsolationNotMarked);
        }
        self.seal(&run.folder, run.last_link, keys, &mut rng);
        self.finish(&mut written, is_leak, &mut rng);
        written
    }

    fn started(&self) -> DateTime<Utc> {
        let first = Utc.with_ymd_and_hms(2026, 1, 5, 7, 0, 0).single();
        let first = first.expect("a moment");
        // claims of one number follow each other by minutes; those with another's serial by days
        let minutes = (self.number * 37 % 120_000) as i64;
        let again = self.of.filter(|_| self.plant == Plant::SameSerial);
        match again {
            Some(of) => {
                first + TimeDelta::minutes((of * 37 % 120_000) as i64) + TimeDelta::days(20)
            }
            None => first + TimeDelta::minutes(minutes),
        }
    }

    fn header(&self, started: DateTime<Utc>, rng: &mut Rng) -> RunHeader {
        let number = self.number;
        let own = |number: u64| {
            let mut draw = Rng::new(number, 502);
            format!("INV{:010}", draw.next_seed() % 10_000_000_000)
        };
        let serial = match (self.plant, self.of) {
            (Plant::SameSerial, Some(of)) => own(of),
            (Plant::SerialSlip, Some(of)) => slipped(&own(of), rng),
            _ => own(number),
        };
        let gauge = match self.plant {
            Plant::FixedFloor => format!("F{}", number / 500),
            _ => format!("G{number}"),
        };
        let due = match self.plant {
            Plant::CalibrationOver => "2025-06-30",
            _ => "2030-01-01",
        };
        let repair = match self.plant {
            Plant::WrongRepair => "drier renewed",
            _ => "leak brazed, drier renewed",
        };
        let mut job = Job {
            id: format!("INVENTED-{number:06}"),
            invented: true,
            serial: Some(serial),
            appliance: Some("invented freezer".into()),
            repair: Some(repair.into()),
            technician: Some("Invented Person".into()),
            customer: Some("Invented Customer".into()),
            refrigerant: Some("R-600a".into()),
            ambient_c: Some(21.0),
            gauge: GaugeIdentity {
                description: Some("invented gauge".into()),
                serial: Some(gauge),
                calibration_due: Some(due.into()),
                ..GaugeIdentity::default()
            },
            ..Job::default()
        };
        if self.plant == Plant::Implausible {
            match rng.chance(0.5) {
                true => job.ambient_c = Some(58.0),
                false => job.volume_l = Some(420.0),
            }
        }
        let criteria = (self.plant == Plant::SoftCriteria).then(|| Criteria {
            name: "invented soft profile".into(),
            ..rng.pick(&SOFT).criteria()
        });
        RunHeader {
            job,
            criteria,
            software: "scorecard".into(),
            started: Some(started),
            ..RunHeader::default()
        }
    }

    fn seal(&self, folder: &Path, last_link: run_record::Link, keys: &Keys, rng: &mut Rng) {
        let unsealed = [Plant::Unsealed, Plant::Torn, Plant::OtherFindings];
        if unsealed.contains(&self.plant) {
            return;
        }
        let own = keys.shops.get(self.number as usize % keys.shops.len());
        let key = match self.plant {
            Plant::ForeignKey => &keys.stranger,
            _ => own.expect("a key"),
        };
        let moment = match self.plant {
            Plant::SealedLater => SealMoment::Later,
            _ => SealMoment::AtTheEnd { last_link },
        };
        let now = self.started() + TimeDelta::hours(3);
        seal_run(folder, key, "scorecard", now, moment).expect("a seal");
        if self.plant == Plant::Tampered {
            tamper(folder, rng);
        }
    }

    /// What is done after sealing, and what should be told.
    fn finish(&self, written: &mut Written, is_leak: bool, rng: &mut Rng) {
        let mut expect = |code| {
            written.expected.insert(code);
        };
        match self.plant {
            Plant::Nothing | Plant::Alike | Plant::Hostile => {}
            Plant::CopyExact
            | Plant::CopyShifted
            | Plant::CopyThinned
            | Plant::CopyResampled
            | Plant::CopyScaled => expect(FlagCode::CurveCopied),
            Plant::SameSerial => expect(FlagCode::SameSerialAgain),
            Plant::SerialSlip => expect(FlagCode::SerialAlmostAnother),
            Plant::SoftCriteria => expect(FlagCode::CriteriaBelowRule),
            Plant::Tampered => {
                expect(FlagCode::SealBroken);
                // a clock or a mark may be what was changed
                written.allowed.extend([
                    FlagCode::ClockStepped,
                    FlagCode::IsolationNotMarked,
                    FlagCode::CriteriaBelowRule,
                ]);
            }
            Plant::ForeignKey => expect(FlagCode::UnknownKey),
            Plant::Unsealed => expect(FlagCode::Unsealed),
            Plant::SealedLater => expect(FlagCode::SealedLater),
            Plant::ClockSet => expect(FlagCode::ClockStepped),
            Plant::Implausible => expect(FlagCode::ImplausibleJob),
            Plant::CalibrationOver => expect(FlagCode::CalibrationOverdue),
            Plant::WrongRepair if is_leak => expect(FlagCode::CauseDisagreesWithRepair),
            Plant::WrongRepair => {
                written.allowed.insert(FlagCode::CauseDisagreesWithRepair);
            }
            Plant::FixedFloor => expect(FlagCode::SameFloorAlways),
            Plant::Torn => {
                expect(FlagCode::Unsealed);
                let trace = written.path.join("trace.csv");
                let text = fs::read(&trace).expect("a trace");
                let cut = text.len() - 1 - (rng.unit() * 30.0) as usize;
                fs::write(&trace, text.get(..cut).unwrap_or_default()).expect("written");
            }
            Plant::OtherFindings => {
                expect(FlagCode::Unsealed);
                expect(FlagCode::VerdictDiffers);
                let findings = "{\"schema\":\"dryhold.findings/1\",\"made_by\":\"dryhold 0.0.1\",\
                                \"verdict\":\"another\",\"criteria\":{\"target_micron\":1500}}";
                fs::write(written.path.join("findings.json"), findings).expect("written");
            }
            Plant::Zipped => written.path = packed(&written.path),
        }
    }

    /// A file that is not what its name says.
    fn hostile(&self, folder: &Path, rng: &mut Rng) -> Written {
        let noise: Vec<u8> = (0..5_000).map(|_| (rng.unit() * 256.0) as u8).collect();
        let kind = (rng.unit() * 5.0) as u32;
        let path = match kind {
            0 => folder.join("claim.zip"),
            1 | 2 => folder.join("claim.csv"),
            _ => folder.join("run"),
        };
        let write = |path: &Path, bytes: &[u8]| fs::write(path, bytes).expect("written");
        match kind {
            0 => write(&path, &[b"PK\x03\x04".as_slice(), &noise].concat()),
            1 => write(&path, &noise),
            2 => write(&path, "=1+1,".repeat(40_000).as_bytes()),
            _ => {
                fs::create_dir(&path).expect("a folder");
                let head = "seq,elapsed_s,utc,pressure_micron,temperature_c,state,mark,note,link\n";
                let rows = format!("{head}1,NaN,,1e999,,ok,,,\n2,-1,,,,,,,\n");
                write(&path.join("trace.csv"), &[rows.as_bytes(), &noise].concat());
                write(&path.join("job.toml"), b"[job]\nid = \"=cmd\"\n[[[");
            }
        }
        Written {
            path,
            plant: self.plant,
            of: None,
            rows: 0,
            expected: BTreeSet::new(),
            allowed: FlagCode::ALL.into_iter().collect(),
            is_readable: false,
        }
    }
}

/// Criteria softer than common practice.
#[derive(Clone, Copy)]
struct Soft(f64, f64, f64);

const SOFT: [Soft; 3] = [
    Soft(1_500.0, 10.0, 1_500.0),
    Soft(500.0, 3.0, 500.0),
    Soft(500.0, 10.0, 2_000.0),
];

impl Soft {
    fn criteria(self) -> Criteria {
        Criteria {
            target_micron: self.0,
            hold_min: self.1,
            ceiling_micron: self.2,
            ..Criteria::common_practice()
        }
    }
}
