//! The rise of the judged hold, as a leak and as water.

use findings::{Hold, RiseKind};
use vacuum::water::NEW_REFRIGERANT_PPM;
use wording::{Voice, say};

use crate::Sheet;
use layout::parts::{List, ListItem};

pub(super) fn list(sheet: &Sheet<'_>) -> List {
    let voice = &sheet.voice();
    let none = || {
        vec![ListItem::new(
            say!(voice, "entry-cause"),
            say!(voice, "rise-no-hold"),
        )]
    };
    List {
        title: say!(voice, "rise-title"),
        entries: sheet
            .findings
            .judged_hold()
            .map_or_else(none, |hold| entries(sheet, voice, hold)),
    }
}

fn entries(sheet: &Sheet<'_>, voice: &Voice, hold: &Hold) -> Vec<ListItem> {
    let cause = match hold.rise.kind {
        RiseKind::Unclear => say!(voice, "rise-not-clear"),
        _ => wording::cause_words(voice, &hold.rise),
    };
    let mut entries = vec![ListItem::new(say!(voice, "entry-cause"), cause)];
    if let Some(more) = wording::more_to_tell_s(hold) {
        let all = voice.to_go(hold.duration_s + more);
        entries.push(ListItem::new(
            say!(voice, "entry-to-tell"),
            say!(voice, "a-hold-of", all = all),
        ));
    }
    let mut add = |id, value: Option<String>| {
        entries.extend(value.map(|v| ListItem::new(say!(voice, id), v)));
    };
    let straight = match hold.rise.kind {
        RiseKind::Unclear => "entry-leaks-share",
        _ => "entry-straight",
    };
    add(straight, wording::straight_part(voice, hold));
    add("entry-levels-off", wording::level(voice, hold));
    let pace = wording::pace(voice, hold);
    add("entry-pace", pace.map(|p| say!(voice, "after", time = p)));
    entries.extend(throughput(sheet, voice, hold));
    entries.push(ListItem::new(
        say!(voice, "entry-could-not-show"),
        limit_of_sight(sheet, voice, hold),
    ));
    let sealed = wording::sealed_words(voice, hold);
    entries.extend(sealed.map(|s| ListItem::new(say!(voice, "entry-sealed"), s)));
    let water = water(sheet, voice, hold);
    entries.extend(water.map(|w| ListItem::new(say!(voice, "entry-water"), w)));
    entries
}

/// The leak as gas flow, and in whose terms; nothing where there is no leak.
fn throughput(sheet: &Sheet<'_>, voice: &Voice, hold: &Hold) -> Vec<ListItem> {
    let Some((flow, grams)) = wording::throughput(voice, hold) else {
        return Vec::new();
    };
    let job = sheet.about().job_as_judged();
    let volume = job.and_then(|j| j.volume_l).map_or_else(
        || say!(voice, "volume-given"),
        |v| format!("{} L", voice.plain(v, 3)),
    );
    let mut entries = vec![ListItem::new(say!(voice, "entry-air"), flow)];
    let grams = grams.map(|grams| ListItem::new(say!(voice, "entry-as-refrigerant"), grams));
    entries.extend(grams);
    let loss = wording::operating_loss(voice, hold);
    let reckoned = if loss.is_some() {
        "reckoned-ends"
    } else {
        "reckoned-other-rate"
    };
    entries.extend(loss.map(|l| ListItem::new(say!(voice, "entry-may-lose"), l)));
    let running = wording::low_side_words(voice, hold);
    entries.extend(running.map(|r| ListItem::new(say!(voice, "entry-running"), r).long()));
    entries.push(ListItem::new(
        say!(voice, "entry-reckoned"),
        say!(voice, reckoned, volume = volume),
    ));
    entries
}

/// The detection limit in every term that is known.
fn limit_of_sight(sheet: &Sheet<'_>, voice: &Voice, hold: &Hold) -> String {
    let Some(rate) = wording::detection_limit(hold) else {
        return wording::detection_sentence(voice, hold);
    };
    let mut terms = vec![voice.rate(rate, 2)];
    let job = sheet.about().job_as_judged();
    if let Some(job) = &job {
        terms.extend(wording::limit_as_flow(voice, rate, job));
    }
    let limits = terms.join(", ");
    match wording::limit_in_grams(voice, hold, job.as_ref()) {
        None => say!(voice, "leak-below", limits = limits),
        Some(grams) => say!(voice, "leak-below-grams", limits = limits, grams = grams),
    }
}

fn water(sheet: &Sheet<'_>, voice: &Voice, hold: &Hold) -> Option<String> {
    let volume_l = sheet.about().job_as_judged().and_then(|j| j.volume_l);
    if volume_l.is_none() && hold.water_vapour_mg.is_none() {
        return Some(say!(voice, "water-needs-volume"));
    }
    let mg = voice.significant(wording::water_mg(sheet.findings, hold)?, 2);
    let thermal = wording::thermal_words(voice, sheet.findings);
    let water = match hold.water_ppm_of_charge {
        None => say!(voice, "water-at-most", mg = mg),
        Some(ppm) => say!(
            voice,
            "water-at-most-ppm",
            mg = mg,
            ppm = voice.significant(ppm, 2),
            limit = voice.plain(NEW_REFRIGERANT_PPM, 2)
        ),
    };
    let parts: Vec<String> = [water].into_iter().chain(thermal).collect();
    Some(parts.join(&say!(voice, "clause-break")))
}
