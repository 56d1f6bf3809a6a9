//! The analyser and the report, fed with any run.
//!
//! Input: what is known of the job, then pieces of curve, states and marks.
//!
//! Promises: no sequence of entries stops the analyser; asking in between
//! changes nothing; the findings are valid JSON; curve, close-up and sheet can
//! be drawn, on paper and as pixels too, in every language and unit.

use analyser::{Analyser, Settings};
use report::{PngSize, Sheet, Trace};
use vacuum::{
    AccessSides, Criteria, Entry, Language, Mark, MarkKind, Paper, Pressure, PressureUnit, Reading,
    Refrigerant, Sensed, SheetChoices,
};

use super::choices::Choices;

/// Longest run.
const MOST_ENTRIES: usize = 900;

/// Checks one input.
pub fn check(data: &[u8]) {
    let mut choices = Choices::new(data);
    let (look_at, draw) = (usize::from(choices.byte()), choices.byte());
    let on_sheet = on_sheet(look_at);
    let settings = settings(&mut choices);
    let entries = run(&mut choices);
    let mut asked = Analyser::new(settings.clone());
    let mut quiet = Analyser::new(settings);
    let mut trace = Trace::default();
    for (n, entry) in entries.iter().enumerate() {
        asked.push(entry);
        quiet.push(entry);
        trace.push(entry);
        if n == look_at * 8 {
            let _ = asked.live();
            let _ = asked.findings();
        }
    }
    let _ = asked.live();
    let findings = asked.findings();
    assert_eq!(
        format!("{findings:?}"),
        format!("{:?}", quiet.findings()),
        "looking changes what is seen"
    );
    let sheet = Sheet {
        trace: &trace,
        findings: &findings,
        job: None,
        given: report::GivenAtReview::NOTHING,
        choices: Some(&on_sheet),
        gauge_dialect: None,
        source: "invented.csv",
        started_utc: None,
        made_by: "invented",
        record_sha256: None,
        logo: None,
        photo: None,
        beside: &[],
        rig: None,
    };
    let json = report::findings_json(&findings, sheet.source);
    let parsed = serde_json::from_str::<serde_json::Value>(&json);
    assert!(parsed.is_ok_and(|v| v.is_object()), "{json}");
    assert!(!wording::summary_lines(&wording::Voice::default(), &findings).is_empty());
    if draw.is_multiple_of(8) {
        drawn(&sheet);
    }
    // takes a hundred times as long as all the rest
    if draw.is_multiple_of(32) {
        printed(&sheet);
    }
}

/// What is chosen for the sheet: every paper with every language, units in turn.
fn on_sheet(which: usize) -> SheetChoices {
    SheetChoices {
        paper: Some(Paper::ALL[which / 4 % 2]),
        language: Some(Language::ALL[which % 4]),
        unit: Some(PressureUnit::ALL[which % PressureUnit::ALL.len()]),
        ..SheetChoices::default()
    }
}

fn drawn(sheet: &Sheet<'_>) {
    let curve = report::curve_svg(sheet).unwrap_or_else(|e| panic!("{e}"));
    let close = report::hold_svg(sheet).unwrap_or_else(|e| panic!("{e}"));
    let page = report::sheet_html(sheet).unwrap_or_else(|e| panic!("{e}"));
    for text in [Some(curve), close, Some(page)].into_iter().flatten() {
        assert!(!text.contains("NaN"), "NaN is drawn");
    }
}

fn printed(sheet: &Sheet<'_>) {
    let paper = report::sheet_pdf(sheet).unwrap_or_else(|e| panic!("{e}"));
    assert!(
        paper.starts_with(b"%PDF-") && paper.ends_with(b"%%EOF"),
        "whole"
    );
    let pixels = report::curve_png(sheet, PngSize::Message).unwrap_or_else(|e| panic!("{e}"));
    assert!(pixels.ends_with(b"IEND\xae\x42\x60\x82"), "whole");
}

fn settings(choices: &mut Choices<'_>) -> Settings {
    let bits = choices.byte();
    let profiles = Criteria::profiles();
    let given = |bit: u8, value: f64| (bits & bit != 0).then_some(value);
    let ambient_c = f64::from(choices.byte().cast_signed()) / 2.0;
    Settings {
        criteria: profiles[usize::from(bits & 3) % profiles.len()].clone(),
        ambient_c: given(4, ambient_c),
        // as far below freezing as the room is above it
        coldest_part_c: given(8, -ambient_c),
        volume_l: given(8, f64::from(choices.u16()) / 100.0 + 0.01),
        isolated_at_s: given(16, f64::from(choices.u16())),
        refrigerant: (bits & 32 != 0)
            .then(|| Refrigerant::named("R-600a"))
            .flatten(),
        access_sides: (bits & 64 != 0).then_some(AccessSides::One),
        charge_g: given(128, f64::from(choices.u16()) + 0.5),
        ..Settings::default()
    }
}

/// Puts a run together. Times never go backwards, for a record refuses those.
fn run(choices: &mut Choices<'_>) -> Vec<Entry> {
    let mut now_s = 0.0_f64;
    let mut level = 18.0_f64;
    let mut out = Vec::new();
    while !choices.is_empty() && out.len() < MOST_ENTRIES {
        let (what, step) = (choices.byte(), choices.byte());
        // 0, then about 1 ms to 30 days
        let step_s = if step == 0 {
            0.0
        } else {
            (f64::from(step) / 256.0 * 22.0 - 7.0).exp()
        };
        match what % 8 {
            0..4 => {
                // a piece of curve: the logarithm of the pressure moves evenly
                let (count, to, noise) = (choices.byte(), choices.u16(), choices.byte());
                let to = f64::from(to) / 65_535.0 * 25.0 - 6.0;
                for n in 1..=count {
                    now_s += step_s;
                    let part = f64::from(n) / f64::from(count);
                    let wobble =
                        f64::from((n.wrapping_mul(noise) & 15) as i8 - 8) * f64::from(noise) / 1e5;
                    let at = level + (to - level) * part + wobble;
                    out.push(reading(now_s, at.exp(), what, choices));
                }
                level = to;
            }
            4 => {
                now_s += step_s;
                let bound = (step & 1 == 0)
                    .then(|| Pressure::from_micron(level.exp()).ok())
                    .flatten();
                let sensed = match choices.byte() % 4 {
                    0 => Sensed::Over(bound),
                    1 => Sensed::Under(bound),
                    2 => Sensed::Fault,
                    _ => Sensed::Gap,
                };
                out.push(Entry::Reading(Reading {
                    elapsed_s: now_s,
                    sensed,
                    temperature_c: None,
                }));
            }
            5 => {
                now_s += step_s;
                let kind = MarkKind::ALL[usize::from(choices.byte()) % MarkKind::ALL.len()];
                let note =
                    String::from_utf8_lossy(choices.take(usize::from(step % 16))).into_owned();
                out.push(Entry::Mark(Mark {
                    elapsed_s: now_s,
                    kind,
                    note,
                }));
            }
            6 => now_s += step_s,
            // any number there is, absurd ones too
            _ => {
                now_s += step_s;
                let micron = f64::from_bits(u64::from_be_bytes(choices.bytes()));
                out.push(reading(now_s, micron, what, choices));
            }
        }
    }
    out.truncate(MOST_ENTRIES);
    out
}

/// A measurement, or a fault where the number cannot be a pressure.
fn reading(elapsed_s: f64, micron: f64, what: u8, choices: &mut Choices<'_>) -> Entry {
    let sensed = Pressure::from_micron(micron).map_or(Sensed::Fault, Sensed::Measured);
    let temperature_c = (what & 128 != 0).then(|| f64::from(choices.byte().cast_signed()));
    Entry::Reading(Reading {
        elapsed_s,
        sensed,
        temperature_c,
    })
}
