//! From what was seen to observations: one sign each, on one of a few levels.

use crate::{
    rest::{self, AtRest},
    signs::Signs,
    usual::{Usual, draw_share},
};

/// What an observation is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sign {
    /// Temperature at which refrigerant evaporates at the suction pressure, against what
    /// is usual.
    Evaporating,
    /// Temperature at which it condenses at the discharge pressure, against what is usual.
    Condensing,
    /// How far liquid comes down towards the room's temperature, of what it could.
    Subcooling,
    /// Electrical draw, against what is usual.
    Draw,
    /// Pipe into the condenser, above the room.
    HotGas,
    /// Cabinet, above what it should have.
    Cabinet,
    /// Whether it ever stops.
    Runs,
    /// Frost on the evaporator.
    Frost,
    /// The suction line.
    SuctionLine,
    /// At the end of the capillary tube.
    Sound,
    /// How both pressures meet.
    Meet,
    /// Whether it cools again after standing.
    Standing,
    /// Pressure at rest.
    Rest,
    /// Charge found.
    Charge,
    /// How the trouble came.
    Onset,
    /// Whether the sealed system was opened before.
    Opened,
    /// Where oil or a detector show something.
    Trace,
    /// Whether the compressor starts.
    Starts,
    /// Supply and controls.
    Supply,
    /// The condenser's air.
    Condenser,
    /// The fans.
    Fans,
    /// The evaporator's air.
    EvaporatorAir,
    /// Doors and light.
    Door,
}

/// Most levels of a sign.
pub const LEVELS: usize = 6;

/// One sign, on one level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// What it is about.
    pub sign: Sign,
    /// 0 is the lowest; what it means: [`Sign::levels`].
    pub level: usize,
    /// What was measured, in the unit of the sign, where there is a number.
    pub measured: Option<f64>,
    /// What is usual, in the same unit.
    pub usual: Option<f64>,
}

impl Sign {
    /// All of them.
    pub const ALL: [Self; 23] = [
        Self::Evaporating,
        Self::Condensing,
        Self::Subcooling,
        Self::Draw,
        Self::HotGas,
        Self::Cabinet,
        Self::Runs,
        Self::Frost,
        Self::SuctionLine,
        Self::Sound,
        Self::Meet,
        Self::Standing,
        Self::Rest,
        Self::Charge,
        Self::Onset,
        Self::Opened,
        Self::Trace,
        Self::Starts,
        Self::Supply,
        Self::Condenser,
        Self::Fans,
        Self::EvaporatorAir,
        Self::Door,
    ];

    /// The stable word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Evaporating => "suction_pressure",
            Self::Condensing => "discharge_pressure",
            Self::Subcooling => "liquid_temperature",
            Self::Draw => "electrical_draw",
            Self::HotGas => "condenser_inlet",
            Self::Cabinet => "cabinet_temperature",
            Self::Runs => "running_time",
            Self::Frost => "frost",
            Self::SuctionLine => "suction_line",
            Self::Sound => "sound",
            Self::Meet => "pressures_meet",
            Self::Standing => "after_standing",
            Self::Rest => "pressure_at_rest",
            Self::Charge => "charge_found",
            Self::Onset => "onset",
            Self::Opened => "opened_before",
            Self::Trace => "leak_trace",
            Self::Starts => "compressor_starts",
            Self::Supply => "supply",
            Self::Condenser => "condenser_air",
            Self::Fans => "fans",
            Self::EvaporatorAir => "evaporator_air",
            Self::Door => "door",
        }
    }

    /// What its levels are, from 0.
    #[must_use]
    pub const fn levels(self) -> &'static [&'static str] {
        match self {
            Self::Evaporating => &[
                "nearly a vacuum",
                "far colder than usual",
                "colder than usual",
                "as usual",
                "warmer than usual",
                "far warmer than usual",
            ],
            Self::Condensing => &[
                "hardly above the room",
                "lower than usual",
                "as usual",
                "higher than usual",
                "far higher than usual",
            ],
            Self::Subcooling => &[
                "no liquid: as warm as it condenses",
                "a little below",
                "as usual",
                "nearly at the room's temperature",
                "the head pressure is too low to tell",
            ],
            Self::Draw => &[
                "less than half of what is usual",
                "far less than usual",
                "less than usual",
                "as usual",
                "more than usual",
                "far more than usual",
            ],
            Self::HotGas => &["hardly warm", "warm", "hot", "very hot"],
            Self::Cabinet => &["as cold as it should be", "too warm", "far too warm"],
            Self::Runs => &["stops now and then", "never stops"],
            Self::Frost => &["none", "at the inlet only", "on a part", "everywhere"],
            Self::SuctionLine => &["warm", "cold", "frosted"],
            Self::Sound => &["nothing", "gas", "liquid"],
            Self::Meet => &["fast", "as usual", "slowly", "never"],
            Self::Standing => &["no", "yes"],
            Self::Rest => &[
                "below saturation",
                "at saturation",
                "a little above saturation",
                "above saturation",
            ],
            Self::Charge => &["far less than the nameplate", "less", "the same", "more"],
            Self::Onset => &["since the last service", "slowly", "suddenly"],
            Self::Opened => &["no", "yes"],
            Self::Trace => &["nowhere", "low side", "high side"],
            Self::Starts => &["no", "yes"],
            Self::Supply | Self::Condenser | Self::Fans | Self::EvaporatorAir | Self::Door => {
                &["not in order", "in order"]
            }
        }
    }

    /// Whether it is a measurement or an observation of the running or resting sealed
    /// system: only such signs decide whether there are enough.
    #[must_use]
    pub const fn is_of_the_system(self) -> bool {
        matches!(
            self,
            Self::Evaporating
                | Self::Condensing
                | Self::Subcooling
                | Self::Draw
                | Self::HotGas
                | Self::Frost
                | Self::SuctionLine
                | Self::Sound
                | Self::Meet
                | Self::Rest
                | Self::Charge
        )
    }
}

/// The level of a number between cuts in rising order.
fn level(value: f64, cuts: &[f64]) -> usize {
    cuts.iter().filter(|cut| value >= **cut).count()
}

/// A head pressure so close to the room, K, tells nothing of the liquid.
const HEAD_TOO_LOW_K: f64 = 3.5;

/// The observations of some signs.
#[must_use]
pub fn observations(signs: &Signs) -> Vec<Observation> {
    let usual = Usual::of(signs.cabinet);
    let mut all = Vec::new();
    let mut add = |sign, level, measured: Option<f64>, usual: Option<f64>| {
        all.push(Observation {
            sign,
            level,
            measured,
            usual,
        });
    };
    let starts = signs.compressor_runs != Some(false);
    if let (Some(pa), true) = (signs.suction_pa, starts) {
        let c = evaporating_c(signs, pa);
        let usual = usual.evaporating_c(signs);
        let at = match c {
            None => 0,
            Some(c) => 1 + level(c - usual, &[-14.0, -4.5, 4.0, 9.0]),
        };
        add(Sign::Evaporating, at, c, Some(usual));
    }
    let condensing_c = signs
        .discharge_pa
        .filter(|_| starts)
        .map(|pa| condensing_c(signs, pa));
    if let Some(c) = condensing_c {
        let usual = usual.condensing_c(signs);
        let at = if c - signs.ambient_c < HEAD_TOO_LOW_K {
            0
        } else {
            1 + level(c - usual, &[-4.0, 3.5, 9.0])
        };
        add(Sign::Condensing, at, Some(c), Some(usual));
        if let Some(out_c) = signs.condenser_out_c {
            let above = c - signs.ambient_c;
            let at = if above < HEAD_TOO_LOW_K {
                4
            } else {
                level((c - out_c) / above, &[0.1, 0.27, 0.62])
            };
            add(Sign::Subcooling, at, Some(out_c), Some(c));
        }
    }
    if let (Some(draw), true) = (signs.draw, starts) {
        let share = draw.measured / draw.of;
        let usual = draw_share(signs, draw.known_good);
        let at = level(share / usual, &[0.45, 0.7, 0.88, 1.08, 1.22]);
        add(Sign::Draw, at, Some(share), Some(usual));
    }
    if let (Some(c), true) = (signs.condenser_in_c, starts) {
        let above = c - signs.ambient_c;
        add(
            Sign::HotGas,
            level(above, &[20.0, 35.0, 50.0]),
            Some(above),
            None,
        );
    }
    if let Some(c) = signs.cabinet_c {
        let set = signs.cabinet_set_c.unwrap_or(usual.set_c);
        add(
            Sign::Cabinet,
            level(c - set, &[3.0, 10.0]),
            Some(c),
            Some(set),
        );
    }
    if starts {
        running_words(signs, &mut add);
    }
    resting_words(signs, &mut add);
    all
}

/// Signs of a running system that come as a word.
fn running_words(signs: &Signs, add: &mut impl FnMut(Sign, usize, Option<f64>, Option<f64>)) {
    let words = [
        (Sign::Runs, signs.runs_all_the_time.map(usize::from)),
        (Sign::Frost, signs.frost.map(|x| x as usize)),
        (Sign::SuctionLine, signs.suction_line.map(|x| x as usize)),
        (Sign::Sound, signs.sound.map(|x| x as usize)),
        (Sign::Meet, signs.meet.map(|x| x as usize)),
        (Sign::Standing, signs.better_after_standing.map(usize::from)),
    ];
    for (sign, level) in words {
        if let Some(level) = level {
            add(sign, level, None, None);
        }
    }
}

/// The others that come as a word, and what was measured at rest.
fn resting_words(signs: &Signs, add: &mut impl FnMut(Sign, usize, Option<f64>, Option<f64>)) {
    if let Some(at_rest) = signs.rest
        && let Some(found) = rest::compare(signs.refrigerant, at_rest)
    {
        let level = match found.state {
            AtRest::Below => 0,
            AtRest::Saturated => 1,
            AtRest::ALittleAbove => 2,
            AtRest::Above => 3,
        };
        let (is, usual) = (Some(at_rest.pa), Some(found.saturation_pa));
        add(Sign::Rest, level, is, usual);
    }
    if let (Some(found), Some(nameplate)) = (signs.charge_found_g, signs.nameplate_g) {
        let at = level(found / nameplate, &[0.6, 0.88, 1.05]);
        add(Sign::Charge, at, Some(found), Some(nameplate));
    }
    let words = [
        (Sign::Onset, signs.onset.map(|x| x as usize)),
        (Sign::Opened, signs.opened_before.map(usize::from)),
        (Sign::Trace, signs.trace.map(|x| x as usize)),
        (Sign::Starts, signs.compressor_runs.map(usize::from)),
        (Sign::Supply, signs.supply_good.map(usize::from)),
        (Sign::Condenser, signs.condenser_clean.map(usize::from)),
        (Sign::Fans, signs.fans_turn.map(usize::from)),
        (Sign::EvaporatorAir, signs.evaporator_free.map(usize::from)),
        (Sign::Door, signs.door_closes.map(usize::from)),
    ];
    for (sign, level) in words {
        if let Some(level) = level {
            add(sign, level, None, None);
        }
    }
}

/// Where refrigerant evaporates at this pressure, °C; `None` below the table of the
/// refrigerant, which is nearly a vacuum.
#[must_use]
pub fn evaporating_c(signs: &Signs, pa: f64) -> Option<f64> {
    let substance = signs.refrigerant;
    match substance.dew_temperature_c(pa) {
        Ok(c) => Some(c),
        Err(_) => {
            let lowest = substance.saturation_at(substance.lowest_c()).ok()?;
            (pa > lowest.dew_pa).then(|| substance.highest_c())
        }
    }
}

/// Where it condenses, °C, the mean of bubble and dew point; the end of the table beyond it.
#[must_use]
pub fn condensing_c(signs: &Signs, pa: f64) -> f64 {
    let substance = signs.refrigerant;
    let both = (
        substance.dew_temperature_c(pa),
        substance.bubble_temperature_c(pa),
    );
    match both {
        (Ok(dew), Ok(bubble)) => 0.5 * (dew + bubble),
        (Ok(one), _) | (_, Ok(one)) => one,
        _ => {
            let lowest = substance.saturation_at(substance.lowest_c());
            match lowest {
                Ok(state) if pa <= state.dew_pa => substance.lowest_c(),
                _ => substance.highest_c(),
            }
        }
    }
}

/// Whether the low side runs below the air outside, so that a leak there draws air in.
#[must_use]
pub fn low_side_draws_air(signs: &Signs) -> bool {
    const AIR_PA: f64 = 101_325.0;
    if let Some(pa) = signs
        .suction_pa
        .filter(|_| signs.compressor_runs != Some(false))
    {
        return pa < AIR_PA;
    }
    let usual = Usual::of(signs.cabinet).evaporating_c(signs);
    let substance = signs.refrigerant;
    let c = usual.clamp(substance.lowest_c(), substance.highest_c());
    substance
        .saturation_at(c)
        .is_ok_and(|state| state.dew_pa < AIR_PA)
}
