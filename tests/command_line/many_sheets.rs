//! Fifty runs, no two alike, printed on both papers, in every language and unit: a
//! program that had no part in setting the page says where each word stands.
//!
//! The words' boxes come from `pdftotext -bbox` (Debian: poppler-utils), soundness
//! from `qpdf --check` (Debian: qpdf); without them only what needs neither is
//! checked, and a line says so.

use std::{
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use chrono::{TimeZone, Utc};
use run_record::{RunHeader, RunWriter};
use simulated_runs::{Case, bench_case, formula_case};
use vacuum::{
    AccessSides, Criteria, GaugeIdentity, Job, Language, Paper, PressureUnit, SheetChoices,
};

use crate::run::{dryhold, scratch};

const RUNS: u64 = 50;

/// A sheet is no larger than this.
const LARGEST_BYTES: u64 = 300_000;

/// No office printer prints nearer to the edge (4.2 mm; common practice, no source).
const UNPRINTED_PT: f64 = 12.0;

/// A word on a page, pt from the upper left corner.
struct Word {
    page: usize,
    x0: f64,
    y0: f64,
    x1: f64,
    y1: f64,
    text: String,
}

impl std::fmt::Display for Word {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self {
            page,
            x0,
            y0,
            x1,
            y1,
            text,
        } = self;
        write!(
            f,
            "“{text}” (page {page}, {x0:.1} to {x1:.1} pt across, {y0:.1} to {y1:.1} pt down)"
        )
    }
}

impl Word {
    /// The box without the air above, below and beside its letters: a font's
    /// ascent and descent leave room for accents and tails.
    fn core(&self) -> [f64; 4] {
        let (air, side) = (0.25 * (self.y1 - self.y0), 0.3);
        [self.x0 + side, self.y0 + air, self.x1 - side, self.y1 - air]
    }

    fn lies_on(&self, other: &Self) -> bool {
        let ([ax0, ay0, ax1, ay1], [bx0, by0, bx1, by1]) = (self.core(), other.core());
        self.page == other.page && ax0 < bx1 && bx0 < ax1 && ay0 < by1 && by0 < ay1
    }
}

fn is_installed(program: &str, version: &str) -> bool {
    let tried = Command::new(program)
        .arg(version)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    tried.is_ok()
}

fn attribute(line: &str, name: &str) -> f64 {
    let (_, rest) = line.split_once(&format!("{name}=\"")).expect(name);
    let (value, _) = rest.split_once('"').expect("a closed value");
    value.parse().expect("a number")
}

/// Pages (width, height) and words of a PDF, as another program reads them.
fn words(pdf: &Path) -> (Vec<(f64, f64)>, Vec<Word>) {
    let read = Command::new("pdftotext")
        .arg("-bbox")
        .arg(pdf)
        .arg("-")
        .output()
        .expect("pdftotext runs");
    assert!(read.status.success(), "{}", pdf.display());
    let (mut pages, mut words) = (Vec::new(), Vec::new());
    for line in String::from_utf8_lossy(&read.stdout).lines() {
        let line = line.trim();
        if line.starts_with("<page ") {
            pages.push((attribute(line, "width"), attribute(line, "height")));
        } else if line.starts_with("<word ") {
            let text = line.split_once('>').expect("a tag").1;
            words.push(Word {
                page: pages.len() - 1,
                x0: attribute(line, "xMin"),
                y0: attribute(line, "yMin"),
                x1: attribute(line, "xMax"),
                y1: attribute(line, "yMax"),
                text: text.trim_end_matches("</word>").to_owned(),
            });
        }
    }
    (pages, words)
}

/// A job as somebody may have typed it: sparse, usual, wordy.
fn job(case: &Case, number: u64) -> Job {
    let typed = |text: &str| (!number.is_multiple_of(4)).then(|| text.to_owned());
    let wordy = |short: &str, long: &str| typed(if number % 4 == 3 { long } else { short });
    let pick = |i: u64, n: usize| usize::try_from(i).expect("small") % n;
    let units = [
        PressureUnit::Micron,
        PressureUnit::Pascal,
        PressureUnit::Millibar,
        PressureUnit::InHg,
    ];
    Job {
        id: format!("INVENTED-{number:04}"),
        invented: !number.is_multiple_of(3),
        appliance: wordy(
            "chest freezer",
            "built-in combined refrigerator and freezer, two doors, left-hung",
        ),
        model: wordy(
            "example CF-1",
            "example UF-280/2-B, series of the second half of the year",
        ),
        serial: typed("0000-INVENTED-0O1I"),
        refrigerant: case.hints.refrigerant.map(str::to_owned),
        charge_g: typed("").map(|_| 57.0),
        oil: typed("mineral, ISO VG 10"),
        volume_l: case.hints.volume_l,
        ambient_c: case.hints.ambient_c,
        coldest_part_c: None,
        access_sides: case.hints.access_sides.or(Some(AccessSides::Both)),
        gauge_open_to_system: Some(true),
        repair: wordy(
            "filter-drier replaced",
            "évaporateur remplacé, Kapillarrohr gekürzt, filtro secador nuevo; two joints brazed again after the first pressure test showed bubbles at the accumulator",
        ),
        technician: wordy(
            "A. Example",
            "Aleksandra-Wilhelmina Example-Nobody zu Invented",
        ),
        licence: typed("INV-12345"),
        shop: wordy(
            "Example Cooling",
            "Kälte- und Klimatechnik Beispiel (erfunden) & Töchter, Außenstelle Süd",
        ),
        pump: wordy(
            "two-stage rotary vane, 0.7 L/s",
            "two-stage rotary vane pump, 1.2 L/s, oil changed this week, gas ballast shut after ten minutes",
        ),
        hose: typed("two 9.5 mm evacuation hoses, 1.5 m, cores removed"),
        gauge: GaugeIdentity {
            description: wordy(
                "thermal gauge",
                "thermal-conductivity gauge, 0 to 25,000 micron, air calibration",
            ),
            serial: typed("G-0007"),
            principle: None,
            calibrated_on: typed("2026-01-15"),
            calibration_due: typed("2027-01-15"),
        },
        sheet: SheetChoices {
            paper: Some(Paper::ALL[pick(number, 2)]),
            language: Some(Language::ALL[pick(number / 2, 4)]),
            unit: Some(units[pick(number / 8, 4)]),
            without_personal_data: Some(number % 7 == 6),
            ..SheetChoices::default()
        },
        ..Job::default()
    }
}

/// Records a case into a run folder.
fn recorded(case: &Case, number: u64, below: &Path) -> PathBuf {
    let started = Utc
        .with_ymd_and_hms(2026, 3, 14, 9, 15, 0)
        .single()
        .expect("a time");
    let header = RunHeader {
        job: job(case, number),
        criteria: Some(Criteria::common_practice()),
        software: "dryhold 0.1.0".into(),
        ..RunHeader::default()
    };
    let mut writer = RunWriter::create(below, &header, started).expect("a folder");
    for entry in &case.entries {
        let passed = chrono::Duration::milliseconds((entry.elapsed_s() * 1000.0) as i64);
        writer.append(entry, started + passed).expect("a row");
    }
    let folder = writer.folder().to_owned();
    writer.finish().expect("closed");
    folder
}

/// What is wrong with where the words stand.
fn complaints(pages: &[(f64, f64)], words: &[Word]) -> Vec<String> {
    let mut wrong = Vec::new();
    for (i, word) in words.iter().enumerate() {
        let (width, height) = pages[word.page];
        let inside = word.x0 >= UNPRINTED_PT
            && word.y0 >= UNPRINTED_PT
            && word.x1 <= width - UNPRINTED_PT
            && word.y1 <= height - UNPRINTED_PT;
        if !inside {
            wrong.push(format!("off the page: {word}"));
        }
        for other in &words[i + 1..] {
            if word.lies_on(other) {
                wrong.push(format!("{word} lies on {other}"));
            }
        }
    }
    wrong
}

/// Prints, and checks what needs no other program.
fn printed(run: &Path, out: &Path) -> PathBuf {
    dryhold([
        "report".as_ref(),
        run.as_os_str(),
        "--out".as_ref(),
        out.as_os_str(),
    ])
    .expect(0);
    let pdf = out.join("sheet.pdf");
    let bytes = std::fs::read(&pdf).expect("a sheet");
    assert!(bytes.starts_with(b"%PDF-"));
    assert!(bytes.len() as u64 <= LARGEST_BYTES, "{} bytes", bytes.len());
    for picture in ["curve.png", "curve-small.png"] {
        let picture = std::fs::read(out.join(picture)).expect("a picture");
        // PNG, third edition, 5.2: the signature
        assert!(picture.starts_with(b"\x89PNG\r\n\x1a\n"));
    }
    pdf
}

#[test]
fn fifty_sheets_without_a_word_out_of_place() {
    let (reads, checks) = (
        is_installed("pdftotext", "-v"),
        is_installed("qpdf", "--version"),
    );
    for (has, what) in [(reads, "pdftotext (poppler-utils)"), (checks, "qpdf")] {
        if !has {
            skipped_tests::skip(format_args!("in part: {what} is not installed"));
        }
    }
    let folder = scratch();
    let keep = std::env::var_os("DRYHOLD_KEEP_SHEETS").map(PathBuf::from);
    let mut wrong = Vec::new();
    for number in 0..RUNS {
        // seeds of their own, which no other check uses
        let seed = 7_000 + number;
        let case = if number.is_multiple_of(2) {
            formula_case(seed)
        } else {
            bench_case(seed)
        };
        let run = recorded(&case, number, folder.path());
        let out = match &keep {
            Some(keep) => keep.join(format!("{number:02}")),
            None => folder.path().join(format!("out-{number}")),
        };
        let pdf = printed(&run, &out);
        if reads {
            let (pages, words) = words(&pdf);
            assert!(words.len() > 100, "hardly a word on sheet {number}");
            assert!(pages.len() <= 2, "sheet {number} has {} pages", pages.len());
            let found = complaints(&pages, &words).into_iter();
            wrong.extend(found.map(|w| format!("sheet {number}: {w}")));
        }
        if checks {
            let check = Command::new("qpdf").arg("--check").arg(&pdf).output();
            let check = check.expect("qpdf runs");
            let told = String::from_utf8_lossy(&check.stdout);
            assert!(check.status.success(), "sheet {number}: {told}");
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_word_on_another_is_seen() {
    let word = |x0: f64, y0: f64| Word {
        page: 0,
        x0,
        y0,
        x1: x0 + 30.0,
        y1: y0 + 10.0,
        text: "word".into(),
    };
    let page = [(595.0, 842.0)];
    assert!(complaints(&page, &[word(50.0, 50.0), word(50.0, 60.0)]).is_empty());
    assert_eq!(
        complaints(&page, &[word(50.0, 50.0), word(75.0, 52.0)]).len(),
        1
    );
    assert_eq!(complaints(&page, &[word(580.0, 50.0)]).len(), 1);
}
