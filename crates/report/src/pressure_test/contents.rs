//! Everything that the sheet of a pressure test says.

use findings::Verdict;
use layout::{
    contents::Contents,
    parts::{List, ListItem, Sentences, Timeline},
};
use vacuum::TestGas;
use wording::{Inside, RiskyAct, Voice, one_line, say};

use super::{Barometer, TestSheet, criteria, measured};
use crate::{
    contents::{
        Own,
        record::{caution_list, foot_of, in_order, mark_event, note_list},
        system::{Instruments, instruments, system},
        with,
    },
    sheet::source_name,
};

/// Collects what this sheet says.
pub(super) fn of(sheet: &TestSheet<'_>) -> Contents {
    let about = &sheet.about;
    let voice = &about.voice();
    let verdict_words = wording::verdict_words(voice, sheet.findings.verdict);
    let own = Own {
        title: say!(
            voice,
            "test-sheet-title",
            verdict = &verdict_words,
            source = one_line(source_name(about.source), 60)
        ),
        heading: say!(voice, "test-sheet-heading"),
        verdict: sheet.findings.verdict,
        reserved: false,
        verdict_words,
        reason: reason(sheet),
        criteria: criteria::table(sheet),
        rounds: None,
        no_hold: match sheet.is_closed() {
            true => say!(voice, "test-none"),
            false => reason(sheet),
        },
        measured: measured::list(sheet),
        system: system(about, false),
        instruments: instruments_of(sheet),
        timeline: timeline(sheet),
        notes: notes(sheet),
        cautions: cautions(sheet),
        foot: foot(sheet),
    };
    with(about, own)
}

/// Why the verdict is what it is, in sentences.
pub(super) fn reason(sheet: &TestSheet<'_>) -> String {
    let voice = &sheet.about.voice();
    let found = sheet.findings;
    let limit = found.decay.and_then(|d| d.detection_limit_pa_m3_per_s);
    let allowed = found.criteria.allowed_pa_m3_per_s;
    match (found.verdict, found.decay) {
        (Verdict::Pass, _) => say!(
            voice,
            "test-reason-pass",
            limit = voice.throughput(limit.unwrap_or(f64::NAN))
        ),
        (Verdict::Fail, Some(decay)) => say!(
            voice,
            "test-reason-fail",
            loss = measured::loss(voice, &decay),
            allowed = voice.throughput(allowed.unwrap_or(f64::NAN))
        ),
        _ => {
            let reasons = found.reasons.iter();
            let words: Vec<String> = reasons.map(|r| wording::decay_reason(voice, *r)).collect();
            match words.is_empty() {
                true => say!(voice, "test-none"),
                false => wording::sentence(&words.join("; ")),
            }
        }
    }
}

fn instruments_of(sheet: &TestSheet<'_>) -> List {
    let about = &sheet.about;
    let voice = &about.voice();
    let pressure = sheet.trace.pressure();
    #[expect(clippy::cast_precision_loss, reason = "readings of a test")]
    let between = |(from, to): (f64, f64)| (to - from) / (pressure.readings() as f64 - 1.0);
    let interval = pressure
        .extent_s()
        .map(between)
        .filter(|s| s.is_finite() && *s > 0.0)
        .map_or_else(
            || say!(voice, "not-known"),
            |s| format!("{} s", voice.plain(s, 2)),
        );
    let gas = ListItem::new(say!(voice, "test-entry-gas"), gas_words(voice, sheet.gas));
    let barometer = ListItem::new(
        say!(voice, "test-entry-barometer"),
        barometer_words(voice, sheet.barometer),
    )
    .long();
    instruments(
        about,
        Instruments {
            title: say!(voice, "test-instruments-title"),
            findings: &[],
            seen: vec![ListItem::new(say!(voice, "entry-interval"), interval)],
            besides: vec![(None, gas), (None, barometer)],
        },
    )
}

fn gas_words(voice: &Voice, gas: TestGas) -> String {
    let id = match gas {
        TestGas::Nitrogen => "test-gas-nitrogen",
        TestGas::Argon => "test-gas-argon",
        TestGas::Helium => "test-gas-helium",
        TestGas::FormingGas => "test-gas-forming",
        TestGas::DryAir => "test-gas-air",
    };
    say!(voice, id)
}

fn barometer_words(voice: &Voice, barometer: Barometer) -> String {
    let hpa = |pa: f64| voice.plain(pa / 100.0, 5);
    match barometer {
        Barometer::NotNeeded => say!(voice, "test-barometer-not-needed"),
        Barometer::Recorded => say!(voice, "test-barometer-recorded"),
        Barometer::Given(pa) => say!(voice, "test-barometer-given", hpa = hpa(pa)),
        Barometer::Assumed(pa) => say!(voice, "test-barometer-assumed", hpa = hpa(pa)),
    }
}

fn timeline(sheet: &TestSheet<'_>) -> Timeline {
    let voice = sheet.about.voice();
    let mut events = Vec::new();
    if let Some(decay) = sheet.findings.decay {
        let settled = decay.settled_at_s.filter(|s| s - decay.shut_at_s >= 1.0);
        events.extend(settled.map(|s| (s, say!(voice, "test-event-settled"))));
        events.push((decay.end_s, say!(voice, "test-event-end")));
    }
    let marks = sheet.trace.pressure().marks().iter();
    events.extend(marks.map(|mark| (mark.elapsed_s, mark_event(&sheet.about, mark))));
    in_order(voice, events)
}

fn notes(sheet: &TestSheet<'_>) -> Sentences {
    let voice = &sheet.about.voice();
    let id = match sheet.findings.verdict {
        Verdict::Pass => "test-next-pass",
        Verdict::Fail => "test-next-fail",
        Verdict::NotProven => "test-next-not-proven",
    };
    let mut items = vec![wording::sentence(&say!(voice, id))];
    let notices = sheet.findings.notices.iter();
    items.extend(notices.map(|n| wording::decay_notice(voice, n)));
    items.extend(sheet.notes.iter().map(|n| wording::note_line(voice, n)));
    note_list(voice, &items)
}

fn cautions(sheet: &TestSheet<'_>) -> Sentences {
    let voice = sheet.about.voice();
    let job = sheet.about.job_as_judged();
    let inside = Inside::typed(job.as_ref().and_then(|j| j.refrigerant.as_deref()));
    let said = wording::cautions_at(&voice, inside, &[RiskyAct::PressureTest]);
    caution_list(voice, said)
}

fn foot(sheet: &TestSheet<'_>) -> String {
    let voice = &sheet.about.voice();
    let (name, source) = rule(voice, sheet);
    foot_of(&sheet.about, (&name, &source))
}

/// Longest name of a rule, and longest source: a guide says what else it asks for.
const RULE_CHARS: (usize, usize) = (60, 190);

/// The rule and its source, in the language of the voice where the program has words for it;
/// the name of a guide may stand before either.
fn rule(voice: &Voice, sheet: &TestSheet<'_>) -> (String, String) {
    let criteria = &sheet.findings.criteria;
    let name = spoken(
        &criteria.name,
        &[
            ("as given", say!(voice, "criteria-given")),
            ("sealed system", say!(voice, "test-rule-sealed")),
        ],
        say!(voice, "test-rule-none"),
    );
    let source = spoken(
        &criteria.source,
        &[
            (
                "given on the command line",
                say!(voice, "criteria-given-source"),
            ),
            ("given in the job", say!(voice, "test-rule-in-job")),
            (SEALED, say!(voice, "test-rule-sealed-source")),
        ],
        say!(voice, "test-rule-none-source"),
    );
    (
        one_line(&name, RULE_CHARS.0),
        one_line(&source, RULE_CHARS.1),
    )
}

/// What the judge says of the source of the rule for sealed systems.
const SEALED: &str =
    "EN 378-1, definition of a sealed system: less than 3 g a year; quoted second-hand";

/// A text whose end is one of these, said in other words; `none` for an empty one.
fn spoken(text: &str, known: &[(&str, String)], none: String) -> String {
    if text.is_empty() {
        return none;
    }
    let found = known
        .iter()
        .find_map(|(own, words)| Some(text.strip_suffix(own)?.to_owned() + words));
    found.unwrap_or_else(|| text.to_owned())
}
