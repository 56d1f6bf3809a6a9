//! Curve and sheet of blank-off tests.

use blank_off::{BlankOff, Setup};
use findings::{BlankOffFindings, BlankOffReason, RigHistory, RigNames, Verdict};
use layout::{Form, Trace};
use vacuum::{
    Entry, Job, Language, Mark, MarkKind, Paper, Pressure, PressureUnit, Reading, SheetChoices,
};

use super::page::{assert_lies_free, said_on, set, set_words, squeezed};
use crate::{About, BlankOffSheet, Test, blank_off as sheet_of};

/// An invented test of pump and hoses: two exponentials down to a floor, a straight rise
/// after isolation.
struct Plant {
    name: &'static str,
    floor_micron: f64,
    rise_micron_per_min: f64,
    pumped_s: u32,
    held_s: u32,
    is_isolated: bool,
    known: bool,
}

const GOOD: Plant = Plant {
    name: "good",
    floor_micron: 38.0,
    rise_micron_per_min: 0.3,
    pumped_s: 2_400,
    held_s: 1_900,
    is_isolated: true,
    known: true,
};

fn plants() -> [Plant; 5] {
    [
        GOOD,
        Plant {
            name: "leaking",
            rise_micron_per_min: 24.0,
            ..GOOD
        },
        Plant {
            name: "tired oil",
            floor_micron: 910.0,
            known: false,
            ..GOOD
        },
        Plant {
            name: "not isolated",
            is_isolated: false,
            held_s: 0,
            ..GOOD
        },
        Plant {
            name: "empty",
            pumped_s: 0,
            held_s: 0,
            is_isolated: false,
            known: false,
            ..GOOD
        },
    ]
}

/// A test with what was found in it.
struct Judged {
    name: &'static str,
    findings: BlankOffFindings,
    trace: Trace,
    job: Option<Job>,
}

impl Plant {
    fn micron(&self, s: f64) -> f64 {
        let pumping = s.min(f64::from(self.pumped_s));
        let slow = 400.0 * (-pumping / 300.0).exp();
        let low = self.floor_micron + 700_000.0 * (-pumping / 25.0).exp() + slow;
        let held_min = (s - f64::from(self.pumped_s)).max(0.0) / 60.0;
        // a gauge of a tenth, with a little noise
        let noise = 0.2 * (s * 0.37).sin();
        ((low + self.rise_micron_per_min * held_min + noise) * 10.0).round() / 10.0
    }

    fn entries(&self) -> Vec<Entry> {
        let mut out = Vec::new();
        for s in (0..self.pumped_s + self.held_s).step_by(2) {
            let mark = |kind| {
                Entry::Mark(Mark {
                    elapsed_s: f64::from(s),
                    kind,
                    note: String::new(),
                })
            };
            if s == 0 {
                out.push(mark(MarkKind::ValveOpened));
            }
            if s == self.pumped_s && self.is_isolated {
                out.push(mark(MarkKind::PumpSideShut));
            }
            let at = f64::from(s);
            let pressure = Pressure::from_micron(self.micron(at)).unwrap();
            out.push(Entry::Reading(Reading::measured(at, pressure)));
        }
        out
    }

    fn judged(&self) -> Judged {
        let names = RigNames {
            rig: Some("hoses 1".into()),
            pump: Some("pump A".into()),
            oil_hours: Some(14.2),
        };
        let history = RigHistory {
            runs: 4,
            median_floor_micron: Some(36.5),
            highest_usual_floor_micron: Some(49.0),
            median_rise_micron_per_min: Some(0.31),
            highest_usual_rise_micron_per_min: Some(0.8),
            floor_trend_micron_per_10h: None,
            floor_grew: None,
        };
        let mut test = BlankOff::new(Setup {
            rig: if self.known {
                names
            } else {
                RigNames::default()
            },
            history: self.known.then_some(history),
            ..Setup::default()
        });
        let entries = self.entries();
        entries.iter().for_each(|entry| test.take(entry));
        let job = Job {
            id: "R-7".into(),
            technician: Some("A. Nobody".into()),
            pump: Some("pump A".into()),
            hose: Some("hoses 1".into()),
            volume_l: Some(0.9),
            invented: true,
            ..Job::default()
        };
        Judged {
            name: self.name,
            findings: test.findings(),
            trace: entries.iter().collect(),
            job: self.known.then_some(job),
        }
    }
}

impl Judged {
    fn sheet<'a>(&'a self, choices: &'a SheetChoices) -> BlankOffSheet<'a> {
        BlankOffSheet {
            trace: &self.trace,
            findings: &self.findings,
            about: About {
                job: self.job.as_ref(),
                choices: Some(choices),
                started_utc: Some("2026-03-14T09:15:00Z"),
                record_sha256: Some(invented_runs::DIGEST),
                ..About::new(self.name, "dryhold 0.1.0")
            },
        }
    }
}

/// Each test in each language, unit and on each paper.
fn each_spoken(mut see: impl FnMut(&str, BlankOffSheet<'_>)) {
    let tests = plants().map(|plant| plant.judged());
    for language in Language::ALL {
        for unit in [PressureUnit::Micron, PressureUnit::Pascal] {
            for paper in Paper::ALL {
                let choices = SheetChoices {
                    language: Some(language),
                    unit: Some(unit),
                    paper: Some(paper),
                    ..SheetChoices::default()
                };
                for test in &tests {
                    let name = format!("{} {} {}", test.name, language.code(), unit.symbol());
                    see(&name, test.sheet(&choices));
                }
            }
        }
    }
}

#[test]
fn the_invented_tests_are_what_they_are_named_for() {
    let found = plants().map(|plant| plant.judged().findings);
    let verdicts = found.each_ref().map(|f| f.verdict);
    let wanted = [
        Verdict::Pass,
        Verdict::Fail,
        Verdict::Fail,
        Verdict::NotProven,
        Verdict::NotProven,
    ];
    assert_eq!(verdicts, wanted, "{found:#?}");
    let first = found.each_ref().map(|f| f.reasons.first().copied());
    let wanted = [
        None,
        Some(BlankOffReason::RigLeaks),
        Some(BlankOffReason::FloorTooHigh),
        Some(BlankOffReason::NoIsolation),
        Some(BlankOffReason::NoReadings),
    ];
    assert_eq!(first, wanted);
}

#[test]
fn no_label_of_a_blank_off_curve_is_clipped_or_covered() {
    each_spoken(|name, sheet| {
        for form in [Form::Standalone, Form::OnSheet, Form::OnPaper(190)] {
            let laid = sheet_of::laid(&sheet, form).unwrap();
            crate::curve::tests::check(&laid, &format!("{name} {form:?}"));
        }
    });
}

#[test]
fn the_sheet_of_a_blank_off_test_is_one_page_and_says_all_of_it() {
    each_spoken(|name, sheet| {
        let one = Test::BlankOff(sheet);
        let laid = set(&[one]);
        assert_eq!(laid.pages, 1, "{name}");
        assert!(assert_lies_free(name, &laid) > 50, "{name}");
        let words = set_words(&laid);
        let contents = one.draft().unwrap().contents;
        let lists = [&contents.measured, &contents.system, &contents.instruments];
        let entries = lists.iter().flat_map(|l| &l.entries).map(|e| &e.value);
        let rows = contents.criteria.rows.iter().flatten();
        let sentences = contents.notes.items.iter().chain(&contents.cautions.items);
        for said in entries.chain(rows).chain(sentences) {
            assert!(words.contains(&squeezed(said)), "{name}: “{said}”");
        }
        let pdf = crate::document_pdf(&[one]).unwrap();
        assert!(pdf.starts_with(b"%PDF-"));
        assert!(crate::document_html(&[one]).unwrap().contains("<main>"));
    });
}

/// Whatever the verdict, a criterion that was broken says so, and a pass has none.
#[test]
fn the_table_agrees_with_the_verdict() {
    let choices = SheetChoices::default();
    for test in plants().map(|plant| plant.judged()) {
        let contents = Test::BlankOff(test.sheet(&choices))
            .draft()
            .unwrap()
            .contents;
        let met: Vec<&str> = contents
            .criteria
            .rows
            .iter()
            .map(|r| r[3].as_str())
            .collect();
        match test.findings.verdict {
            Verdict::Pass => assert!(met.iter().all(|m| *m == "yes"), "{met:?}"),
            Verdict::Fail => assert!(met.contains(&"no"), "{}: {met:?}", test.name),
            Verdict::NotProven => assert!(met.iter().any(|m| *m != "yes"), "{}", test.name),
        }
    }
}

#[test]
fn sheets_of_blank_off_tests_read_as_they_did() {
    let tests = plants().map(|plant| plant.judged());
    for language in Language::ALL {
        let choices = SheetChoices {
            language: Some(language),
            ..SheetChoices::default()
        };
        let mut said = String::new();
        for test in &tests {
            said += &format!("== {}\n", test.name);
            said += &said_on(&set(&[Test::BlankOff(test.sheet(&choices))]));
        }
        insta::assert_snapshot!(format!("blank_off_tests_{}", language.code()), said);
    }
}

/// `DRYHOLD_LOOK=FOLDER cargo test -p report --lib look_at -- --ignored`
#[test]
#[ignore = "draws into a folder, to be looked at"]
fn look_at_every_blank_off_test() {
    let folder = std::path::PathBuf::from(std::env::var("DRYHOLD_LOOK").unwrap());
    std::fs::create_dir_all(&folder).unwrap();
    let choices = SheetChoices::default();
    for test in plants().map(|plant| plant.judged()) {
        let one = Test::BlankOff(test.sheet(&choices));
        let name = test.name.replace(' ', "-");
        let file = |what: &str| folder.join(format!("blank-off-{name}.{what}"));
        let png = one.curve_png(crate::PngSize::Message).unwrap();
        std::fs::write(file("curve.png"), png).unwrap();
        std::fs::write(file("pdf"), crate::document_pdf(&[one]).unwrap()).unwrap();
    }
}
