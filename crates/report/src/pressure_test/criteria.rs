//! What a pressure test has to show against what was measured.

use findings::{DecayNotice, DecayReason as Reason};
use layout::parts::Table;
use wording::say;

use super::TestSheet;

/// The table.
pub(super) fn table(sheet: &TestSheet<'_>) -> Table {
    let voice = &sheet.about.voice();
    let rows = [
        Some(loss(sheet)),
        Some(hold(sheet)),
        Some(supply(sheet)),
        Some(pressure(sheet)),
        Some(temperature(sheet)),
        barometer(sheet),
        volume(sheet),
        Some(record(sheet)),
    ];
    Table {
        title: say!(voice, "criteria-title"),
        head: ["criterion", "asked-for", "measured", "met"].map(|id| say!(voice, id)),
        rows: rows.into_iter().flatten().collect(),
    }
}

impl TestSheet<'_> {
    fn has(&self, reason: Reason) -> bool {
        self.findings.reasons.contains(&reason)
    }

    /// The reason in words where it is there.
    fn because(&self, reason: Reason) -> Option<String> {
        let voice = &self.about.voice();
        self.has(reason)
            .then(|| wording::decay_reason(voice, reason))
    }

    fn nothing(&self) -> String {
        say!(self.about.voice(), "nothing-measured")
    }

    /// Whether it is met: known, and broken.
    fn met(&self, known: bool, broken: bool) -> String {
        let id = match (known, broken) {
            (_, true) => "met-no",
            (true, false) => "met-yes",
            (false, false) => "met-not-shown",
        };
        say!(self.about.voice(), id)
    }
}

fn loss(sheet: &TestSheet<'_>) -> [String; 4] {
    let voice = &sheet.about.voice();
    let found = sheet.findings;
    let allowed = found.criteria.allowed_pa_m3_per_s;
    let asked = allowed.map_or_else(
        || say!(voice, "not-given"),
        |q| say!(voice, "test-asked-loss", allowed = voice.throughput(q)),
    );
    let measured = match found.decay.filter(|_| sheet.is_closed()) {
        None => sheet.nothing(),
        Some(decay) => {
            let upper = decay
                .upper_95_pa_m3_per_s
                .map(|q| say!(voice, "test-measured-upper", upper = voice.throughput(q)));
            let loss = super::measured::loss(voice, &decay);
            let parts: Vec<String> = std::iter::once(loss).chain(upper).collect();
            parts.join(", ")
        }
    };
    let upper = found.decay.and_then(|d| d.upper_95_pa_m3_per_s);
    let within = sheet.is_closed() && upper.zip(allowed).is_some_and(|(q, most)| q <= most);
    [
        say!(voice, "test-criterion-loss"),
        asked,
        measured,
        sheet.met(within, sheet.has(Reason::LeakTooLarge)),
    ]
}

fn hold(sheet: &TestSheet<'_>) -> [String; 4] {
    let voice = &sheet.about.voice();
    let decay = sheet.findings.decay;
    let least_min = sheet.findings.criteria.hold_min;
    let measured = decay.map_or_else(
        || say!(voice, "no-hold-found"),
        |d| {
            say!(
                voice,
                "test-held",
                time = voice.held(d.end_s - d.shut_at_s),
                moment = voice.moment(d.shut_at_s)
            )
        },
    );
    // a hold that is long enough by the rule may still be too short to tell
    let short = decay.is_some_and(|d| d.end_s - d.shut_at_s < 60.0 * least_min - 2.0);
    [
        say!(voice, "criterion-hold"),
        say!(voice, "asked-hold", minutes = voice.plain(least_min, 4)),
        measured,
        sheet.met(decay.is_some(), short),
    ]
}

fn supply(sheet: &TestSheet<'_>) -> [String; 4] {
    let voice = &sheet.about.voice();
    let decay = sheet.findings.decay;
    let read = |n: &DecayNotice| matches!(n, DecayNotice::ShutNotStamped { .. });
    let id = match sheet.findings.notices.iter().any(read) {
        true => "test-supply-read",
        false => "test-supply-shut",
    };
    let shut = decay.map(|d| say!(voice, id, moment = voice.moment(d.shut_at_s)));
    let measured = sheet
        .because(Reason::SupplyOpen)
        .or_else(|| sheet.because(Reason::PressureRose))
        .or(shut)
        .unwrap_or_else(|| sheet.nothing());
    let broken = sheet.has(Reason::SupplyOpen) || sheet.has(Reason::PressureRose);
    [
        say!(voice, "test-criterion-supply"),
        say!(voice, "test-asked-supply"),
        measured,
        sheet.met(decay.is_some(), broken),
    ]
}

fn pressure(sheet: &TestSheet<'_>) -> [String; 4] {
    let voice = &sheet.about.voice();
    let criteria = &sheet.findings.criteria;
    let least = criteria
        .test_pressure_bar_abs
        .map(|bar| say!(voice, "test-asked-least", least = voice.test_limit(bar)));
    let most = criteria
        .highest_bar_abs
        .map(|bar| say!(voice, "test-asked-most", most = voice.test_limit(bar)));
    let asked: Vec<String> = least.into_iter().chain(most).collect();
    let asked = match asked.is_empty() {
        true => say!(voice, "test-asked-above-air"),
        false => asked.join(", "),
    };
    let begins = sheet
        .findings
        .decay
        .map(|d| voice.test_pressure(d.start_bar_abs));
    let why = sheet
        .because(Reason::PressureTooHigh)
        .or_else(|| sheet.because(Reason::PressureTooLow));
    let broken = why.is_some();
    let parts: Vec<String> = begins.into_iter().chain(why).collect();
    let measured = match parts.is_empty() {
        true => sheet.nothing(),
        false => parts.join(&say!(voice, "clause-break")),
    };
    [
        say!(voice, "test-criterion-pressure"),
        asked,
        measured,
        sheet.met(sheet.findings.decay.is_some(), broken),
    ]
}

fn temperature(sheet: &TestSheet<'_>) -> [String; 4] {
    let voice = &sheet.about.voice();
    let decay = sheet.findings.decay;
    let ends = decay
        .and_then(|d| d.start_c.zip(d.end_c))
        .map(|(from, to)| {
            say!(
                voice,
                "test-from-to-c",
                from = voice.decimals(from, 1),
                to = voice.decimals(to, 1)
            )
        });
    let why = sheet.because(Reason::TemperatureMissing);
    let broken = why.is_some();
    let id = match broken {
        true => "test-not-measured",
        false => "test-not-needed",
    };
    let (known, measured) = match (ends, why) {
        (Some(ends), Some(why)) => (true, [ends, why].join(&say!(voice, "clause-break"))),
        (Some(ends), None) => (true, ends),
        (None, _) if decay.is_none() => (false, sheet.nothing()),
        (None, _) => (false, say!(voice, id)),
    };
    [
        say!(voice, "test-criterion-temperature"),
        say!(voice, "test-asked-temperature"),
        measured,
        sheet.met(known, broken),
    ]
}

/// Only where it is missing: elsewhere it stands among the instruments.
fn barometer(sheet: &TestSheet<'_>) -> Option<[String; 4]> {
    let voice = &sheet.about.voice();
    let why = sheet.because(Reason::BarometerMissing)?;
    Some([
        say!(voice, "test-criterion-barometer"),
        say!(voice, "test-asked-known"),
        why,
        sheet.met(false, true),
    ])
}

/// Only where it is missing: elsewhere it stands with the system.
fn volume(sheet: &TestSheet<'_>) -> Option<[String; 4]> {
    let voice = &sheet.about.voice();
    let why = sheet.because(Reason::VolumeMissing)?;
    Some([
        say!(voice, "test-criterion-volume"),
        say!(voice, "test-asked-known"),
        why,
        sheet.met(false, true),
    ])
}

fn record(sheet: &TestSheet<'_>) -> [String; 4] {
    let voice = &sheet.about.voice();
    let readings = sheet.findings.readings;
    let why = [
        Reason::NoReadings,
        Reason::GaugeTooCoarse,
        Reason::NotSettled,
    ]
    .into_iter()
    .find_map(|reason| sheet.because(reason));
    let broken = why.is_some();
    let count = say!(voice, "test-readings", rows = voice.count(readings));
    let parts: Vec<String> = why.into_iter().chain([count]).collect();
    [
        say!(voice, "criterion-record"),
        say!(voice, "test-asked-record"),
        parts.join(&say!(voice, "clause-break")),
        sheet.met(readings > 0, broken),
    ]
}
