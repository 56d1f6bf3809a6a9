//! What stands above the curve of an evacuation that stands alone.

use layout::header::Head;
use wording::say;

use crate::{Sheet, sheet::identity, sheet::is_invented};

/// Verdict, reason, rise and detection limit, and which run this is.
pub(super) fn of(sheet: &Sheet<'_>) -> Head {
    let voice = &sheet.voice();
    let (findings, about) = (sheet.findings, &sheet.about());
    Head {
        voice: *voice,
        invented: is_invented(about),
        verdict: findings.verdict,
        reserved: wording::is_reserved(findings),
        verdict_words: wording::short_headline(voice, findings),
        reserve: wording::reserve(voice, findings).map(|reserve| wording::sentence(&reserve)),
        reason: wording::reason_sentence(voice, findings),
        details: details(sheet),
        identity: identity(about),
    }
}

/// Rise and detection limit of the judged hold.
fn details(sheet: &Sheet<'_>) -> Vec<String> {
    let voice = &sheet.voice();
    sheet.findings.judged_hold().map_or_else(
        || vec![say!(voice, "curve-no-hold")],
        |hold| {
            vec![
                wording::rise_headline(voice, hold),
                wording::sight_sentence(voice, hold),
            ]
        },
    )
}
