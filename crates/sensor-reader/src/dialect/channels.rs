//! The channels of a gauge with several sensors: which is judged, which are
//! recorded beside it, and what is particular to each.

use std::{ops::Range, sync::Arc};

use toml::Spanned;

use super::{
    file::{BoundsTable, ChannelTable, FileShape},
    meaning::{absolute_unit, bounds},
    plain::{Fault, word},
    terms::Terms,
};

/// More channels than this are a mistake in the file.
const MOST: usize = 16;

/// A channel recorded beside the judged one.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    tag: Arc<str>,
    place: Option<String>,
    terms: Terms,
}

impl Channel {
    /// How its lines name it: [`Sample::channel`](crate::Sample::channel).
    #[must_use]
    pub fn tag(&self) -> &str {
        &self.tag
    }

    /// Where its sensor sits, in words for a person ("pump side"), if stated.
    #[must_use]
    pub fn place(&self) -> Option<&str> {
        self.place.as_deref()
    }
}

/// Every channel a dialect knows.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Channels {
    judged: Option<Arc<str>>,
    /// Those listed, the judged one not among them.
    further: Vec<Channel>,
    all: bool,
}

/// Whose line it is.
pub(crate) struct Of {
    pub(crate) tag: Option<Arc<str>>,
    pub(crate) terms: Terms,
}

impl Channels {
    pub(crate) fn judged(&self) -> Option<&str> {
        self.judged.as_deref()
    }

    pub(crate) fn recorded_beside(&self) -> &[Channel] {
        if self.all { &self.further } else { &[] }
    }

    /// Records every channel from now on; false when only one is known.
    pub(crate) fn record_all(&mut self) -> bool {
        self.all = !self.further.is_empty();
        self.all
    }

    /// The channel that a line names, and what its number means; `None` when its
    /// lines are to be passed over. `terms` are those of the judged one.
    pub(crate) fn of(&self, named: Option<&[u8]>, terms: Terms) -> Option<Of> {
        let Some(judged) = &self.judged else {
            return Some(Of { tag: None, terms });
        };
        let named = named?;
        if named == judged.as_bytes() {
            let tag = Some(Arc::clone(judged));
            return Some(Of { tag, terms });
        }
        let beside = self.recorded_beside().iter();
        let mut known = beside.filter(|c| c.tag.as_bytes() == named);
        known.next().map(|channel| Of {
            tag: Some(Arc::clone(&channel.tag)),
            terms: channel.terms,
        })
    }

    /// True when every value has a unit although lines carry none.
    pub(crate) fn have_a_unit(&self, judged: Terms) -> bool {
        let further = self.further.iter().map(|c| c.terms);
        std::iter::once(judged)
            .chain(further)
            .all(|terms| terms.fixed_unit.is_some())
    }
}

/// Reads `channel`, `record` and `[channels]`. Gives the terms of the judged
/// channel too: `terms` are those of the gauge as a whole.
pub(super) fn channels(
    file: &FileShape,
    has_field: bool,
    terms: Terms,
    pointer: Option<Range<usize>>,
) -> Result<(Channels, Terms), Fault> {
    let judged = judged(file.channel.as_ref(), has_field, pointer)?;
    let mut judged_terms = terms;
    let mut further: Vec<Channel> = Vec::new();
    for (key, table) in &file.channels {
        let tag = key.get_ref().trim();
        if judged.is_none() {
            return Err(Fault::at(
                key,
                "channels are listed but none is chosen",
                "write channel = \"1\" above the first table, with the channel to judge",
            ));
        }
        let own = own_terms(table.get_ref(), terms)?;
        if judged.as_deref() == Some(tag) {
            judged_terms = own;
            continue;
        }
        let same = |c: &Channel| c.tag.eq_ignore_ascii_case(tag);
        if tag.is_empty() || further.iter().any(same) || further.len() >= MOST {
            return Err(Fault::at(
                key,
                format!("\"{tag}\" cannot be listed as a channel"),
                format!("name each channel once, as its lines do; {MOST} at most"),
            ));
        }
        further.push(Channel {
            tag: tag.into(),
            place: place(table.get_ref())?,
            terms: own,
        });
    }
    let mut channels = Channels {
        judged,
        further,
        all: false,
    };
    record(file.record.as_ref(), &mut channels)?;
    Ok((channels, judged_terms))
}

/// Lines of several channels must never be mixed into one curve.
fn judged(
    field: Option<&Spanned<String>>,
    has_field: bool,
    pointer: Option<Range<usize>>,
) -> Result<Option<Arc<str>>, Fault> {
    match (field, has_field) {
        (None, false) => Ok(None),
        (Some(field), true) => Ok(Some(field.get_ref().trim().into())),
        (Some(field), false) => Err(Fault::at(
            field,
            "a channel is chosen but there is no channel field",
            "name the field that carries the channel, or delete this line",
        )),
        (None, true) => Err(Fault {
            span: pointer,
            problem: "there is a channel field but no channel is chosen".into(),
            fix: "write channel = \"1\" above the first table, with the channel to read".into(),
        }),
    }
}

fn record(field: Option<&Spanned<String>>, channels: &mut Channels) -> Result<(), Fault> {
    let all = word(field, false, &[("chosen", false), ("all", true)], "record")?;
    match field {
        Some(field) if all && !channels.record_all() => Err(Fault::at(
            field,
            "there is no further channel to record",
            "list the others under [channels], each with its place: 1 = { place = \"pump side\" }",
        )),
        _ => Ok(()),
    }
}

/// What the number of this channel means, where it differs from the others.
fn own_terms(table: &ChannelTable, gauge: Terms) -> Result<Terms, Fault> {
    let unit = table.unit.as_ref().map(absolute_unit).transpose()?;
    let (over, under) = bounds(&BoundsTable {
        over: table.over.clone(),
        under: table.under.clone(),
    })?;
    Ok(Terms {
        fixed_unit: unit.or(gauge.fixed_unit),
        air: gauge.air.filter(|_| unit.is_none()),
        around: gauge.around,
        over: over.or(gauge.over),
        under: under.or(gauge.under),
    })
}

fn place(table: &ChannelTable) -> Result<Option<String>, Fault> {
    const LONGEST: usize = 40;
    let Some(field) = &table.place else {
        return Ok(None);
    };
    let words = field.get_ref().trim();
    if words.is_empty() || words.chars().count() > LONGEST || words.chars().any(char::is_control) {
        return Err(Fault::at(
            field,
            "this is no place",
            format!(
                "write where the sensor sits, such as \"pump side\"; {LONGEST} characters at most"
            ),
        ));
    }
    Ok(Some(words.to_owned()))
}
