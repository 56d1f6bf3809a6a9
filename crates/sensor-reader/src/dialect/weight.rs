//! What a dialect file of a scale says of masses: units, and what has no place in it.

use toml::Spanned;
use vacuum::MassUnit;

use super::{
    file::FileShape,
    plain::{Fault, word},
    terms::Weighs,
};
use crate::{
    find::{Field, Finding},
    state::State,
};

/// True if the dialect is of a scale: `measures = "mass"`.
pub(super) fn is_scale(file: &FileShape) -> Result<bool, Fault> {
    let words = [("pressure", false), ("mass", true)];
    word(file.measures.as_ref(), false, &words, "measures")
}

/// Reads the units of a scale, and refuses what only a gauge has.
pub(super) fn weighs(file: &FileShape, finding: &Finding) -> Result<Weighs, Fault> {
    let stray = [
        (file.curve.as_ref().map(Spanned::span), "[curve]"),
        (file.bounds.over.as_ref().map(Spanned::span), "over"),
        (file.bounds.under.as_ref().map(Spanned::span), "under"),
        (file.channel.as_ref().map(Spanned::span), "channel"),
        (file.record.as_ref().map(Spanned::span), "record"),
        (file.channels.keys().next().map(Spanned::span), "[channels]"),
    ];
    if let Some((span, name)) = stray.into_iter().find(|(span, _)| span.is_some()) {
        return Err(Fault {
            span,
            problem: format!("{name} has no place in a dialect of a scale"),
            fix: "delete it; words for too much and too little go under [states]".into(),
        });
    }
    let fixed_unit = file.value.unit.as_ref().map(mass_unit).transpose()?;
    if fixed_unit.is_none() && !finding.has(Field::Unit) {
        return Err(Fault {
            span: file.measures.as_ref().map(Spanned::span),
            problem: "no unit: there is no unit field and no unit is fixed".into(),
            fix: "name the field (in a pattern (?<unit>...)), or write unit = \"g\" under [value]"
                .into(),
        });
    }
    let listed = file.units.iter().map(|(code, unit)| {
        let unit = mass_unit(unit)?;
        Ok((code.trim().to_owned(), unit))
    });
    Ok(Weighs {
        fixed_unit,
        units: listed.collect::<Result<_, Fault>>()?,
    })
}

fn mass_unit(field: &Spanned<String>) -> Result<MassUnit, Fault> {
    MassUnit::read(field.get_ref()).ok_or_else(|| {
        let problem = format!("\"{}\" is no unit of mass", field.get_ref());
        Fault::at(field, problem, "write \"g\", \"kg\", \"oz\" or \"lb\"")
    })
}

/// What only a scale has may not stand in a dialect of a gauge.
pub(super) fn only_a_gauge(
    file: &FileShape,
    finding: &Finding,
    states: &[(String, State)],
) -> Result<(), Fault> {
    let of_scale = |state: &State| matches!(state, State::Stable | State::Moving);
    let listed = states.iter().any(|(_, state)| of_scale(state));
    let word = |field: &&Spanned<String>| matches!(field.get_ref().as_str(), "stable" | "moving");
    let bits = file.state_bits.iter().map(|bits| &bits.get_ref().means);
    let place = file.states.values().chain(bits).find(word);
    if listed || place.is_some() || finding.has(Field::Tare) {
        return Err(Fault {
            span: place.map(Spanned::span),
            problem: "stable, moving and tare are words of a scale".into(),
            fix: "write measures = \"mass\" above the first table, or delete them".into(),
        });
    }
    Ok(())
}
