//! Which numbers of the JSON stand in which cell.

use serde_json::Value;
use vacuum::Job;

use super::{
    Printed,
    numbers::{self, Expected},
};

/// Entries by what they are, in English and in German.
const ENTRIES: [(&str, &str, &str); 16] = [
    ("cause", "Cause of the rise", "Ursache"),
    ("to tell", "To tell the cause", "Zur Klärung"),
    ("share", "A leak's share", "Leckanteil"),
    ("straight", "Straight part", "Gerader Anteil"),
    ("level", "Levels off at", "Flacht ab bei"),
    ("pace", "63 % of the rise", "63 % des Anstiegs"),
    ("air", "Air drawn in", "Luft eingezogen"),
    ("grams", "Same flow of refrigerant", "Als Kältemittel"),
    ("loss", "Estimated refrigerant loss", "Kältemittelverlust"),
    ("reckoned", "Calculated from", "Berechnet aus"),
    ("sight", "Smallest leak detectable", "Kleinstes Leck"),
    ("sealed", "Sealed system", "Geschlossen"),
    ("water", "Water as vapour", "Wasser als Dampf"),
    ("steps", "Gauge resolution", "Auflösung"),
    ("noise", "Gauge noise", "Rauschen"),
    ("interval", "Reading interval", "Messabstand"),
];

/// The number at a path; `None` where it is null or not there.
fn at(json: &Value, path: &str) -> Option<f64> {
    json.pointer(path).and_then(Value::as_f64)
}

fn estimate(json: &Value, path: &str) -> Option<[f64; 3]> {
    let end = |name: &str| at(json, &format!("{path}/{name}"));
    Some([end("value")?, end("low")?, end("high")?])
}

fn usable_volume_l(job: Option<&Job>) -> Option<f64> {
    job?.volume_l.filter(|v| v.is_finite() && *v > 0.0)
}

/// How many cells were compared, and what is wrong with them.
pub(crate) fn differences(
    printed: &Printed,
    json: &Value,
    job: Option<&Job>,
    decimal: char,
) -> (usize, Vec<String>) {
    let mut count = 0;
    let mut out = Vec::new();
    let mut check = |text: &str, expected: &[Expected]| {
        count += 1;
        let bare = text.replace("95 %", "");
        out.extend(numbers::differences(&bare, decimal, expected));
    };
    let rows: Vec<[Vec<Expected>; 2]> = criteria(json);
    assert_eq!(printed.criteria.len(), rows.len());
    for (cells, row) in printed.criteria.iter().zip(&rows) {
        check(&cells[0], &row[0]);
        check(&cells[1], &row[1]);
    }
    let entries = [rise(json, job), instruments(json)];
    for (printed, expected) in [&printed.rise, &printed.instruments]
        .into_iter()
        .zip(entries)
    {
        for (name, expected) in &expected {
            let (_, english, german) = ENTRIES.iter().find(|(id, ..)| id == name).unwrap();
            let own = if decimal == '.' { english } else { german };
            match printed.iter().find(|(n, _)| n == own) {
                Some((_, text)) => check(text, expected),
                None => check("no such entry", expected),
            }
        }
    }
    let known = |name: &str| {
        let all = ENTRIES.iter();
        all.filter(|(_, english, german)| [*english, *german].contains(&name))
            .count()
            > 0
    };
    for (name, text) in &printed.rise {
        assert!(
            known(name),
            "an entry of which nothing is known: {name}: {text}"
        );
    }
    (count, out)
}

/// The round that is judged; the last one where none is said to be.
fn judged(json: &Value) -> Option<&Value> {
    let rounds = json.pointer("/rounds")?.as_array()?;
    let said = json["judged_round"].as_u64();
    let place = said.and_then(|number| usize::try_from(number).ok()?.checked_sub(1));
    place.map_or(rounds.last(), |place| rounds.get(place))
}

fn criteria(json: &Value) -> Vec<[Vec<Expected>; 2]> {
    let none = Value::Null;
    let round = judged(json).unwrap_or(&none);
    let limit = |name: &str| {
        let value = at(json, &format!("/criteria/{name}"));
        value.map(|v| Expected::Value(v, 6)).into_iter().collect()
    };
    let pressure = |path: &str| at(round, path).map(|p| Expected::Value(p, 3));
    let start = pressure("/hold/start_micron");
    let reached = at(round, "/pulldown/reached_target_s").map(Expected::Moment);
    let target = match pressure("/pulldown/lowest_micron") {
        Some(lowest) => [Some(lowest), reached].into_iter().flatten().collect(),
        None => start.clone().into_iter().collect(),
    };
    let held = [
        at(round, "/hold/duration_s").map(Expected::Held),
        at(round, "/hold/isolated_at_s").map(Expected::Moment),
    ];
    let ends = start.zip(pressure("/hold/end_micron"));
    let ceiling = match (pressure("/hold/highest_micron"), ends) {
        (None, _) => Vec::new(),
        (Some(highest), None) => vec![highest],
        (Some(highest), Some((start, end))) => vec![highest, start, end],
    };
    vec![
        [limit("target_micron"), target],
        [limit("hold_min"), held.into_iter().flatten().collect()],
        [limit("ceiling_micron"), ceiling],
        [Vec::new(), record(json)],
    ]
}

/// What the data were.
fn record(json: &Value) -> Vec<Expected> {
    let data = &json["data"];
    let whole = |name: &str| at(data, &format!("/{name}")).map(|v| Expected::Value(v, 15));
    let mut out: Vec<Expected> = [whole("rows"), whole("used")]
        .into_iter()
        .flatten()
        .collect();
    let gaps = data["gaps"].as_array().map_or(&[][..], Vec::as_slice);
    if !gaps.is_empty() {
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        out.push(Expected::Value(gaps.len() as f64, 15));
        let lengths = gaps
            .iter()
            .filter_map(|g| Some(at(g, "/end_s")? - at(g, "/start_s")?));
        out.push(Expected::Duration(lengths.sum()));
    }
    // one every so many seconds, or so many a second
    let interval = at(data, "/interval_s").filter(|i| *i > 0.0);
    out.extend(interval.map(|i| Expected::Value(if i < 0.95 { 1.0 / i } else { i }, 2)));
    out.extend(small(data, "/resolution_micron"));
    out.extend(small(data, "/noise_micron"));
    out
}

fn small(data: &Value, path: &str) -> Option<Expected> {
    let known = at(data, path).filter(|v| *v > 0.0);
    known.map(|v| Expected::Value(v, 2))
}

fn instruments(json: &Value) -> Vec<(&'static str, Vec<Expected>)> {
    let entry = |name, path| (name, small(&json["data"], path).into_iter().collect());
    vec![
        entry("steps", "/resolution_micron"),
        entry("noise", "/noise_micron"),
        entry("interval", "/interval_s"),
    ]
}

/// Every entry about the rise, with no numbers where it should not be there.
fn rise(json: &Value, job: Option<&Job>) -> Vec<(&'static str, Vec<Expected>)> {
    let none = Value::Null;
    let hold = judged(json).map_or(&none, |round| &round["hold"]);
    let kind = hold.pointer("/rise/kind").and_then(Value::as_str);
    let is_leak = matches!(kind, Some("leak" | "leak_and_moisture"));
    let is_unclear = kind == Some("unclear");
    // whole with its interval for a leak, the upper end where the cause is not clear
    let share = |path: &str| {
        let [value, low, high] = estimate(hold, path)?;
        if is_leak {
            Some(Expected::Estimate([value, low, high]))
        } else {
            is_unclear.then_some(Expected::Value(high, 2))
        }
    };
    let list = |expected: Option<Expected>| expected.into_iter().collect::<Vec<_>>();
    let rate = share("/rise/leak_micron_per_min");
    let (straight, part) = if is_unclear {
        (None, rate)
    } else {
        (rate, None)
    };
    let decide = at(hold, "/rise/decide_after_s")
        .filter(|decide| is_unclear && decide - at(hold, "/duration_s").unwrap_or(0.0) >= 30.0);
    let tau = estimate(hold, "/rise/tau_s").map(|e| Expected::Estimate(e.map(|s| s / 60.0)));
    let air = share("/leak/pa_m3_per_s");
    let volume = usable_volume_l(job);
    let has_air = air.is_some();
    let reckoned = has_air.then(|| {
        let volume = volume.map(|v| Expected::Value(v, 3));
        volume.into_iter().chain([Expected::Value(20.0, 2)])
    });
    vec![
        ("cause", Vec::new()),
        ("to tell", list(decide.map(Expected::ToGo))),
        ("share", list(part)),
        ("straight", list(straight)),
        (
            "level",
            list(estimate(hold, "/rise/plateau_micron").map(Expected::Estimate)),
        ),
        ("pace", list(tau)),
        ("air", list(air)),
        ("grams", list(share("/leak/g_per_year").filter(|_| has_air))),
        ("loss", if has_air { loss(hold) } else { Vec::new() }),
        ("reckoned", reckoned.into_iter().flatten().collect()),
        ("sight", sight(hold, job)),
        ("sealed", sealed(hold)),
        ("water", water(hold, json, kind)),
    ]
}

/// Grams a year, and when a tenth of the charge is gone.
fn loss(hold: &Value) -> Vec<Expected> {
    let end = |path: &str| at(hold, &format!("/operating_loss/{path}"));
    let grams = [end("g_per_year/low"), end("g_per_year/high")];
    let mut out: Vec<Expected> = (grams.into_iter().flatten())
        .map(|g| Expected::Value(g, 2))
        .collect();
    let (low, high) = (
        end("years_to_lose_a_tenth/low"),
        end("years_to_lose_a_tenth/high"),
    );
    // the unit of the later end; of the sooner one a smaller, if it would be less than one
    let units = [
        (1.0, 2.0),
        (12.0, 0.2),
        (365.25, 2.0 / 365.25),
        (8_766.0, 2.0 / 8_766.0),
    ];
    let minutes = 525_960.0;
    let fitting = high.and_then(|y| units.iter().position(|(_, from)| y >= *from));
    let from = fitting.unwrap_or(units.len());
    let later = units.get(from).map_or(minutes, |u| u.0);
    let smaller = units.iter().skip(from).map(|u| u.0);
    let sooner = low.and_then(|y| smaller.into_iter().find(|unit| y * unit >= 1.0));
    let ends = [(low, sooner.unwrap_or(minutes)), (high, later)];
    let known = ends.into_iter().filter_map(|(y, unit)| Some(y? * unit));
    out.extend(known.map(|value| Expected::Value(value, 1)));
    out
}

/// The detection limit: as a rate, as flow in the volume, and what the charged system may
/// lose. 1 micron is 0.133 322 4 Pa (NIST SP 811 B.8).
fn sight(hold: &Value, job: Option<&Job>) -> Vec<Expected> {
    let Some(rate) = at(hold, "/rise/detection_limit_micron_per_min") else {
        return Vec::new();
    };
    let mut out = vec![Expected::Value(rate, 2)];
    if let Some(volume) = usable_volume_l(job) {
        let flow = rate * 0.133_322_4 / 60.0 * volume / 1000.0;
        out.extend([Expected::Value(flow, 2), Expected::Value(volume, 3)]);
    }
    let grams = ["low", "high"].map(|e| at(hold, &format!("/detection_limit_g_per_year/{e}")));
    out.extend(grams.into_iter().flatten().map(|g| Expected::Value(g, 2)));
    out
}

/// The line of a sealed system, 3 g a year, and the number of the standard.
fn sealed(hold: &Value) -> Vec<Expected> {
    match hold["could_show_3_g_per_year"].as_str() {
        Some(_) => vec![Expected::Value(3.0, 1), Expected::Value(378.0, 3)],
        None => Vec::new(),
    }
}

/// Water, where the gas may be water.
fn water(hold: &Value, json: &Value, kind: Option<&str>) -> Vec<Expected> {
    let reasons = json["reasons"].as_array().map_or(&[][..], Vec::as_slice);
    let is_air = kind == Some("leak") || reasons.iter().any(|r| r == "pump_open_at_stop");
    match at(hold, "/water_vapour_mg") {
        Some(mg) if !is_air => {
            let ppm = at(hold, "/water_ppm_of_charge");
            // the yardstick, and the number of the standard it is from
            let beside = ppm.map(|_| [Expected::Value(10.0, 2), Expected::Value(700.0, 3)]);
            let both = [Some(mg), ppm].into_iter().flatten();
            let both = both.map(|v| Expected::Value(v, 2));
            both.chain(beside.into_iter().flatten()).collect()
        }
        _ => Vec::new(),
    }
}
