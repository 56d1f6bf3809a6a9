//! Was it a leak or a short charge: the sentence that a hold closes that question with.

use findings::{LeakAnswer, LeakOrShortCharge};

use crate::{Voice, say};

/// As a clause: no capital letter, no full stop.
pub(crate) fn leak_or_short_charge(voice: &Voice, question: &LeakOrShortCharge) -> String {
    let (low, high) = question.needs_micron_per_min;
    let asked = say!(
        voice,
        "said-missing-charge",
        grams = voice.significant(question.missing_g, 2),
        months = voice.decimals(question.months, 1),
        rates = voice.rates(low, high)
    );
    let answer = match question.answer {
        LeakAnswer::RuledOut {
            at_most_micron_per_min,
        } => say!(
            voice,
            "said-missing-charge-ruled-out",
            rate = voice.rate(at_most_micron_per_min, 2)
        ),
        LeakAnswer::Explains {
            low_micron_per_min,
            high_micron_per_min,
        } => say!(
            voice,
            "said-missing-charge-leak",
            rates = voice.rates(low_micron_per_min, high_micron_per_min)
        ),
        LeakAnswer::TooSmall {
            high_micron_per_min,
        } => say!(
            voice,
            "said-missing-charge-small-leak",
            rate = voice.rate(high_micron_per_min, 2)
        ),
        LeakAnswer::NotSettled {
            limit_micron_per_min: Some(limit),
            hold_min: Some(minutes),
        } => say!(
            voice,
            "said-missing-charge-hold-longer",
            rate = voice.rate(limit, 2),
            time = voice.to_go(60.0 * minutes)
        ),
        LeakAnswer::NotSettled { .. } => say!(voice, "said-missing-charge-open"),
    };
    say!(
        voice,
        "said-missing-charge-and-answer",
        asked = asked,
        answer = answer
    )
}
