//! The rise of the judged hold, as a leak and as water.

use analyser::{Hold, RiseKind};

use super::{Entry, List};
use crate::{
    Sheet,
    figures::{duration, plain, significant},
    wording,
};

pub(super) fn list(sheet: &Sheet<'_>) -> List {
    List {
        title: "Rise, leak, water",
        entries: sheet.findings.judged_hold().map_or_else(
            || vec![Entry::new("Cause", "no hold, no answer")],
            |hold| entries(sheet, hold),
        ),
    }
}

fn entries(sheet: &Sheet<'_>, hold: &Hold) -> Vec<Entry> {
    let cause = match hold.rise.kind {
        RiseKind::Unclear => "not clear yet",
        kind => kind.label(),
    };
    let mut entries = vec![Entry::new("Cause of the rise", cause)];
    if let Some(more) = wording::more_to_tell_s(hold) {
        let all = duration(hold.duration_s + more);
        entries.push(Entry::new("To tell it", format!("a hold of {all} in all")));
    }
    let mut add = |name, value: Option<String>| entries.extend(value.map(|v| Entry::new(name, v)));
    let straight = match hold.rise.kind {
        RiseKind::Unclear => "A leak's share",
        _ => "Straight part",
    };
    add(straight, wording::straight_part(hold));
    add("Levels off at", wording::level(hold));
    add(
        "63 % of the way",
        wording::pace(hold).map(|p| format!("after {p}")),
    );
    entries.extend(throughput(sheet, hold));
    entries.push(Entry::new("Could not show", limit_of_sight(sheet, hold)));
    entries.extend(water(sheet, hold).map(|w| Entry::new("Water as vapour", w)));
    entries
}

/// The leak as gas flow, and in whose terms; nothing where there is no leak.
fn throughput(sheet: &Sheet<'_>, hold: &Hold) -> Vec<Entry> {
    let Some((flow, grams)) = wording::throughput(hold) else {
        return Vec::new();
    };
    let volume = sheet.job.and_then(|j| j.volume_l).map_or_else(
        || "the volume given".to_owned(),
        |v| format!("{} L", plain(v, 3)),
    );
    let mut entries = vec![Entry::new("Air drawn in", flow)];
    entries.extend(grams.map(|grams| Entry::new("As refrigerant", grams)));
    let loss = wording::operating_loss(hold);
    let other = if loss.is_some() {
        "pipe and pinhole as the two ends"
    } else {
        "the charged system loses at another rate"
    };
    entries.extend(loss.map(|l| Entry::new("Charged, it may lose", l)));
    entries.push(Entry::new(
        "Reckoned from",
        format!("rise × volume ({volume}), 20 °C; {other}"),
    ));
    entries
}

/// The detection limit in every term that is known.
fn limit_of_sight(sheet: &Sheet<'_>, hold: &Hold) -> String {
    let Some(rate) = wording::detection_limit(hold) else {
        return wording::detection_sentence(hold, None);
    };
    let mut terms = vec![format!("{} micron/min", significant(rate, 2))];
    if let Some(job) = sheet.job {
        terms.extend(wording::limit_as_flow(rate, job));
        terms.extend(wording::limit_in_grams(rate, job));
    }
    format!(
        "a leak below {}: a smaller leak is not ruled out",
        terms.join(", ")
    )
}

fn water(sheet: &Sheet<'_>, hold: &Hold) -> Option<String> {
    if sheet.job.and_then(|j| j.volume_l).is_none() && hold.water_vapour_mg.is_none() {
        return Some("needs the internal volume, which is not given".to_owned());
    }
    let mg = wording::water_mg(sheet.findings, hold)?;
    let ppm = hold
        .water_ppm_of_charge
        .map(|ppm| format!(", {} ppm of the charge", significant(ppm, 2)))
        .unwrap_or_default();
    Some(format!(
        "at most {} mg{ppm}; oil and filter-drier may hold more",
        significant(mg, 2)
    ))
}
