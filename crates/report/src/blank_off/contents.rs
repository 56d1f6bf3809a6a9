//! Everything that the sheet of a blank-off test says.

use findings::IsolationBasis;
use layout::{
    contents::Contents,
    parts::{List, ListItem, Sentences, Timeline},
};
use vacuum::SheetField;
use wording::{Inside, RiskyAct, one_line, say};

use super::{
    criteria,
    sheet::{BlankOffSheet, drawn},
};
use crate::{
    contents::{
        Own,
        record::{caution_list, foot_of, in_order, mark_event, note_list},
        system::{instruments, of_evacuation, printed},
        with,
    },
    sheet::source_name,
};

/// Longest name of a pump or a hose set.
const NAME_CHARS: usize = 70;

/// Collects what this sheet says.
pub(super) fn of(sheet: &BlankOffSheet<'_>) -> Contents {
    let about = &sheet.about;
    let voice = &about.voice();
    let found = sheet.findings;
    let verdict_words = wording::verdict_words(voice, found.verdict);
    let as_vacuum = drawn(found);
    let own = Own {
        title: say!(
            voice,
            "rig-sheet-title",
            verdict = &verdict_words,
            source = one_line(source_name(about.source), 60)
        ),
        heading: say!(voice, "rig-sheet-heading"),
        verdict: found.verdict,
        reserved: false,
        verdict_words,
        reason: sheet.reason(),
        criteria: criteria::table(sheet),
        rounds: None,
        no_hold: say!(voice, "rig-sheet-none"),
        measured: measured(sheet),
        system: tested(sheet),
        instruments: instruments(about, of_evacuation(about, &as_vacuum)),
        timeline: timeline(sheet),
        notes: notes(sheet),
        cautions: cautions(sheet),
        foot: foot(sheet),
    };
    with(about, own)
}

/// What the rig did after isolation.
fn measured(sheet: &BlankOffSheet<'_>) -> List {
    let voice = &sheet.about.voice();
    let mut entries = Vec::new();
    match &sheet.findings.rise {
        None => entries.push(ListItem::new(
            say!(voice, "entry-cause"),
            say!(voice, "no-hold-found"),
        )),
        Some(rise) => {
            entries.extend(rise.micron_per_min.map(|mean| {
                ListItem::new(say!(voice, "rig-entry-rise"), voice.estimated_rate(&mean)).long()
            }));
            let cause = wording::cause_words(voice, &rise.hold.rise);
            entries.push(ListItem::new(say!(voice, "entry-cause"), cause));
            let limit = match wording::detection_limit(&rise.hold) {
                Some(rate) => say!(voice, "leak-below", limits = voice.rate(rate, 2)),
                None => wording::detection_sentence(voice, &rise.hold),
            };
            entries.push(ListItem::new(say!(voice, "entry-could-not-show"), limit));
        }
    }
    List {
        title: say!(voice, "rig-measured-title"),
        entries,
    }
}

/// Pump and hoses, as the job names them.
fn tested(sheet: &BlankOffSheet<'_>) -> List {
    let about = &sheet.about;
    let voice = &about.voice();
    let rig = &sheet.findings.rig;
    let typed = |id, text: Option<&str>| {
        let name = wording::message(voice.language, id, &[]);
        ListItem::typed(voice, name, text, NAME_CHARS)
    };
    let measure = |id, value: Option<f64>, unit: &str, places| {
        let name = wording::message(voice.language, id, &[]);
        match value.filter(|v| v.is_finite()) {
            Some(v) => ListItem::new(name, format!("{} {unit}", voice.decimals(v, places))),
            None => ListItem::typed(voice, name, None, 1),
        }
    };
    let volume_l = about.job_as_judged().and_then(|j| j.volume_l);
    let entries = [
        (
            Some(SheetField::Pump),
            typed("entry-pump", rig.pump.as_deref()).long(),
        ),
        (
            Some(SheetField::Hose),
            typed("rig-part-hoses", rig.rig.as_deref()).long(),
        ),
        (None, measure("rig-part-oil-hours", rig.oil_hours, "h", 1)),
        (
            Some(SheetField::Volume),
            measure("rig-part-volume", volume_l, "L", 2),
        ),
    ];
    List {
        title: say!(voice, "rig-parts-title"),
        entries: printed(about, entries),
    }
}

fn timeline(sheet: &BlankOffSheet<'_>) -> Timeline {
    let voice = sheet.about.voice();
    let found = sheet.findings;
    let mut events = Vec::new();
    let floor = found.floor.and_then(|floor| floor.reached_s);
    events.extend(floor.map(|s| (s, say!(voice, "rig-criterion-floor"))));
    if let Some(rise) = &found.rise {
        if rise.hold.basis != IsolationBasis::Mark {
            let how = wording::basis_phrase(&voice, rise.hold.basis);
            let isolated = say!(voice, "event-isolated", basis = how);
            events.push((rise.hold.isolated_at_s, isolated));
        }
        events.push((rise.hold.end_s, say!(voice, "event-end-of-hold")));
    }
    let marks = sheet.trace.marks().iter();
    events.extend(marks.map(|mark| (mark.elapsed_s, mark_event(&sheet.about, mark))));
    in_order(voice, events)
}

fn notes(sheet: &BlankOffSheet<'_>) -> Sentences {
    let voice = &sheet.about.voice();
    let found = sheet.findings;
    let mut items = vec![wording::blank_off_next(voice, found)];
    let history = found.history.iter();
    items.extend(history.flat_map(|h| wording::rig_history_lines(voice, h)));
    let notices = found.notices.iter();
    items.extend(notices.map(|n| wording::blank_off_notice(voice, n)));
    items.extend(
        found
            .data
            .notes
            .iter()
            .map(|n| wording::note_line(voice, n)),
    );
    note_list(voice, &items)
}

fn cautions(sheet: &BlankOffSheet<'_>) -> Sentences {
    let voice = sheet.about.voice();
    let job = sheet.about.job_as_judged();
    let inside = Inside::typed(job.as_ref().and_then(|j| j.refrigerant.as_deref()));
    let acts = [RiskyAct::PullDown, RiskyAct::GasBallast, RiskyAct::Isolate];
    caution_list(voice, wording::cautions_at(&voice, inside, &acts))
}

fn foot(sheet: &BlankOffSheet<'_>) -> String {
    let voice = &sheet.about.voice();
    let criteria = &sheet.findings.criteria;
    let name = one_line(&wording::criteria_name(voice, criteria), 40);
    let source = one_line(&wording::criteria_source(voice, criteria), 60);
    foot_of(&sheet.about, (&name, &source))
}
