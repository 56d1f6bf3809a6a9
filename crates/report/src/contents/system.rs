//! The system as typed; gauge, pump and hoses.

use findings::{Finding, Findings, Statement};
use vacuum::{AccessSides, GaugePrinciple, Job, Refrigerant, SheetField};
use wording::{Voice, say};

use crate::{Companion, sheet::About};
use layout::parts::{List, ListItem};

/// Longest typed entry.
const ENTRY_CHARS: usize = 72;

/// Entries that the choices leave out are dropped.
pub(crate) fn printed(
    about: &About<'_>,
    entries: impl IntoIterator<Item = (Option<SheetField>, ListItem)>,
) -> Vec<ListItem> {
    let kept = entries
        .into_iter()
        .filter(|(field, _)| field.is_none_or(|f| about.prints(f)));
    kept.map(|(_, entry)| entry).collect()
}

fn text(about: &About<'_>, id: &'static str, pick: fn(&Job) -> Option<&str>) -> ListItem {
    let voice = &about.voice();
    ListItem::typed(
        voice,
        say!(voice, id),
        about.job.and_then(pick),
        ENTRY_CHARS,
    )
}

/// The system as typed; the sides that were evacuated too where it was.
pub(crate) fn system(about: &About<'_>, evacuated: bool) -> List {
    use SheetField as F;

    let voice = &about.voice();
    let job = about.job;
    let text = |id, pick| text(about, id, pick);
    let number = |id, value: Option<f64>, unit: &str| {
        let name = say!(voice, id);
        match value.filter(|v| v.is_finite() && v.abs() < 1e6) {
            None => ListItem::typed(voice, name, None, 1),
            Some(v) => ListItem::new(name, format!("{} {unit}", voice.plain(v, 4))),
        }
    };
    let charge = job.and_then(|j| j.charge_g);
    let volume = about.job_as_judged().and_then(|j| j.volume_l);
    let volume = number("entry-volume", volume, "L");
    let volume = named_as_given(voice, volume, about.given.volume_l.is_some());
    let entries = [
        Some((
            Some(F::Appliance),
            text("entry-appliance", |j| j.appliance.as_deref()),
        )),
        Some((Some(F::Model), text("entry-model", |j| j.model.as_deref()))),
        Some((
            Some(F::Serial),
            text("entry-serial", |j| j.serial.as_deref()),
        )),
        Some((None, refrigerant(about))),
        Some((Some(F::Charge), number("entry-charge", charge, "g"))),
        Some((Some(F::Oil), text("entry-oil", |j| j.oil.as_deref()))),
        Some((Some(F::Volume), volume)),
        evacuated.then(|| (None, sides(about))),
        Some((None, temperatures(about))),
        Some((
            Some(F::Repair),
            text("entry-repair", |j| j.repair.as_deref()).long(),
        )),
    ];
    List {
        title: say!(voice, "system-title"),
        entries: printed(about, entries.into_iter().flatten()),
    }
}

/// Says of a value that it is not the job's but was given for the review.
fn named_as_given(voice: &Voice, mut entry: ListItem, given: bool) -> ListItem {
    if given && !entry.absent {
        entry.value = say!(voice, "given-at-review", value = &entry.value);
        entry.long = true;
    }
    entry
}

/// The room, and the coldest part where somebody gave it, on one line.
fn temperatures(about: &About<'_>) -> ListItem {
    let voice = &about.voice();
    let celsius = |pick: fn(&Job) -> Option<f64>| {
        let job = about.job_as_judged();
        let known = job.as_ref().and_then(pick).filter(|c| c.abs() < 1e6);
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
    let name = say!(voice, "entry-ambient");
    let entry = ListItem::typed(voice, name, words.as_deref(), ENTRY_CHARS);
    let given = about.given.ambient_c.or(about.given.coldest_part_c);
    named_as_given(voice, entry, given.is_some())
}

fn sides(about: &About<'_>) -> ListItem {
    let voice = &about.voice();
    let sides = about.job_as_judged().and_then(|j| j.access_sides);
    let words = sides.map(|sides| match sides {
        AccessSides::One => say!(voice, "sides-one"),
        AccessSides::Both => say!(voice, "sides-both"),
    });
    let entry = ListItem::typed(voice, say!(voice, "entry-sides"), words.as_deref(), 30);
    named_as_given(voice, entry, about.given.access_sides.is_some())
}

fn refrigerant(about: &About<'_>) -> ListItem {
    let voice = &about.voice();
    let job = about.job_as_judged();
    let typed = job.as_ref().and_then(|j| j.refrigerant.as_deref());
    let name = say!(voice, "entry-refrigerant");
    let mut entry = ListItem::typed(voice, name, typed, ENTRY_CHARS);
    if let Some(known) = typed.and_then(Refrigerant::named) {
        entry.value = say!(
            voice,
            "safety-group",
            refrigerant = &entry.value,
            group = known.safety_group.to_string()
        );
    }
    named_as_given(voice, entry, about.given.refrigerant.is_some())
}

/// What differs between tests in the list of instruments.
pub(crate) struct Instruments<'a> {
    /// Heading.
    pub(crate) title: String,
    /// What was noticed of the gauges.
    pub(crate) findings: &'a [Finding],
    /// What was seen of the gauge in the record.
    pub(crate) seen: Vec<ListItem>,
    /// What was used besides, after the gauge and before the hoses.
    pub(crate) besides: Vec<(Option<SheetField>, ListItem)>,
}

/// The gauge of an evacuation as it was seen in the record, and the pump.
pub(crate) fn of_evacuation<'a>(about: &About<'_>, findings: &'a Findings) -> Instruments<'a> {
    let voice = &about.voice();
    let data = &findings.data;
    let seen = |id, value: Option<f64>, shown: &dyn Fn(f64) -> String| {
        let known = value.filter(|v| v.is_finite() && *v > 0.0);
        let words = known.map_or_else(|| say!(voice, "not-known"), shown);
        ListItem::new(say!(voice, id), words)
    };
    let pressure = |p| voice.small_pressure(p);
    let seconds = |s| format!("{} s", voice.plain(s, 2));
    Instruments {
        title: say!(voice, "instruments-title"),
        findings: &findings.findings,
        seen: vec![
            seen("entry-steps", data.resolution_micron, &pressure),
            seen("entry-noise", data.noise_micron, &pressure),
            seen("entry-interval", data.interval_s, &seconds),
        ],
        besides: vec![(
            Some(SheetField::Pump),
            text(about, "entry-pump", |j| j.pump.as_deref()).long(),
        )],
    }
}

/// Gauge, what was used besides, and hoses.
pub(crate) fn instruments(about: &About<'_>, of: Instruments<'_>) -> List {
    use SheetField as F;

    let voice = &about.voice();
    let text = |id, pick| text(about, id, pick);
    let gauge = [
        (None, gauge(about)),
        (
            Some(F::GaugeSerial),
            text("entry-serial", |j| j.gauge.serial.as_deref()),
        ),
        (None, spoken(about)),
        (
            None,
            text("entry-calibrated", |j| j.gauge.calibrated_on.as_deref()),
        ),
        (None, next_due(about, of.findings)),
    ];
    let hoses = (
        Some(F::Hose),
        text("entry-hoses", |j| j.hose.as_deref()).long(),
    );
    let seen = of.seen.into_iter().map(|item| (None, item));
    let all = gauge.into_iter().chain(seen).chain(of.besides);
    let mut entries = printed(about, all.chain([hoses]));
    if let Some(second) = about.beside.first() {
        make_room(voice, &mut entries);
        let words = second_gauge(about, of.findings, second);
        let name = say!(voice, "entry-second-gauge");
        let at = entries.len().min(3);
        entries.insert(at, ListItem::typed(voice, name, Some(&words), 110).long());
    }
    List {
        title: of.title,
        entries,
    }
}

/// What gauge it is, and how it senses the pressure.
fn gauge(about: &About<'_>) -> ListItem {
    let voice = &about.voice();
    let mut entry = text(about, "entry-gauge", |j| j.gauge.description.as_deref());
    let principle = about.job.and_then(|j| j.gauge.principle);
    let id = match principle {
        Some(GaugePrinciple::Thermal) => "principle-thermal",
        Some(GaugePrinciple::Diaphragm) => "principle-diaphragm",
        Some(GaugePrinciple::Other) | None => return entry,
    };
    let words = say!(voice, id);
    entry.value = match entry.absent {
        true => words,
        false => [entry.value, words].join(", "),
    };
    entry.absent = false;
    entry
}

/// When the gauge is to be calibrated next, and whether that day had passed.
fn next_due(about: &About<'_>, findings: &[Finding]) -> ListItem {
    let voice = &about.voice();
    let mut entry = text(about, "entry-next-due", |j| {
        j.gauge.calibration_due.as_deref()
    });
    if is_overdue(findings, None) {
        entry.value = say!(voice, "was-overdue", day = &entry.value);
    }
    entry
}

/// True where the calibration of the gauge at this place, the judged one without a place,
/// had run out.
fn is_overdue(findings: &[Finding], at: Option<&str>) -> bool {
    findings.iter().any(|f| match &f.statement {
        Statement::CalibrationOverdue { place, .. } => place.as_deref() == at,
        _ => false,
    })
}

/// The dialect that the gauge speaks.
fn spoken(about: &About<'_>) -> ListItem {
    let voice = &about.voice();
    let name = say!(voice, "entry-dialect");
    ListItem::typed(voice, name, about.gauge_dialect, ENTRY_CHARS)
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
fn second_gauge(about: &About<'_>, findings: &[Finding], second: &Companion<'_>) -> String {
    let voice = &about.voice();
    let gauge = second.gauge;
    let serial = gauge.serial.as_ref();
    let serial = serial.filter(|_| about.prints(SheetField::GaugeSerial));
    let calibrated = gauge.calibrated_on.as_ref();
    let due = gauge.calibration_due.as_ref();
    let known = [
        gauge.description.clone(),
        serial.map(|serial| say!(voice, "second-serial", serial = serial)),
        calibrated.map(|day| say!(voice, "second-calibrated", day = day)),
        due.map(|day| {
            let day = match is_overdue(findings, Some(second.place)) {
                true => say!(voice, "was-overdue", day = day),
                false => day.clone(),
            };
            say!(voice, "second-due", day = day)
        }),
    ];
    let mut parts = vec![wording::place_words(voice, second.place)];
    parts.extend(known.into_iter().flatten());
    if parts.len() == 1 {
        parts.push(say!(voice, "not-given"));
    }
    parts.join(", ")
}
