//! What a run is judged against, and where that comes from.

use findings::{Findings, FurtherCriterion};
use vacuum::Criteria;

use crate::{Voice, further::required, say};

/// "target 500 micron, hold 10 min, ceiling 500 micron".
#[must_use]
pub fn criteria_sentence(voice: &Voice, findings: &Findings) -> String {
    let c = &findings.criteria;
    let criteria = say!(
        voice,
        "criteria",
        target = voice.limit(c.target_micron),
        minutes = voice.plain(c.hold_min, 4),
        ceiling = voice.limit(c.ceiling_micron)
    );
    let besides = required(voice, &FurtherCriterion::asked(&c.further));
    match besides.is_empty() {
        true => criteria,
        false => say!(
            voice,
            "criteria-besides",
            criteria = criteria,
            further = besides
        ),
    }
}

/// What the program writes for criteria given as options.
const GIVEN: (&str, &str) = ("as given", "given on the command line");

/// The name of the criteria, as somebody wrote it, but what the program itself wrote
/// in the language of the sheet.
#[must_use]
pub fn criteria_name(voice: &Voice, criteria: &Criteria) -> String {
    match criteria.name.as_str() {
        name if name == Criteria::common_practice().name => say!(voice, "criteria-common"),
        name if name == GIVEN.0 => say!(voice, "criteria-given"),
        name => name.to_owned(),
    }
}

/// Where the criteria come from, likewise.
#[must_use]
pub fn criteria_source(voice: &Voice, criteria: &Criteria) -> String {
    match criteria.source.as_str() {
        source if source == Criteria::common_practice().source => {
            say!(voice, "criteria-common-source")
        }
        source if source == GIVEN.1 => say!(voice, "criteria-given-source"),
        source => source.to_owned(),
    }
}
