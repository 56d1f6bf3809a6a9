//! Criteria against measured, the rise, the system, the instruments.

use analyser::{Findings, Hold, Reason, RiseKind};
use vacuum::{AccessSides, Refrigerant};

use super::{definition_list, typed};
use crate::{
    Companion, Sheet,
    figures::{clock, duration, limit, micron, plain, significant},
    text::escape,
    wording,
};

/// One criterion: what was asked, what was measured, whether it is met.
struct Row {
    name: &'static str,
    asked: String,
    measured: String,
    met: &'static str,
}

/// Criteria and what was measured against each, side by side.
pub(super) fn criteria(findings: &Findings) -> String {
    let mut out = String::from(
        "<table class=\"criteria\"><tr><th>Criterion</th><th>Asked for</th><th>Measured</th>\
         <th>Met</th></tr>",
    );
    for row in [
        target(findings),
        hold_time(findings),
        ceiling(findings),
        record(findings),
    ] {
        out.push_str(&format!(
            "<tr><td>{}</td><td>{}</td><td>{}</td><td class=\"met\">{}</td></tr>",
            row.name,
            escape(&row.asked),
            escape(&row.measured),
            row.met
        ));
    }
    out.push_str("</table>");
    out
}

fn has(findings: &Findings, reason: Reason) -> bool {
    findings.reasons.contains(&reason)
}

fn met(known: bool, broken: bool) -> &'static str {
    match (known, broken) {
        (_, true) => "no",
        (true, false) => "yes",
        (false, false) => "not shown",
    }
}

fn target(findings: &Findings) -> Row {
    let round = wording::judged_round(findings);
    let pulldown = round.and_then(|r| r.pulldown.as_ref());
    let lowest = pulldown.and_then(|p| p.lowest_micron);
    let start = round
        .and_then(|r| r.hold.as_ref())
        .and_then(|h| h.start_micron);
    let reached = pulldown
        .and_then(|p| Some(p.reached_target_s? - p.start_s))
        .map(|s| format!(", target reached after {}", duration(s)))
        .unwrap_or_default();
    let measured = match (lowest, start) {
        (Some(p), _) => format!("lowest {}{reached}", micron(p)),
        (None, Some(p)) => format!("hold begins at {}", micron(p)),
        (None, None) => "nothing measured".to_owned(),
    };
    Row {
        name: "Pull-down",
        asked: format!("{} or lower", limit(findings.criteria.target_micron)),
        measured,
        met: met(
            lowest.or(start).is_some(),
            has(findings, Reason::TargetNotReached),
        ),
    }
}

fn hold_time(findings: &Findings) -> Row {
    let hold = findings.judged_hold();
    Row {
        name: "Hold",
        asked: format!("{} min or longer", plain(findings.criteria.hold_min, 4)),
        measured: hold.map_or_else(
            || "no hold found".to_owned(),
            |h| {
                format!(
                    "{}, isolated at {} ({})",
                    duration(h.duration_s),
                    clock(h.isolated_at_s),
                    wording::basis_phrase(h.basis)
                )
            },
        ),
        met: met(hold.is_some(), has(findings, Reason::HoldTooShort)),
    }
}

fn ceiling(findings: &Findings) -> Row {
    let hold = findings.judged_hold();
    let highest = hold.and_then(|h| h.highest_micron);
    let measured = match (highest, hold) {
        (Some(highest), Some(h)) => {
            let ends = match (h.start_micron, h.end_micron) {
                (Some(a), Some(b)) => {
                    format!(" ({} after settling, {} at the end)", micron(a), micron(b))
                }
                _ => String::new(),
            };
            format!("highest {}{ends}", micron(highest))
        }
        _ => "nothing measured".to_owned(),
    };
    Row {
        name: "Ceiling of the hold",
        asked: format!("not above {}", limit(findings.criteria.ceiling_micron)),
        measured,
        met: met(highest.is_some(), has(findings, Reason::CeilingExceeded)),
    }
}

fn record(findings: &Findings) -> Row {
    let broken = [
        Reason::GapInHold,
        Reason::GaugeFault,
        Reason::NoIsolation,
        Reason::PumpOpenAtStop,
        Reason::NoReadings,
        Reason::GaugeTooCoarse,
    ]
    .into_iter()
    .find(|r| has(findings, *r));
    let mut measured = wording::data_sentence(findings);
    if let Some(reason) = broken {
        measured = format!("{}; {measured}", reason.sentence());
    }
    Row {
        name: "Record",
        asked: "isolation shown, hold without a gap".to_owned(),
        measured,
        met: met(findings.data.used > 0, broken.is_some()),
    }
}

/// The rise of the judged hold, as a leak and as water.
pub(super) fn rise(sheet: &Sheet<'_>) -> String {
    let Some(hold) = sheet.findings.judged_hold() else {
        let none = vec![("Cause", "no hold, no answer".to_owned())];
        return definition_list("rise", "Rise, leak, water", &none);
    };
    let cause = match hold.rise.kind {
        RiseKind::Unclear => "not clear yet",
        kind => kind.label(),
    };
    let mut rows = vec![("Cause of the rise", escape(cause))];
    if let Some(more) = wording::more_to_tell_s(hold) {
        let all = duration(hold.duration_s + more);
        rows.push(("To tell it", format!("a hold of {all} in all")));
    }
    let mut add = |name, value: Option<String>| rows.extend(value.map(|v| (name, escape(&v))));
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
    rows.extend(throughput(sheet, hold));
    rows.push(("Could not show", escape(&limit_of_sight(sheet, hold))));
    rows.extend(water(sheet, hold).map(|w| ("Water as vapour", w)));
    definition_list("rise", "Rise, leak, water", &rows)
}

/// The leak as gas flow, and in whose terms; nothing where there is no leak.
fn throughput(sheet: &Sheet<'_>, hold: &Hold) -> Vec<(&'static str, String)> {
    let Some((flow, grams)) = wording::throughput(hold) else {
        return Vec::new();
    };
    let volume = sheet.job.and_then(|j| j.volume_l).map_or_else(
        || "the volume given".to_owned(),
        |v| format!("{} L", plain(v, 3)),
    );
    let mut rows = vec![("Air drawn in", escape(&flow))];
    if let Some(grams) = grams {
        rows.push(("As refrigerant", escape(&grams)));
    }
    let loss = wording::operating_loss(hold);
    let other = if loss.is_some() {
        "pipe and pinhole as the two ends"
    } else {
        "the charged system loses at another rate"
    };
    rows.extend(loss.map(|l| ("Charged, it may lose", escape(&l))));
    rows.push((
        "Reckoned from",
        format!("rise × volume ({volume}), 20 °C; {other}"),
    ));
    rows
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

/// The system as typed.
pub(super) fn system(sheet: &Sheet<'_>) -> String {
    let job = sheet.job;
    let text = |pick: fn(&vacuum::Job) -> Option<&str>| typed(job.and_then(pick), 72);
    let number = |value: Option<f64>, unit: &str| {
        value
            .filter(|v| v.is_finite() && v.abs() < 1e6)
            .map_or_else(|| typed(None, 1), |v| format!("{} {unit}", plain(v, 4)))
    };
    let sides = job.and_then(|j| j.access_sides).map(|sides| match sides {
        AccessSides::One => "one side only",
        AccessSides::Both => "both sides",
    });
    let group = job
        .and_then(|j| j.refrigerant.as_deref())
        .and_then(Refrigerant::named)
        .map(|r| format!(" (safety group {})", r.safety_group))
        .unwrap_or_default();
    definition_list(
        "system",
        "System",
        &[
            ("Appliance", text(|j| j.appliance.as_deref())),
            ("Model", text(|j| j.model.as_deref())),
            ("Serial no.", text(|j| j.serial.as_deref())),
            (
                "Refrigerant",
                text(|j| j.refrigerant.as_deref()) + &escape(&group),
            ),
            ("Charge", number(job.and_then(|j| j.charge_g), "g")),
            ("Oil", text(|j| j.oil.as_deref())),
            ("Volume", number(job.and_then(|j| j.volume_l), "L")),
            ("Evacuated from", typed(sides, 20)),
            ("Ambient", number(job.and_then(|j| j.ambient_c), "°C")),
            ("Repair", text(|j| j.repair.as_deref())),
        ],
    )
}

/// Gauge, pump and hoses.
pub(super) fn instruments(sheet: &Sheet<'_>) -> String {
    let job = sheet.job;
    let text = |pick: fn(&vacuum::Job) -> Option<&str>| typed(job.and_then(pick), 72);
    let data = &sheet.findings.data;
    let seen = |value: Option<f64>, unit: &str| {
        value.filter(|v| v.is_finite() && *v > 0.0).map_or_else(
            || "not known".to_owned(),
            |v| format!("{} {unit}", plain(v, 2)),
        )
    };
    let mut rows = vec![
        ("Gauge", text(|j| j.gauge.description.as_deref())),
        ("Serial no.", text(|j| j.gauge.serial.as_deref())),
        ("Calibrated", text(|j| j.gauge.calibrated_on.as_deref())),
        ("Next due", text(|j| j.gauge.calibration_due.as_deref())),
        ("Steps seen", seen(data.resolution_micron, "micron")),
        ("Noise seen", seen(data.noise_micron, "micron")),
        ("One reading per", seen(data.interval_s, "s")),
        ("Pump", text(|j| j.pump.as_deref())),
        ("Hoses", text(|j| j.hose.as_deref())),
        ("Shop", text(|j| j.shop.as_deref())),
    ];
    if let Some(second) = sheet.beside.first() {
        make_room(&mut rows);
        rows.insert(3, ("Second gauge", typed(Some(&second_gauge(second)), 110)));
    }
    definition_list("instruments", "Gauge, pump, hoses", &rows)
}

/// Puts two pairs of rows on a line each, so that the list grows no higher.
fn make_room(rows: &mut Vec<(&'static str, String)>) {
    for (name, into, words) in [
        ("Next due", "Calibrated", "due"),
        ("Noise seen", "Steps seen", "noise"),
    ] {
        let Some(at) = rows.iter().position(|(n, _)| *n == name) else {
            continue;
        };
        let (_, value) = rows.remove(at);
        if let Some((_, kept)) = rows.iter_mut().find(|(n, _)| *n == into) {
            *kept += &format!(", {words} {value}");
        }
    }
}

/// Where it sits and which it is, in one line.
fn second_gauge(second: &Companion<'_>) -> String {
    let gauge = second.gauge;
    let named = |words: &str, value: &Option<String>| value.as_ref().map(|v| format!("{words}{v}"));
    let known = [
        named("", &gauge.description),
        named("no. ", &gauge.serial),
        named("calibrated ", &gauge.calibrated_on),
        named("due ", &gauge.calibration_due),
    ];
    let mut parts = vec![second.place.to_owned()];
    parts.extend(known.into_iter().flatten());
    if parts.len() == 1 {
        parts.push(super::NOT_GIVEN.to_owned());
    }
    parts.join(", ")
}
