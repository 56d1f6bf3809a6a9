//! Pumps, hose sets and gauges of a shop, as sections of lines.

use chrono::DateTime;
use findings::Verdict;
use rig_history::{
    Agreement, GaugeNow, HoseNow, LastTest, Note, NoteKind, OilKind, Overview, PumpNow, RigShare,
    Warning,
};

use crate::{Voice, labels::verdict_words, say};

/// What is said under one heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RigSection {
    /// The heading.
    pub title: String,
    /// True for what needs doing.
    pub is_todo: bool,
    /// Parts with their lines; a part without a name has lines only.
    pub parts: Vec<(Option<String>, Vec<String>)>,
}

/// Everything that is said of the parts of a shop: what needs doing first.
#[must_use]
pub fn rig_sections(voice: &Voice, overview: &Overview, todo: &[Warning]) -> Vec<RigSection> {
    let mut all = Vec::new();
    let mut add = |id: &'static str, parts: Vec<(Option<String>, Vec<String>)>| {
        if !parts.is_empty() {
            let title = crate::message(voice.language, id, &[]);
            let is_todo = id == "rig-list-todo";
            all.push(RigSection {
                title,
                is_todo,
                parts,
            });
        }
    };
    let todo: Vec<String> = todo.iter().map(|w| warning(voice, w)).collect();
    let alone = |lines: Vec<String>| match lines.is_empty() {
        true => Vec::new(),
        false => vec![(None, lines)],
    };
    add("rig-list-todo", alone(todo));
    let pumps = overview.pumps.iter();
    let pumps = pumps.map(|p| (Some(p.name.clone()), pump(voice, p)));
    add("rig-list-pumps", pumps.collect());
    let hoses = overview.hoses.iter();
    let hoses = hoses.map(|h| (Some(h.name.clone()), hose(voice, h)));
    add("rig-list-hoses", hoses.collect());
    let gauges = overview.gauges.iter();
    let gauges = gauges.map(|g| (Some(g.name.clone()), gauge(voice, g)));
    add("rig-list-gauges", gauges.collect());
    let mut compared: Vec<String> = (overview.agreements.iter())
        .map(|a| agreement(voice, a))
        .collect();
    if !compared.is_empty() {
        compared.push(say!(voice, "rig-uncertainty"));
    }
    add("rig-list-compared", alone(compared));
    let others = overview.notes_on_others.iter();
    let others = others.map(|n| format!("{}: {}", n.name, note(voice, n)));
    add("rig-list-notes", alone(others.collect()));
    all
}

/// The same as lines for a terminal.
#[must_use]
pub fn rig_lines(voice: &Voice, overview: &Overview, todo: &[Warning]) -> Vec<String> {
    let sections = rig_sections(voice, overview, todo);
    if overview.pumps.is_empty() && overview.hoses.is_empty() && overview.gauges.is_empty() {
        return vec![say!(voice, "rig-list-none")];
    }
    let mut lines = Vec::new();
    if overview.invented {
        lines.push(say!(voice, "invented"));
    }
    for section in sections {
        lines.push(section.title);
        for (name, said) in section.parts {
            let indent = match name {
                Some(name) => {
                    lines.push(format!("  {name}"));
                    "    "
                }
                None => "  ",
            };
            lines.extend(said.into_iter().map(|line| format!("{indent}{line}")));
        }
    }
    lines
}

/// Title of the page, and what it is made from.
#[must_use]
pub fn rig_title(voice: &Voice, now_s: f64, folder: &str) -> (String, String) {
    let as_of = say!(voice, "rig-as-of", day = day(voice, now_s), folder = folder);
    (say!(voice, "rig-title"), as_of)
}

/// The day in UTC, ISO 8601.
fn day(voice: &Voice, at_s: f64) -> String {
    // seconds of a date are far from what a double cannot hold
    let at = at_s
        .is_finite()
        .then(|| DateTime::from_timestamp(at_s as i64, 0));
    match at.flatten() {
        Some(at) => at.date_naive().to_string(),
        None => say!(voice, "unknown"),
    }
}

fn hours(voice: &Voice, hours: f64) -> String {
    voice.decimals(hours, if hours < 100.0 { 2 } else { 0 })
}

fn pump(voice: &Voice, pump: &PumpNow) -> Vec<String> {
    let oil = &pump.oil;
    let (spent, runs) = (hours(voice, oil.hours), voice.count(oil.runs as u64));
    let mut lines = vec![match oil.since_s {
        Some(since) => say!(
            voice,
            "rig-list-oil",
            hours = spent,
            day = day(voice, since),
            runs = runs
        ),
        None => say!(voice, "rig-list-oil-unknown", hours = spent, runs = runs),
    }];
    if oil.unknown > 0 {
        let runs = voice.count(oil.unknown as u64);
        lines.push(say!(voice, "rig-list-oil-missing", runs = runs));
    }
    if pump.wet_runs > 0 {
        let runs = voice.count(pump.wet_runs as u64);
        lines.push(say!(voice, "rig-list-wet", runs = runs));
    }
    tested(voice, pump.last_test.as_ref(), &mut lines);
    if let Some(trend) = pump.history.and_then(|h| h.floor_trend_micron_per_10h) {
        let trend = voice.estimate(&trend, "micron");
        lines.push(say!(voice, "rig-trend", trend = trend));
    }
    oils(voice, &pump.last_oils, &mut lines);
    if !pump.last_refrigerants.is_empty() {
        let refrigerants = pump.last_refrigerants.join(", ");
        lines.push(say!(
            voice,
            "rig-list-refrigerants",
            refrigerants = refrigerants
        ));
    }
    lines.extend(pump.notes.iter().map(|n| note(voice, n)));
    lines
}

fn hose(voice: &Voice, hose: &HoseNow) -> Vec<String> {
    let runs = voice.count(hose.runs as u64);
    let mut lines = vec![say!(voice, "rig-list-runs", runs = runs)];
    tested(voice, hose.last_test.as_ref(), &mut lines);
    oils(voice, &hose.last_oils, &mut lines);
    lines.extend(hose.notes.iter().map(|n| note(voice, n)));
    lines
}

fn gauge(voice: &Voice, gauge: &GaugeNow) -> Vec<String> {
    let runs = voice.count(gauge.runs as u64);
    let mut lines = vec![say!(voice, "rig-list-runs", runs = runs)];
    lines.push(match &gauge.calibration_due {
        Some(due) => say!(voice, "rig-list-due", day = due.as_str()),
        None => say!(voice, "rig-list-no-due"),
    });
    if let Some(at_s) = gauge.calibrated_s {
        lines.push(say!(voice, "rig-list-calibrated", day = day(voice, at_s)));
    }
    lines.extend(gauge.notes.iter().map(|n| note(voice, n)));
    lines
}

fn tested(voice: &Voice, test: Option<&LastTest>, lines: &mut Vec<String>) {
    let Some(test) = test else {
        lines.push(say!(voice, "rig-list-untested"));
        return;
    };
    let verdict = [Verdict::Pass, Verdict::Fail, Verdict::NotProven]
        .into_iter()
        .find(|v| Some(v.word()) == test.verdict.as_deref());
    let verdict = verdict.map_or_else(|| say!(voice, "unknown"), |v| verdict_words(voice, v));
    let day = day(voice, test.at_s);
    lines.push(match &test.floor_micron {
        Some(floor) => say!(
            voice,
            "rig-list-tested",
            day = day,
            verdict = verdict,
            floor = voice.estimated_pressure(floor)
        ),
        None => say!(voice, "rig-list-tested-open", day = day, verdict = verdict),
    });
    if let Some(rise) = &test.rise_micron_per_min {
        let rate = voice.estimated_rate(rise);
        lines.push(say!(voice, "rig-list-rise", rate = rate));
    }
}

fn oils(voice: &Voice, oils: &[OilKind], lines: &mut Vec<String>) {
    if !oils.is_empty() {
        let oils: Vec<String> = oils.iter().map(|o| oil_words(voice, *o)).collect();
        lines.push(say!(voice, "rig-list-oils", oils = oils.join(", ")));
    }
}

fn oil_words(voice: &Voice, oil: OilKind) -> String {
    let id = match oil {
        OilKind::Mineral => "rig-oil-mineral",
        OilKind::Alkylbenzene => "rig-oil-alkylbenzene",
        OilKind::Ester => "rig-oil-ester",
        OilKind::Ether => "rig-oil-ether",
        OilKind::Glycol => "rig-oil-glycol",
    };
    say!(voice, id)
}

fn note(voice: &Voice, note: &Note) -> String {
    let kind = match note.kind {
        NoteKind::OilChange => "rig-kind-oil-change",
        NoteKind::Repair => "rig-kind-repair",
        NoteKind::Calibration => "rig-kind-calibration",
        NoteKind::Remark => "rig-kind-remark",
    };
    say!(
        voice,
        "rig-list-note",
        day = day(voice, note.at_s),
        kind = say!(voice, kind),
        text = note.text.as_str()
    )
}

fn agreement(voice: &Voice, a: &Agreement) -> String {
    let (one, other) = (a.gauges.0.as_str(), a.gauges.1.as_str());
    let (first, second) = (voice.pressure(a.micron.0), voice.pressure(a.micron.1));
    let number = voice.decimals(a.e_n, 2);
    let day = day(voice, a.at_s);
    match a.holds() {
        true => say!(
            voice,
            "rig-list-agree",
            one = one,
            other = other,
            day = day,
            first = first,
            second = second,
            number = number
        ),
        false => say!(
            voice,
            "rig-list-disagree",
            one = one,
            other = other,
            day = day,
            first = first,
            second = second,
            number = number
        ),
    }
}

/// What of the rise of a hold is the rig's own.
#[must_use]
pub fn rig_share_lines(voice: &Voice, share: &RigShare) -> Vec<String> {
    let leak = voice.rate(share.of_micron_per_min.value, 2);
    let rig = share.rig_micron_per_min;
    let day = day(voice, share.tested_s);
    vec![if share.explains_all {
        let rig = voice.estimated_rate(&rig);
        say!(voice, "rig-share-all", rig = rig, day = day)
    } else if share.volumes_known {
        say!(
            voice,
            "rig-share",
            leak = leak,
            rig = voice.estimated_rate(&rig),
            day = day,
            left = voice.estimated_rate(&share.left_micron_per_min())
        )
    } else {
        let rig = voice.rate(rig.high, 2);
        say!(voice, "rig-share-most", leak = leak, rig = rig, day = day)
    }]
}

/// What needs doing, a sentence.
#[must_use]
pub fn warning(voice: &Voice, warning: &Warning) -> String {
    match warning {
        Warning::OilTired { pump, grew } => say!(
            voice,
            "rig-do-oil",
            part = pump.as_str(),
            factor = voice.significant(grew.factor, 2),
            hours = hours(voice, grew.hours)
        ),
        Warning::TestFailed { part, with, at_s } => match with {
            Some(with) => say!(
                voice,
                "rig-do-failed-together",
                part = part.as_str(),
                with = with.as_str(),
                day = day(voice, *at_s)
            ),
            None => say!(
                voice,
                "rig-do-failed",
                part = part.as_str(),
                day = day(voice, *at_s)
            ),
        },
        Warning::WetOil { pump, runs } => say!(
            voice,
            "rig-do-wet",
            part = pump.as_str(),
            runs = voice.count(*runs as u64)
        ),
        Warning::OilCarriedOver { part, last, next } => say!(
            voice,
            "rig-do-carry",
            part = part.as_str(),
            last = oil_words(voice, *last),
            next = oil_words(voice, *next)
        ),
        Warning::CalibrationOverdue { gauge, due } => say!(
            voice,
            "rig-do-calibrate",
            part = gauge.as_str(),
            day = due.as_str()
        ),
        Warning::GaugesDisagree { gauges, micron } => say!(
            voice,
            "rig-do-gauges",
            one = gauges.0.as_str(),
            other = gauges.1.as_str(),
            first = voice.pressure(micron.0),
            second = voice.pressure(micron.1)
        ),
        Warning::NotTested { pump } => say!(voice, "rig-do-test", part = pump.as_str()),
    }
}
