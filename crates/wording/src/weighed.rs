//! A charge that was weighed in, as lines.

use findings::{Charge, ChargeBasis, ChargeNotice, Estimate};
use vacuum::ChargingAct;

use crate::{Voice, say};

/// What is said of a charge: the mass first, then what it rests on.
///
/// ```
/// use findings::{Charge, ChargeBasis, ChargePhase, Estimate};
///
/// let typed = Charge {
///     basis: ChargeBasis::Typed,
///     phase: ChargePhase::Ended,
///     begun_at_s: None,
///     ended_at_s: None,
///     nameplate_g: Some(58.0),
///     tolerance_g: 1.0,
///     left_in_hoses_g: None,
///     left_cylinder_g: None,
///     charged_g: Some(Estimate { value: 57.5, low: 57.5, high: 57.5 }),
///     to_go_g: None,
///     step_g: None,
///     acts: Vec::new(),
///     notices: Vec::new(),
/// };
/// let lines = wording::weighed_lines(&wording::Voice::default(), &typed);
/// assert_eq!(lines, ["Charged: 57.5 g of 58 g, as typed; no scale shows it."]);
/// ```
#[must_use]
pub fn weighed_lines(voice: &Voice, charge: &Charge) -> Vec<String> {
    let mut lines = vec![mass_line(voice, charge)];
    if charge.basis == ChargeBasis::Typed {
        return lines;
    }
    if charge.charged_g.is_some() {
        lines.push(match charge.left_in_hoses_g {
            Some(g) => say!(voice, "weighed-left", mass = mass(voice, g)),
            None => say!(voice, "weighed-left-not-given"),
        });
        lines.push(say!(voice, "weighed-covers"));
    }
    if !charge.acts.is_empty() {
        lines.push(say!(voice, "weighed-acts", acts = acts(voice, charge)));
    }
    let notices = charge.notices.iter();
    lines.extend(notices.map(|notice| charge_notice(voice, notice)));
    lines
}

fn mass_line(voice: &Voice, charge: &Charge) -> String {
    let nameplate = charge.nameplate_g.map(|g| mass(voice, g));
    match (charge.basis, charge.charged_g, nameplate) {
        (_, None, _) => say!(voice, "weighed-unknown"),
        (ChargeBasis::Typed, Some(charged), None) => {
            say!(voice, "weighed-typed", charged = mass(voice, charged.value))
        }
        (ChargeBasis::Typed, Some(charged), Some(nameplate)) => say!(
            voice,
            "weighed-typed-of",
            charged = mass(voice, charged.value),
            nameplate = nameplate
        ),
        (ChargeBasis::Weighed, Some(charged), None) => {
            say!(voice, "weighed-alone", charged = estimated(voice, &charged))
        }
        (ChargeBasis::Weighed, Some(charged), Some(nameplate)) => say!(
            voice,
            "weighed-of",
            charged = estimated(voice, &charged),
            nameplate = nameplate,
            tolerance = mass(voice, charge.tolerance_g)
        ),
    }
}

/// A mass that is given, at most to four digits.
fn mass(voice: &Voice, g: f64) -> String {
    format!("{} g", voice.plain(g, 4))
}

/// A mass on the wire, with the digits that its step deserves: "4,812.6 g".
#[must_use]
pub fn scale_mass(voice: &Voice, g: f64, step_g: Option<f64>) -> String {
    format!("{} g", scale_number(voice, g, step_g))
}

/// The same without its unit.
#[must_use]
pub fn scale_number(voice: &Voice, g: f64, step_g: Option<f64>) -> String {
    voice.decimals(g, places(step_g.unwrap_or(0.1)))
}

/// A value with half the width of its interval: "58.2 ± 0.3 g". Two digits for what it may
/// be off where that begins with 1 or 2, else one (the practice of the GUM, 7.2.6).
fn estimated(voice: &Voice, charged: &Estimate) -> String {
    let off = (charged.high - charged.low) / 2.0;
    let places = places(off);
    say!(
        voice,
        "weighed-plus-minus",
        value = voice.decimals(charged.value, places),
        off = voice.decimals(off, places)
    )
}

/// Decimals that show a step of so many grams.
fn places(step_g: f64) -> usize {
    match step_g {
        step if step >= 2.95 => 0,
        step if step >= 0.095 => 1,
        step if step >= 0.0095 => 2,
        _ => 3,
    }
}

fn acts(voice: &Voice, charge: &Charge) -> String {
    let all = charge.acts.iter().map(|(at_s, act)| {
        let words = charging_act_words(voice, *act);
        format!("{} {words}", voice.moment(*at_s))
    });
    all.collect::<Vec<_>>().join(", ")
}

/// An act of charging.
#[must_use]
pub fn charging_act_words(voice: &Voice, act: ChargingAct) -> String {
    let id = match act {
        ChargingAct::WeighInBegins => "act-weigh-in-begins",
        ChargingAct::CylinderShut => "act-cylinder-shut",
        ChargingAct::ChargingValveShut => "act-charging-valve-shut",
        ChargingAct::HighSideShut => "act-high-side-shut",
        ChargingAct::CompressorOn => "act-compressor-on",
        ChargingAct::WeighInEnds => "act-weigh-in-ends",
    };
    say!(voice, id)
}

/// What was noticed in a weigh-in, a sentence.
#[must_use]
pub fn charge_notice(voice: &Voice, notice: &ChargeNotice) -> String {
    let about = |g: f64| format!("{} g", voice.significant(g.abs(), 2));
    match *notice {
        ChargeNotice::Touched {
            at_s,
            by_g,
            came_back,
        } => {
            let id = match came_back {
                true => "weighed-note-touched-back",
                false => "weighed-note-touched",
            };
            say!(voice, id, by = about(by_g), at = voice.moment(at_s))
        }
        ChargeNotice::ZeroLost { at_s, by_g } => say!(
            voice,
            "weighed-note-zero",
            by = about(by_g),
            at = voice.moment(at_s)
        ),
        ChargeNotice::NotHeard { from_s, to_s } => say!(
            voice,
            "weighed-note-not-heard",
            from = voice.moment(from_s),
            to = voice.moment(to_s)
        ),
        ChargeNotice::Drifts { g_per_min } => {
            say!(voice, "weighed-note-drifts", by = about(g_per_min))
        }
        ChargeNotice::TooMuch { by_g } => say!(voice, "weighed-note-too-much", by = about(by_g)),
        ChargeNotice::TooLittle { by_g } => {
            say!(voice, "weighed-note-too-little", by = about(by_g))
        }
        ChargeNotice::NotSettledBefore => say!(voice, "weighed-note-before"),
        ChargeNotice::NotSettledAfter => say!(voice, "weighed-note-after"),
        ChargeNotice::NoHoldPassed => say!(voice, "weighed-note-no-hold"),
    }
}
