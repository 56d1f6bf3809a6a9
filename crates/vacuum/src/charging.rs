//! The acts of charging, as remarks of a fixed form.

use crate::{Mark, MarkKind};

/// An act of charging. The codes of acts in a record are those of an evacuation and of a
/// pressure test; an act of charging is a note of a fixed form, so that a reader that does
/// not know it sees words that a person understands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChargingAct {
    /// The weigh-in begins: the cylinder stands on the scale, shut. The judgement of the
    /// vacuum ends here, for what follows is refrigerant.
    WeighInBegins,
    /// The cylinder's valve was shut: all that is to leave it has left it.
    CylinderShut,
    /// The charging valve (at hose or manifold) was shut.
    ChargingValveShut,
    /// The valve on the high side was shut.
    HighSideShut,
    /// The compressor was switched on.
    CompressorOn,
    /// The weigh-in is over.
    WeighInEnds,
}

impl ChargingAct {
    /// Every act, in the order in which they are done.
    pub const ALL: [Self; 6] = [
        Self::WeighInBegins,
        Self::CylinderShut,
        Self::ChargingValveShut,
        Self::HighSideShut,
        Self::CompressorOn,
        Self::WeighInEnds,
    ];

    /// The remark that says it.
    #[must_use]
    pub const fn remark(self) -> &'static str {
        match self {
            Self::WeighInBegins => "weigh-in begins",
            Self::CylinderShut => "cylinder valve shut",
            Self::ChargingValveShut => "charging valve shut",
            Self::HighSideShut => "high-side valve shut",
            Self::CompressorOn => "compressor on",
            Self::WeighInEnds => "weigh-in ends",
        }
    }

    /// Its code in JSON.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::WeighInBegins => "weigh_in_begins",
            Self::CylinderShut => "cylinder_shut",
            Self::ChargingValveShut => "charging_valve_shut",
            Self::HighSideShut => "high_side_shut",
            Self::CompressorOn => "compressor_on",
            Self::WeighInEnds => "weigh_in_ends",
        }
    }
}

impl ChargingAct {
    /// The act that this is the remark of, in its fixed form.
    #[must_use]
    pub fn of_remark(note: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|act| act.remark() == note)
    }
}

impl Mark {
    /// The act of charging that this remark says, if it says one. Case and the signs between
    /// the words do not count; a remark that says more is another remark.
    #[must_use]
    pub fn charging_act(&self) -> Option<ChargingAct> {
        if self.kind != MarkKind::Note {
            return None;
        }
        ChargingAct::ALL
            .into_iter()
            .find(|act| self.is_remark(&[act.remark()]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_act_is_read_back_from_its_remark() {
        for act in ChargingAct::ALL {
            for note in [
                act.remark().to_owned(),
                format!("{}.", act.remark().to_uppercase()),
                act.remark().replace([' ', '-'], "_"),
                Mark::noted_by(act.remark(), "K7QF"),
            ] {
                let mark = Mark {
                    elapsed_s: 1.0,
                    kind: MarkKind::Note,
                    note: note.clone(),
                };
                assert_eq!(mark.charging_act(), Some(act), "{note}");
                assert!(!mark.is_manifold_shut() && !mark.is_ballast_closed());
                let other = Mark {
                    kind: MarkKind::PumpStopped,
                    ..mark
                };
                assert_eq!(other.charging_act(), None, "an act is no remark");
            }
        }
        let more = Mark {
            elapsed_s: 1.0,
            kind: MarkKind::Note,
            note: "cylinder valve not shut".into(),
        };
        assert_eq!(more.charging_act(), None);
    }
}
