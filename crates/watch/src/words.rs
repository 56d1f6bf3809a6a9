//! Forecast, trend and answer as every view writes them. Pressures and lengths of time are
//! written by [`wording::Voice`].

use findings::{Live, PassWorth, Rise, Verdict};
use vacuum::PressureUnit;
use wording::{Voice, say};

/// How the sentences of a live view speak: in the language of the run, and in micron, as
/// the large number does. The unit of the sheet stands beside that number.
pub(crate) const fn in_micron(voice: Voice) -> Voice {
    Voice {
        unit: PressureUnit::Micron,
        ..voice
    }
}

/// How far back the trend looks, s.
pub const TREND_S: f64 = 30.0;

/// The running answer of a hold, in one breath: that it will not pass, that it passes by
/// the rule though a leak is indicated, or what the rise comes from and how sure that is.
/// How sure, and what a pass is worth, the analyser decides; the words are the catalogue's.
pub fn answer_words(voice: &Voice, live: &Live, rise: &Rise, held_s: Option<f64>) -> String {
    // a hold that has failed is no longer one that will
    let early = live
        .early_answer
        .filter(|_| live.findings.verdict != Verdict::Fail);
    let pass = live.findings.pass().filter(|_| live.hold_counts());
    match (&early, pass) {
        (Some(early), _) => wording::will_not_pass_words(voice, early),
        (None, Some(PassWorth::WithLeak(_))) => wording::headline(voice, &live.findings),
        (None, _) => wording::running_answer(voice, rise, held_s),
    }
}

/// True where a change, micron/min, is less than a per cent of the pressure a minute, or
/// less than half a micron.
pub fn is_steady(trend: f64, pressure: f64) -> bool {
    trend.abs() < (0.01 * pressure).max(0.5)
}

/// Micron per minute with two digits: the trend of half a minute has no more.
pub fn trend_words(voice: &Voice, trend: f64, pressure: f64) -> String {
    if is_steady(trend, pressure) {
        return say!(voice, "trend-steady");
    }
    let size = trend.abs();
    let step = 10_f64.powf((size.log10().floor() - 1.0).max(0.0));
    let rounded = (size / step).round() * step;
    let shown = match rounded {
        r if r < 10.0 => voice.decimals(size, 1),
        r if r < 1_000.0 => voice.decimals(r, 0),
        r => voice.reading_number(r),
    };
    if trend > 0.0 {
        say!(voice, "trend-rising", rate = shown)
    } else {
        say!(voice, "trend-falling", rate = shown)
    }
}
