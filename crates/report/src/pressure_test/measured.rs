//! What a pressure test measured, and what it means.

use findings::Decay;
use layout::parts::{List, ListItem};
use wording::{Voice, say};

use super::TestSheet;

/// The list beside the small picture.
pub(super) fn list(sheet: &TestSheet<'_>) -> List {
    let voice = &sheet.about.voice();
    let none = || {
        vec![ListItem::new(
            say!(voice, "test-entry-loss"),
            say!(voice, "test-none"),
        )]
    };
    List {
        title: say!(voice, "test-measured-title"),
        entries: sheet
            .findings
            .decay
            .map_or_else(none, |decay| entries(sheet, voice, &decay)),
    }
}

/// The loss with its interval: as throughput where the volume is known, else as a share of
/// the gas.
pub(super) fn loss(voice: &Voice, decay: &Decay) -> String {
    match &decay.loss_pa_m3_per_s {
        Some(loss) => voice.estimated_throughput(loss),
        None => share(voice, decay),
    }
}

fn share(voice: &Voice, decay: &Decay) -> String {
    say!(
        voice,
        "test-share",
        low = voice.significant(100.0 * decay.lost_per_hour.low, 2),
        high = voice.significant(100.0 * decay.lost_per_hour.high, 2)
    )
}

fn entries(sheet: &TestSheet<'_>, voice: &Voice, decay: &Decay) -> Vec<ListItem> {
    let mut entries = Vec::new();
    let mut add = |id, value: Option<String>| {
        entries.extend(value.map(|v| ListItem::new(say!(voice, id), v).long()));
    };
    let at = |bar: f64, c: Option<f64>| {
        let pressure = voice.test_pressure(bar);
        match c {
            Some(c) => [pressure, format!("{} °C", voice.decimals(c, 1))].join(", "),
            None => pressure,
        }
    };
    add(
        "test-entry-start",
        Some(at(decay.start_bar_abs, decay.start_c)),
    );
    add("test-entry-end", Some(at(decay.end_bar_abs, decay.end_c)));
    let corrected = decay.corrected_end_bar_abs.zip(decay.start_c);
    add(
        "test-entry-corrected",
        corrected.map(|(bar, c)| {
            say!(
                voice,
                "test-corrected-to",
                pressure = voice.test_pressure(bar),
                c = voice.decimals(c, 1)
            )
        }),
    );
    if !sheet.is_closed() {
        return entries;
    }
    add("test-entry-filling", Some(filling(voice, decay)));
    add("test-entry-loss", Some(loss(voice, decay)));
    let known = decay.loss_pa_m3_per_s.is_some();
    add("test-entry-share", known.then(|| share(voice, decay)));
    let sight = sheet.sight();
    add(
        "entry-could-not-show",
        sight.map(|limit| voice.throughput(limit)),
    );
    add(
        "test-entry-refrigerant",
        decay
            .g_per_year
            .zip(sheet.refrigerant())
            .map(|((low, high), refrigerant)| {
                say!(
                    voice,
                    "test-refrigerant",
                    low = voice.significant(low, 2),
                    high = voice.significant(high, 2),
                    refrigerant = refrigerant.designation
                )
            }),
    );
    add(
        "test-entry-hold",
        decay.hold_rise_micron_per_min.map(|(low, high)| {
            say!(
                voice,
                "test-hold-rise",
                low = voice.significant(low, 2),
                high = voice.significant(high, 2)
            )
        }),
    );
    add("test-entry-decide", to_decide(voice, decay));
    entries
}

fn filling(voice: &Voice, decay: &Decay) -> String {
    match decay.settled_at_s {
        None => say!(voice, "test-filling-there"),
        Some(at_s) if at_s - decay.shut_at_s < 1.0 => say!(voice, "test-filling-none"),
        Some(at_s) => say!(
            voice,
            "test-filling-gone",
            time = voice.duration(at_s - decay.shut_at_s)
        ),
    }
}

/// How much longer, with what there is and with a thermometer; never less than it takes.
fn to_decide(voice: &Voice, decay: &Decay) -> Option<String> {
    let whole = |minutes: f64| voice.decimals(minutes.ceil(), 0);
    let longer = decay
        .decides_in_min
        .map(|m| say!(voice, "test-longer", minutes = whole(m)));
    let with = decay
        .with_thermometer_min
        .map(|m| say!(voice, "test-thermometer", minutes = whole(m)));
    let parts: Vec<String> = longer.into_iter().chain(with).collect();
    (!parts.is_empty()).then(|| parts.join(&say!(voice, "clause-break")))
}
