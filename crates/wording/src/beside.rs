//! What other gauges and channels showed, in a sentence each.

use findings::{AuxiliaryFindings, Findings, Pair};

use super::{clause::sentence, labels::place_words};
use crate::{Voice, say};

/// One sentence for each gauge or channel recorded beside the judged one.
#[must_use]
pub fn beside_sentences(voice: &Voice, findings: &Findings) -> Vec<String> {
    let beside = findings.auxiliary.iter();
    beside.map(|b| beside_sentence(voice, b)).collect()
}

fn beside_sentence(voice: &Voice, beside: &AuxiliaryFindings) -> String {
    let place = sentence(&place_words(voice, &beside.place));
    let place = place.trim_end_matches('.');
    let Some(lowest) = beside.lowest_micron else {
        return say!(voice, "beside-nothing", place = place);
    };
    let mut parts = vec![say!(
        voice,
        "beside-lowest",
        place = place,
        lowest = voice.pressure(lowest)
    )];
    let at = |id, pair: Pair| {
        say!(
            voice,
            id,
            pressure = voice.pressure(pair.auxiliary_micron),
            compared = compared(voice, pair)
        )
    };
    parts.extend(beside.at_target.map(|p| at("beside-at-target", p)));
    parts.extend(beside.at_isolation.map(|p| at("beside-at-isolation", p)));
    if beside.hold.is_some_and(|h| h.same_volume == Some(true)) {
        parts.push(say!(voice, "beside-one-volume"));
    }
    parts.join(&say!(voice, "clause-break")) + "."
}

/// How far the judged gauge stood from it.
fn compared(voice: &Voice, pair: Pair) -> String {
    let ratio = pair.ratio();
    let id = match ratio {
        r if (0.9..1.1).contains(&r) => return say!(voice, "beside-alike"),
        r if r > 1.0 => "beside-above",
        _ => "beside-below",
    };
    say!(voice, id, ratio = voice.significant(ratio, 2))
}
