//! The system as typed; gauge, pump and hoses.

use vacuum::{AccessSides, Job, Refrigerant, SheetField};
use wording::{Voice, say};

use super::parts::{List, ListItem};
use crate::{Companion, Sheet};

/// Longest typed entry.
const ENTRY_CHARS: usize = 72;

/// Entries that the choices leave out are dropped.
fn printed<const N: usize>(
    sheet: &Sheet<'_>,
    entries: [(Option<SheetField>, ListItem); N],
) -> Vec<ListItem> {
    let kept = entries
        .into_iter()
        .filter(|(field, _)| field.is_none_or(|f| sheet.prints(f)));
    kept.map(|(_, entry)| entry).collect()
}

fn text(sheet: &Sheet<'_>, id: &'static str, pick: fn(&Job) -> Option<&str>) -> ListItem {
    let voice = &sheet.voice();
    ListItem::typed(
        voice,
        say!(voice, id),
        sheet.job.and_then(pick),
        ENTRY_CHARS,
    )
}

/// The system as typed.
pub(super) fn system(sheet: &Sheet<'_>) -> List {
    use SheetField as F;

    let voice = &sheet.voice();
    let job = sheet.job;
    let text = |id, pick| text(sheet, id, pick);
    let number = |id, value: Option<f64>, unit: &str| {
        let name = say!(voice, id);
        match value.filter(|v| v.is_finite() && v.abs() < 1e6) {
            None => ListItem::typed(voice, name, None, 1),
            Some(v) => ListItem::new(name, format!("{} {unit}", voice.plain(v, 4))),
        }
    };
    let charge = job.and_then(|j| j.charge_g);
    let volume = job.and_then(|j| j.volume_l);
    let entries = [
        (
            Some(F::Appliance),
            text("entry-appliance", |j| j.appliance.as_deref()),
        ),
        (Some(F::Model), text("entry-model", |j| j.model.as_deref())),
        (
            Some(F::Serial),
            text("entry-serial", |j| j.serial.as_deref()),
        ),
        (None, refrigerant(sheet)),
        (Some(F::Charge), number("entry-charge", charge, "g")),
        (Some(F::Oil), text("entry-oil", |j| j.oil.as_deref())),
        (Some(F::Volume), number("entry-volume", volume, "L")),
        (None, sides(sheet)),
        (None, temperatures(sheet)),
        (
            Some(F::Repair),
            text("entry-repair", |j| j.repair.as_deref()).long(),
        ),
    ];
    List {
        title: say!(voice, "system-title"),
        entries: printed(sheet, entries),
    }
}

/// The room, and the coldest part where somebody gave it, on one line.
fn temperatures(sheet: &Sheet<'_>) -> ListItem {
    let voice = &sheet.voice();
    let celsius = |pick: fn(&Job) -> Option<f64>| {
        let known = sheet.job.and_then(pick).filter(|c| c.abs() < 1e6);
        known.map(|c| format!("{} °C", voice.plain(c, 4)))
    };
    let (ambient, coldest) = (celsius(|j| j.ambient_c), celsius(|j| j.coldest_part_c));
    let both = coldest.map(|coldest| {
        let room = ambient.clone().unwrap_or_else(|| say!(voice, "not-given"));
        say!(
            voice,
            "ambient-and-coldest",
            ambient = room,
            coldest = coldest
        )
    });
    let words = both.or(ambient);
    ListItem::typed(
        voice,
        say!(voice, "entry-ambient"),
        words.as_deref(),
        ENTRY_CHARS,
    )
}

fn sides(sheet: &Sheet<'_>) -> ListItem {
    let voice = &sheet.voice();
    let sides = sheet.job.and_then(|j| j.access_sides);
    let words = sides.map(|sides| match sides {
        AccessSides::One => say!(voice, "sides-one"),
        AccessSides::Both => say!(voice, "sides-both"),
    });
    ListItem::typed(voice, say!(voice, "entry-sides"), words.as_deref(), 30)
}

fn refrigerant(sheet: &Sheet<'_>) -> ListItem {
    let mut entry = text(sheet, "entry-refrigerant", |j| j.refrigerant.as_deref());
    let typed = sheet.job.and_then(|j| j.refrigerant.as_deref());
    if let Some(known) = typed.and_then(Refrigerant::named) {
        entry.value = say!(
            sheet.voice(),
            "safety-group",
            refrigerant = &entry.value,
            group = known.safety_group.to_string()
        );
    }
    entry
}

/// Gauge, pump and hoses.
pub(super) fn instruments(sheet: &Sheet<'_>) -> List {
    use SheetField as F;

    let voice = &sheet.voice();
    let text = |id, pick| text(sheet, id, pick);
    let data = &sheet.findings.data;
    let seen = |id, value: Option<f64>, shown: &dyn Fn(f64) -> String| {
        let known = value.filter(|v| v.is_finite() && *v > 0.0);
        let words = known.map_or_else(|| say!(voice, "not-known"), shown);
        ListItem::new(say!(voice, id), words)
    };
    let pressure = |p| voice.small_pressure(p);
    let seconds = |s| format!("{} s", voice.plain(s, 2));
    let entries = [
        (
            None,
            text("entry-gauge", |j| j.gauge.description.as_deref()),
        ),
        (
            Some(F::GaugeSerial),
            text("entry-serial", |j| j.gauge.serial.as_deref()),
        ),
        (None, spoken(sheet)),
        (
            None,
            text("entry-calibrated", |j| j.gauge.calibrated_on.as_deref()),
        ),
        (
            None,
            text("entry-next-due", |j| j.gauge.calibration_due.as_deref()),
        ),
        (None, seen("entry-steps", data.resolution_micron, &pressure)),
        (None, seen("entry-noise", data.noise_micron, &pressure)),
        (None, seen("entry-interval", data.interval_s, &seconds)),
        (
            Some(F::Pump),
            text("entry-pump", |j| j.pump.as_deref()).long(),
        ),
        (
            Some(F::Hose),
            text("entry-hoses", |j| j.hose.as_deref()).long(),
        ),
    ];
    let mut entries = printed(sheet, entries);
    if let Some(second) = sheet.beside.first() {
        make_room(voice, &mut entries);
        let words = second_gauge(sheet, voice, second);
        let name = say!(voice, "entry-second-gauge");
        let at = entries.len().min(3);
        entries.insert(at, ListItem::typed(voice, name, Some(&words), 110).long());
    }
    List {
        title: say!(voice, "instruments-title"),
        entries,
    }
}

/// The dialect that the gauge speaks.
fn spoken(sheet: &Sheet<'_>) -> ListItem {
    let voice = &sheet.voice();
    let name = say!(voice, "entry-dialect");
    ListItem::typed(voice, name, sheet.gauge_dialect, ENTRY_CHARS)
}

/// Puts two pairs of entries on a line each, so that the list grows no higher.
fn make_room(voice: &Voice, entries: &mut Vec<ListItem>) {
    let mut join = |name: String, into: String, both: &dyn Fn(&str, &str) -> String| {
        let Some(at) = entries.iter().position(|e| e.name == name) else {
            return;
        };
        let moved = entries.remove(at);
        if let Some(kept) = entries.iter_mut().find(|e| e.name == into) {
            kept.value = both(&kept.value, &moved.value);
        }
    };
    join(
        say!(voice, "entry-next-due"),
        say!(voice, "entry-calibrated"),
        &|value, due| say!(voice, "and-due", value = value, due = due),
    );
    join(
        say!(voice, "entry-noise"),
        say!(voice, "entry-steps"),
        &|value, noise| say!(voice, "and-noise", value = value, noise = noise),
    );
}

/// Where it sits and which it is, in one line.
fn second_gauge(sheet: &Sheet<'_>, voice: &Voice, second: &Companion<'_>) -> String {
    let gauge = second.gauge;
    let serial = gauge.serial.as_ref();
    let serial = serial.filter(|_| sheet.prints(SheetField::GaugeSerial));
    let calibrated = gauge.calibrated_on.as_ref();
    let due = gauge.calibration_due.as_ref();
    let known = [
        gauge.description.clone(),
        serial.map(|serial| say!(voice, "second-serial", serial = serial)),
        calibrated.map(|day| say!(voice, "second-calibrated", day = day)),
        due.map(|day| say!(voice, "second-due", day = day)),
    ];
    let mut parts = vec![wording::place_words(voice, second.place)];
    parts.extend(known.into_iter().flatten());
    if parts.len() == 1 {
        parts.push(say!(voice, "not-given"));
    }
    parts.join(", ")
}
