//! Pressures, times and answers as every view writes them.

use analyser::{Live, PassWorth, Rise};
use vacuum::{Pressure, PressureUnit};
use wording::Voice;

/// How far back the trend looks, s.
pub const TREND_S: f64 = 30.0;

/// A pressure as a gauge would show it: no tenths from 10 micron up.
pub fn micron(value: f64) -> String {
    if (9.95..99.5).contains(&value) {
        return format!("{value:.0} micron");
    }
    Pressure::from_micron(value.max(0.0)).map_or_else(
        |_| "—".into(),
        |p| p.display(PressureUnit::Micron).to_string(),
    )
}

/// Minutes, or hours when long, in words.
pub fn minutes(seconds: f64) -> String {
    if seconds < 90.0 {
        format!("{seconds:.0} s")
    } else if seconds < 5_400.0 {
        format!("{:.0} min", seconds / 60.0)
    } else {
        format!("{:.1} h", seconds / 3_600.0)
    }
}

/// A range of times; the unit once where both ends share it.
pub fn span(early_s: f64, late_s: f64) -> String {
    let (early, late) = (minutes(early_s), minutes(late_s));
    match (early.split_once(' '), late.split_once(' ')) {
        (Some((from, a)), Some((_, b))) if a == b => format!("{from} to {late}"),
        _ => format!("{early} to {late}"),
    }
}

/// Time to target in the words of the job.
pub fn forecast_words(live: &Live) -> String {
    if let Some(rate) = live.not_at_this_rate {
        return format!(
            "no target at this rate: ends near {}",
            micron(rate.floor_micron)
        );
    }
    match live.to_target {
        None => "pull-down, no time to target yet".into(),
        Some(f) => format!("pull-down, target in {}", span(f.early_s, f.late_s)),
    }
}

/// The running answer of a hold, in one breath: that it will not pass, that it passes by
/// the rule though a leak is indicated, or what the rise comes from and how sure that is.
/// How sure, and what a pass is worth, the analyser decides; the words are the catalogue's.
pub fn answer_words(live: &Live, rise: &Rise, held_s: Option<f64>) -> String {
    let voice = &Voice::default();
    match (&live.early_answer, live.findings.pass()) {
        (Some(early), _) => wording::will_not_pass_words(voice, early),
        (None, Some(PassWorth::WithLeak(_))) => wording::headline(voice, &live.findings),
        (None, _) => wording::running_answer(voice, rise, held_s),
    }
}

/// Micron per minute with two digits: the trend of half a minute has no more.
pub fn trend_words(trend: f64, pressure: f64) -> String {
    // a change of less than a per cent a minute is steady
    if trend.abs() < (0.01 * pressure).max(0.5) {
        return "steady".into();
    }
    let direction = if trend > 0.0 { "rising" } else { "falling" };
    let size = trend.abs();
    let step = 10_f64.powf((size.log10().floor() - 1.0).max(0.0));
    let rounded = (size / step).round() * step;
    let shown = match rounded {
        r if r < 10.0 => format!("{size:.1}"),
        r if r < 1_000.0 => format!("{r:.0}"),
        r => micron(r).trim_end_matches(" micron").to_owned(),
    };
    format!("{direction} {shown}/min")
}
