//! What has to be said the moment it is typed.

use vacuum::Refrigerant;
use wording::Voice;

/// Said when only one side is evacuated.
pub(crate) const ONE_SIDE: &str = "\
Through one side only, gas behind the capillary tube bleeds into the hold like a leak: a rise \
will not be put down to a leak. Evacuate both sides where you can.";

/// What is said of a refrigerant: its safety group in words, then its cautions.
pub(crate) fn of(refrigerant: &Refrigerant) -> Vec<String> {
    let group = refrigerant.safety_group;
    let mut said = vec![format!(
        "{}: safety group {group}, {}.",
        refrigerant.designation,
        in_words(group)
    )];
    let cautions = wording::refrigerant_cautions(&Voice::default(), refrigerant);
    said.extend(cautions.into_iter().map(|c| format!("Caution: {c}")));
    said
}

/// What is said of a coldest part below freezing.
pub(crate) const ICE: &str = "Caution: ice may stand there and keep the pressure low for ever; \
    warm that part above 0 °C before the hold, or the hold may prove nothing.";

/// What is said of a refrigerant that is not in the table: what the sheet says first.
pub(crate) fn unknown() -> String {
    let sheet = wording::cautions(&Voice::default(), None);
    let first = sheet.into_iter().next().unwrap_or_default();
    format!("Kept as typed. {first}")
}

/// ISO 817: the letter is toxicity, the rest flammability.
fn in_words(group: &str) -> &'static str {
    match group {
        "A1" => "of lower toxicity, not flammable",
        "A2L" => "of lower toxicity, flammable (burns slowly)",
        "A2" => "of lower toxicity, flammable",
        "A3" => "of lower toxicity, highly flammable",
        "B1" => "toxic, not flammable",
        "B2L" => "toxic, flammable (burns slowly)",
        "B2" => "toxic, flammable",
        _ => "toxic, highly flammable",
    }
}
