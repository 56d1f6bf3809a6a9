//! What can hurt, and where: one table of acts and their cautions, for every place that
//! names an act (the live views, the questions of a job, the sheet).
//!
//! The gravest come first, whatever the act: a view with room for one shows that one.

use vacuum::{Job, Refrigerant};

use crate::{Voice, say};

/// Something a technician does that can hurt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RiskyAct {
    /// Before anything else: appliance, pump and gauge are set up.
    Start,
    /// A system that holds refrigerant is opened.
    OpenSystem,
    /// Tubes are cut and brazed, parts are taken out.
    Repair,
    /// Pressure is let in to search for a leak.
    PressureTest,
    /// The valve to the pump is opened.
    OpenValve,
    /// The pump works.
    PullDown,
    /// Heat is applied.
    Heat,
    /// The gas ballast of the pump is open.
    GasBallast,
    /// The valve is shut, the pump stopped.
    Isolate,
    /// The system stands under vacuum.
    Hold,
    /// The vacuum is broken with nitrogen.
    NitrogenBreak,
    /// Refrigerant goes in.
    Charge,
    /// The process tube is closed for good.
    PinchOff,
}

impl RiskyAct {
    /// Every act, in the order of a job.
    pub const ALL: [Self; 13] = [
        Self::Start,
        Self::OpenSystem,
        Self::Repair,
        Self::PressureTest,
        Self::OpenValve,
        Self::PullDown,
        Self::Heat,
        Self::GasBallast,
        Self::Isolate,
        Self::Hold,
        Self::NitrogenBreak,
        Self::Charge,
        Self::PinchOff,
    ];
}

/// What it may come to, the gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Gravity {
    /// Fire or explosion.
    Fire,
    /// Something bursts.
    Burst,
    /// Electric shock, or a compressor that blows its terminals.
    Shock,
    /// Poisoned, or no air to breathe.
    Breath,
    /// Eyes, hands.
    Injury,
    /// The appliance, the gauge or the result.
    Damage,
}

/// Of which refrigerants it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Which {
    Any,
    /// Known to burn.
    Burns,
    /// Not in the table of refrigerants, or not given.
    Unknown,
    /// Known to burn, or not known.
    MayBurn,
    Toxic,
    /// Stands above [`HIGH_STANDING_PA`] at 20 °C.
    HighPressure,
    CarbonDioxide,
}

/// One caution.
struct Row {
    /// Its message in the catalogue.
    id: &'static str,
    gravity: Gravity,
    which: Which,
    acts: &'static [RiskyAct],
}

/// Standing pressure above which a vacuum gauge and hoses for common refrigerants
/// are in danger, Pa; common practice, no source.
const HIGH_STANDING_PA: f64 = 2e6;

use RiskyAct::{
    Charge, GasBallast, Heat, Hold, Isolate, NitrogenBreak, OpenSystem, OpenValve, PinchOff,
    PressureTest, PullDown, Repair, Start,
};

const fn row(id: &'static str, gravity: Gravity, which: Which, acts: &'static [RiskyAct]) -> Row {
    Row {
        id,
        gravity,
        which,
        acts,
    }
}

/// The table.
const ROWS: &[Row] = &[
    // no smoking near refrigerant: TM 5-2420-230-24-1 p. 19-7; danger of fire or explosion:
    // 40 CFR 82 Subpart G App. V; switches and sockets as sources of ignition: common
    // practice, no source
    row(
        "caution-flammable",
        Gravity::Fire,
        Which::Burns,
        &RiskyAct::ALL,
    ),
    row(
        "caution-not-known",
        Gravity::Fire,
        Which::Unknown,
        &RiskyAct::ALL,
    ),
    // evacuate, purge, repeat: IEC 60335-2-40 Annex DD, from memory
    row(
        "caution-open-flammable",
        Gravity::Fire,
        Which::MayBurn,
        &[OpenSystem, Repair],
    ),
    // common practice, no source
    row("caution-cut-out", Gravity::Fire, Which::Any, &[Repair]),
    // common practice, no source
    row("caution-heat", Gravity::Fire, Which::Any, &[Heat]),
    // earthed before charging: IEC 60335-2-40 Annex DD, from memory
    row("caution-earth", Gravity::Fire, Which::MayBurn, &[Charge]),
    // through a regulating valve: TM 5-4120-259-15 §96; relief downstream:
    // TM 5-3820-256-24-2 §4-2.4.1; no oxygen near oil: CGA E-19
    row(
        "caution-nitrogen",
        Gravity::Burst,
        Which::Any,
        &[Repair, PressureTest, NitrogenBreak],
    ),
    // UFGS 15730N §3.8.1
    row(
        "caution-test-pressure",
        Gravity::Burst,
        Which::Any,
        &[PressureTest],
    ),
    // 1 to 2 psi gauge while brazing, flowing: TM 5-4120-259-15 §96
    row(
        "caution-braze-pressure",
        Gravity::Burst,
        Which::Any,
        &[Repair],
    ),
    // common practice, no source
    row(
        "caution-break-limit",
        Gravity::Burst,
        Which::Any,
        &[NitrogenBreak],
    ),
    // common practice, no source
    row(
        "caution-pressure",
        Gravity::Burst,
        Which::HighPressure,
        &[Start, OpenSystem, Charge],
    ),
    // TM 55-1905-219-14-8 §4-28 has it for the compressor as a pump; winding flashover,
    // from memory
    row(
        "caution-compressor",
        Gravity::Shock,
        Which::Any,
        &[
            OpenValve,
            PullDown,
            Heat,
            GasBallast,
            Isolate,
            Hold,
            NitrogenBreak,
            Charge,
        ],
    ),
    // common practice, no source
    row(
        "caution-unplug",
        Gravity::Shock,
        Which::Any,
        &[Start, OpenSystem, PullDown, Isolate, Hold],
    ),
    // common practice, no source
    row(
        "caution-capacitors",
        Gravity::Shock,
        Which::Any,
        &[Start, Repair],
    ),
    // ISO 817 gives the group; what to do: common practice, no source
    row(
        "caution-toxic",
        Gravity::Breath,
        Which::Toxic,
        &[
            Start,
            OpenSystem,
            Repair,
            PressureTest,
            PullDown,
            Charge,
            PinchOff,
        ],
    ),
    // TM 5-4130-235-13
    row(
        "caution-ventilate",
        Gravity::Breath,
        Which::Any,
        &[OpenSystem, Repair, PressureTest, NitrogenBreak, Charge],
    ),
    // goggles and frostbite: TM 5-2420-230-24-1 p. 19-7
    row(
        "caution-protection",
        Gravity::Injury,
        Which::Any,
        &[
            Start,
            OpenSystem,
            Repair,
            PressureTest,
            NitrogenBreak,
            Charge,
            PinchOff,
        ],
    ),
    // common practice, no source
    row(
        "caution-pinch-off",
        Gravity::Injury,
        Which::Any,
        &[PinchOff],
    ),
    // 40 CFR 82 Subpart F; the law elsewhere differs
    row(
        "caution-recover",
        Gravity::Injury,
        Which::Any,
        &[Start, OpenSystem, PressureTest],
    ),
    // common practice, no source
    row(
        "caution-gauge-off",
        Gravity::Damage,
        Which::Any,
        &[Start, PressureTest, NitrogenBreak, Charge],
    ),
    // triple point 517.95 kPa (CoolProp 8.0.0); vapour first: common practice, no source
    row(
        "caution-r744",
        Gravity::Damage,
        Which::CarbonDioxide,
        &[Charge],
    ),
    // common practice, no source
    row(
        "caution-open-slowly",
        Gravity::Damage,
        Which::Any,
        &[OpenValve],
    ),
    // common practice, no source
    row(
        "caution-ballast",
        Gravity::Damage,
        Which::Any,
        &[GasBallast],
    ),
];

/// The refrigerant in a system, as far as it is known.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Inside(Option<&'static Refrigerant>);

impl Inside {
    /// As typed in a job.
    #[must_use]
    pub fn typed(refrigerant: Option<&str>) -> Self {
        Self(refrigerant.and_then(Refrigerant::named))
    }

    fn is(self, which: Which) -> bool {
        let known = |test: fn(&Refrigerant) -> bool| self.0.is_some_and(test);
        let standing = |r: &Refrigerant| r.at_20_c.map_or(0.0, |v| v.saturation_pa);
        match which {
            Which::Any => true,
            Which::Burns => known(Refrigerant::is_flammable),
            Which::Unknown => self.0.is_none(),
            Which::MayBurn => self.0.is_none_or(Refrigerant::is_flammable),
            Which::Toxic => known(Refrigerant::is_toxic),
            Which::HighPressure => self.0.is_some_and(|r| standing(r) > HIGH_STANDING_PA),
            Which::CarbonDioxide => known(|r| r.designation == "R-744"),
        }
    }

    fn say(self, voice: &Voice, id: &str) -> String {
        let name = self.0.map_or("", |r| r.designation);
        let group = self.0.map_or("", |r| r.safety_group);
        let standing = self.0.and_then(|r| r.at_20_c);
        let bar = standing.map_or_else(String::new, |v| voice.decimals(v.saturation_pa / 1e5, 0));
        say!(voice, id, refrigerant = name, group = group, bar = bar)
    }
}

fn rows_at(inside: Inside, acts: &[RiskyAct]) -> impl Iterator<Item = &'static Row> {
    let named = move |row: &&Row| row.acts.iter().any(|act| acts.contains(act));
    let mut rows: Vec<&Row> = ROWS
        .iter()
        .filter(|row| inside.is(row.which))
        .filter(named)
        .collect();
    rows.sort_by_key(|row| row.gravity);
    rows.into_iter()
}

/// The cautions of these acts, the gravest first, each once.
///
/// ```
/// use wording::{Inside, RiskyAct, Voice, cautions_at};
///
/// let inside = Inside::typed(Some("R-600a"));
/// let said = cautions_at(&Voice::default(), inside, &[RiskyAct::Heat]);
/// assert!(said[0].starts_with("R-600a is flammable"), "{said:?}");
/// ```
#[must_use]
pub fn cautions_at(voice: &Voice, inside: Inside, acts: &[RiskyAct]) -> Vec<String> {
    rows_at(inside, acts)
        .map(|row| inside.say(voice, row.id))
        .collect()
}

/// The gravest caution of these acts, as short as it can be said; `None` where there is
/// none.
#[must_use]
pub fn gravest_at(voice: &Voice, inside: Inside, acts: &[RiskyAct]) -> Option<String> {
    let row = rows_at(inside, acts).next()?;
    let id = match row.id {
        "caution-flammable" => "caution-flammable-brief",
        "caution-not-known" => "caution-not-known-brief",
        id => id,
    };
    Some(inside.say(voice, id))
}

/// What holds for these acts whatever the refrigerant, the gravest first.
#[must_use]
pub fn common_cautions_at(voice: &Voice, acts: &[RiskyAct]) -> Vec<String> {
    let common = rows_at(Inside::default(), acts).filter(|row| row.which == Which::Any);
    common
        .map(|row| Inside::default().say(voice, row.id))
        .collect()
}

/// What one refrigerant calls for, whatever is done: it burns, is toxic, stands under high
/// pressure, must be charged as vapour.
#[must_use]
pub fn refrigerant_cautions(voice: &Voice, refrigerant: &'static Refrigerant) -> Vec<String> {
    let inside = Inside(Some(refrigerant));
    let own = rows_at(inside, &RiskyAct::ALL).filter(|row| row.which != Which::Any);
    own.map(|row| inside.say(voice, row.id)).collect()
}

/// The cautions of a job whose next steps are these acts, with those that hold for every
/// evacuation.
#[must_use]
pub fn cautions(voice: &Voice, job: Option<&Job>, next: &[RiskyAct]) -> Vec<String> {
    let inside = Inside::typed(job.and_then(|job| job.refrigerant.as_deref()));
    let always = [
        "caution-compressor",
        "caution-protection",
        "caution-ventilate",
    ];
    // what is said of a gas that burns or is toxic says it already
    let aired = inside.is(Which::MayBurn) || inside.is(Which::Toxic);
    let rows = rows_at(inside, &RiskyAct::ALL);
    let said = rows.filter(|row| !aired || row.id != "caution-ventilate");
    let said = said.filter(|row| {
        always.contains(&row.id)
            || row.acts.len() == RiskyAct::ALL.len()
            || matches!(row.which, Which::Toxic | Which::HighPressure)
            || row.acts.iter().any(|act| next.contains(act))
    });
    said.map(|row| inside.say(voice, row.id)).collect()
}

#[cfg(test)]
mod tests;
