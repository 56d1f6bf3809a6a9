//! The system as typed; gauge, pump and hoses.

use vacuum::{AccessSides, Job, Refrigerant, SheetField};

use super::{Entry, List, NOT_GIVEN};
use crate::{Companion, Sheet, figures::plain};

/// Longest typed entry.
const ENTRY_CHARS: usize = 72;

/// Entries that the choices leave out are dropped.
fn printed<const N: usize>(
    sheet: &Sheet<'_>,
    entries: [(Option<SheetField>, Entry); N],
) -> Vec<Entry> {
    let kept = entries
        .into_iter()
        .filter(|(field, _)| field.is_none_or(|f| sheet.prints(f)));
    kept.map(|(_, entry)| entry).collect()
}

fn text(sheet: &Sheet<'_>, name: &'static str, pick: fn(&Job) -> Option<&str>) -> Entry {
    Entry::typed(name, sheet.job.and_then(pick), ENTRY_CHARS)
}

/// The system as typed.
pub(super) fn system(sheet: &Sheet<'_>) -> List {
    use SheetField as F;

    let job = sheet.job;
    let text = |name, pick| text(sheet, name, pick);
    let number = |name, value: Option<f64>, unit: &str| {
        value
            .filter(|v| v.is_finite() && v.abs() < 1e6)
            .map_or_else(
                || Entry::typed(name, None, 1),
                |v| Entry::new(name, format!("{} {unit}", plain(v, 4))),
            )
    };
    let sides = job.and_then(|j| j.access_sides).map(|sides| match sides {
        AccessSides::One => "one side only",
        AccessSides::Both => "both sides",
    });
    List {
        title: "System",
        entries: printed(
            sheet,
            [
                (
                    Some(F::Appliance),
                    text("Appliance", |j| j.appliance.as_deref()),
                ),
                (Some(F::Model), text("Model", |j| j.model.as_deref())),
                (Some(F::Serial), text("Serial no.", |j| j.serial.as_deref())),
                (None, refrigerant(sheet)),
                (
                    Some(F::Charge),
                    number("Charge", job.and_then(|j| j.charge_g), "g"),
                ),
                (Some(F::Oil), text("Oil", |j| j.oil.as_deref())),
                (
                    Some(F::Volume),
                    number("Volume", job.and_then(|j| j.volume_l), "L"),
                ),
                (None, Entry::typed("Evacuated from", sides, 20)),
                (None, number("Ambient", job.and_then(|j| j.ambient_c), "°C")),
                (
                    Some(F::Repair),
                    text("Repair", |j| j.repair.as_deref()).long(),
                ),
            ],
        ),
    }
}

fn refrigerant(sheet: &Sheet<'_>) -> Entry {
    let mut entry = text(sheet, "Refrigerant", |j| j.refrigerant.as_deref());
    let typed = sheet.job.and_then(|j| j.refrigerant.as_deref());
    if let Some(known) = typed.and_then(Refrigerant::named) {
        entry.value += &format!(" (safety group {})", known.safety_group);
    }
    entry
}

/// Gauge, pump and hoses.
pub(super) fn instruments(sheet: &Sheet<'_>) -> List {
    use SheetField as F;

    let text = |name, pick| text(sheet, name, pick);
    let data = &sheet.findings.data;
    let seen = |name, value: Option<f64>, unit: &str| {
        let seen = value.filter(|v| v.is_finite() && *v > 0.0).map_or_else(
            || "not known".to_owned(),
            |v| format!("{} {unit}", plain(v, 2)),
        );
        Entry::new(name, seen)
    };
    let mut entries = printed(
        sheet,
        [
            (None, text("Gauge", |j| j.gauge.description.as_deref())),
            (
                Some(F::GaugeSerial),
                text("Serial no.", |j| j.gauge.serial.as_deref()),
            ),
            (
                None,
                text("Calibrated", |j| j.gauge.calibrated_on.as_deref()),
            ),
            (
                None,
                text("Next due", |j| j.gauge.calibration_due.as_deref()),
            ),
            (None, seen("Steps seen", data.resolution_micron, "micron")),
            (None, seen("Noise seen", data.noise_micron, "micron")),
            (None, seen("One reading per", data.interval_s, "s")),
            (Some(F::Pump), text("Pump", |j| j.pump.as_deref()).long()),
            (Some(F::Hose), text("Hoses", |j| j.hose.as_deref()).long()),
        ],
    );
    if sheet.gauge_dialect.is_some() {
        let dialect = Entry::typed("Dialect", sheet.gauge_dialect, ENTRY_CHARS);
        entries.insert(1, dialect);
    }
    if let Some(second) = sheet.beside.first() {
        make_room(&mut entries);
        let words = second_gauge(sheet, second);
        let at = entries.len().min(3);
        entries.insert(at, Entry::typed("Second gauge", Some(&words), 110).long());
    }
    List {
        title: "Gauge, pump, hoses",
        entries,
    }
}

/// Puts two pairs of entries on a line each, so that the list grows no higher.
fn make_room(entries: &mut Vec<Entry>) {
    for (name, into, words) in [
        ("Next due", "Calibrated", "due"),
        ("Noise seen", "Steps seen", "noise"),
    ] {
        let Some(at) = entries.iter().position(|e| e.name == name) else {
            continue;
        };
        let moved = entries.remove(at);
        if let Some(kept) = entries.iter_mut().find(|e| e.name == into) {
            kept.value += &format!(", {words} {}", moved.value);
        }
    }
}

/// Where it sits and which it is, in one line.
fn second_gauge(sheet: &Sheet<'_>, second: &Companion<'_>) -> String {
    let gauge = second.gauge;
    let named = |words: &str, value: &Option<String>| value.as_ref().map(|v| format!("{words}{v}"));
    let serial = named("no. ", &gauge.serial);
    let known = [
        named("", &gauge.description),
        serial.filter(|_| sheet.prints(SheetField::GaugeSerial)),
        named("calibrated ", &gauge.calibrated_on),
        named("due ", &gauge.calibration_due),
    ];
    let mut parts = vec![second.place.to_owned()];
    parts.extend(known.into_iter().flatten());
    if parts.len() == 1 {
        parts.push(NOT_GIVEN.to_owned());
    }
    parts.join(", ")
}
