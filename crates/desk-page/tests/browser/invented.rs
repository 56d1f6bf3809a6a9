//! Invented rows of a desk, the same for the same number.

use desk::{Flag, FlagCode, Row, SealState};
use serde_json::json;

/// A sequence of numbers that look random (Knuth's MMIX generator).
struct Draws(u64);

impl Draws {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = self.0.wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }

    fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len() as u64) as usize]
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.below(1_000_000) as f64 / 1e6
    }
}

/// A pull-down, a hold, and what the gauge makes of it; in thousandths of a decade.
fn curve(draws: &mut Draws, lowest_log: f64, rise_log: f64) -> Vec<i16> {
    let shut = draws.between(110.0, 180.0);
    let speed = draws.between(12.0, 35.0);
    let log = |at: f64| {
        if at < shut {
            lowest_log + (5.88 - lowest_log) * (-at / speed).exp()
        } else {
            lowest_log + rise_log * ((at - shut) / (256.0 - shut)).sqrt()
        }
    };
    (0..256)
        .map(|at| (1_000.0 * log(f64::from(at)) + draws.between(-6.0, 6.0)) as i16)
        .collect()
}

fn flag(code: FlagCode, words: String, with: &[String]) -> Flag {
    Flag {
        code,
        words,
        with: with.to_vec(),
    }
}

fn flags(draws: &mut Draws, at: usize, row: &Row, paths: &[String]) -> Vec<Flag> {
    let mut flags = Vec::new();
    let other = paths[draws.below(paths.len() as u64) as usize].clone();
    match row.seal {
        SealState::Broken => flags.push(flag(
            FlagCode::SealBroken,
            "readings.csv is not as it was sealed: row 1,204 differs".to_owned(),
            &[],
        )),
        SealState::None => flags.push(flag(FlagCode::Unsealed, "there is no seal".to_owned(), &[])),
        _ => {}
    }
    if at.is_multiple_of(37) {
        flags.push(flag(
            FlagCode::CurveCopied,
            "2,940 of 3,000 readings stand in the record of another job, 41 min later".to_owned(),
            std::slice::from_ref(&other),
        ));
    }
    if row.said.as_ref().map(|s| &s.verdict) != row.verdict.as_ref() && row.said.is_some() {
        flags.push(flag(
            FlagCode::VerdictDiffers,
            "the shop said pass, this version says fail by the same criteria".to_owned(),
            &[],
        ));
    }
    if at % 23 == 5 {
        flags.push(flag(
            FlagCode::SameSerialAgain,
            "repaired 3 times within 90 days".to_owned(),
            &[other, "elsewhere/not-in-the-table".to_owned()],
        ));
    }
    if at % 19 == 3 {
        flags.push(flag(
            FlagCode::CalibrationOverdue,
            "calibration was due on 2026-03-01, 247 days before the record".to_owned(),
            &[],
        ));
    }
    flags
}

/// So many of them; the first are as hostile as text can be.
pub(crate) fn rows(count: usize) -> Vec<Row> {
    let mut draws = Draws(2_026);
    let paths: Vec<String> = (0..count)
        .map(|at| format!("claims/shop-{:02}/J-{:05}-INVENTED", at % 40, at + 1_000))
        .collect();
    let mut rows: Vec<Row> = paths
        .iter()
        .enumerate()
        .map(|(at, path)| {
            let row = row(&mut draws, at, path);
            let flags = flags(&mut draws, at, &row, &paths);
            Row { flags, ..row }
        })
        .collect();
    for (at, row) in rows.iter_mut().enumerate().skip(7).step_by(61) {
        if at % 2 == 1 {
            *row = unreadable(&row.path);
        }
    }
    if let Some(first) = rows.first_mut() {
        hostile(first);
    }
    rows
}

fn row(draws: &mut Draws, at: usize, path: &str) -> Row {
    let lowest_log = draws.between(1.9, 2.7);
    let rise_log = draws.between(0.02, 1.1);
    let (lowest, highest) = (10_f64.powf(lowest_log), 10_f64.powf(lowest_log + rise_log));
    let verdict = match highest {
        h if h > 1_500.0 => "fail",
        h if h > 900.0 => "not_proven",
        _ => "pass",
    };
    let hold_min = draws.between(12.0, 60.0);
    let minute = 1_439 * at as u64 % 40_000;
    let kind = draws.one_of(&["run", "run", "packed"]);
    let headline = match verdict {
        "pass" => format!("PASS: at most {highest:.0} micron in {hold_min:.0} min"),
        "fail" => format!("FAIL: {highest:.0} micron at the end of the hold, 1500 allowed"),
        _ => "NOT PROVEN: the hold was too short for its rise".to_owned(),
    };
    let reasons: &[&str] = match verdict {
        "pass" => &[],
        _ => &["rise_too_high"],
    };
    let criteria = "at most 1,500 micron after 20 min, from 500 micron";
    let seals = [
        "good",
        "good",
        "good",
        "good",
        "good",
        "other key",
        "none",
        "broken",
    ];
    let row = json!({
        "path": path,
        "kind": kind,
        "job": path.rsplit('/').next(),
        "started": format!(
            "2026-11-{:02}T{:02}:{:02}:00Z",
            1 + minute / 1_440,
            minute / 60 % 24,
            minute % 60
        ),
        "test": "evacuation",
        "verdict": verdict,
        "headline": headline,
        "reasons": reasons,
        "cause": draws.one_of(&["leak", "moisture", "outgassing", "unclear"]),
        "confidence": draws.between(0.4, 0.99),
        "leak_micron_per_min": draws.between(0.0, 30.0),
        "detection_limit_micron_per_min": draws.between(0.1, 2.0),
        "lowest_micron": lowest,
        "highest_in_hold_micron": highest,
        "hold_min": hold_min,
        "isolated_by": "mark",
        "criteria": criteria,
        "appliance": draws.one_of(&["freezer", "wine cooler", "heat pump dryer"]),
        "serial": format!("INV-{:06}", draws.below(900_000)),
        "refrigerant": draws.one_of(&["R-600a", "R-134a", "R-290"]),
        "volume_l": draws.between(0.8, 4.0),
        "ambient_c": draws.between(14.0, 31.0),
        "repair": draws.one_of(&["drier renewed", "joint brazed again"]),
        "technician": format!("Invented Person {}", draws.below(60)),
        "customer": format!("Invented Customer {}", draws.below(5_000)),
        "gauge": format!("diaphragm gauge INV-{}", draws.below(50)),
        "calibration_due": "2027-03-01",
        "seal": draws.one_of(&seals),
        "shop": format!("invented shop {}", at % 40),
        "said": {
            "made_by": "dryhold 0.0.9",
            "verdict": if at % 29 == 1 { "pass" } else { verdict },
            "criteria": criteria,
        },
        "rounds": [{
            "lowest_micron": lowest,
            "hold_min": hold_min,
            "highest_in_hold_micron": highest,
            "verdict": verdict,
        }],
        "curve": {
            "span_s": 60.0 * (hold_min + draws.between(20.0, 90.0)),
            "log_micron": curve(draws, lowest_log, rise_log),
        },
        "flags": [],
    });
    serde_json::from_value(row).expect("a row")
}

fn unreadable(path: &str) -> Row {
    let nothing = json!({
        "path": path, "kind": "run", "reasons": [], "seal": "none", "rounds": [], "flags": [],
        "unreadable": "readings.csv: line 3 has 2 cells, the head names 4",
    });
    serde_json::from_value(nothing).expect("a row")
}

/// What somebody may type who wants the page to do something.
fn hostile(row: &mut Row) {
    const TEXT: &str = "</script><img src=x onerror=\"document.title='broken'\"><b>&amp;";
    row.path = format!("claims/{TEXT}/a?b#c");
    row.job = Some(TEXT.to_owned());
    row.serial = Some("javascript:alert(1)".to_owned());
    row.technician = Some("\u{202e}txet".to_owned());
    row.flags = vec![flag(
        FlagCode::Invented,
        TEXT.to_owned(),
        &[TEXT.to_owned()],
    )];
}
