//! What is usual in an appliance that is in order, in this room.
//!
//! Temperatures are common practice, no source; a pressure is never taken from a list but
//! from the saturation of this refrigerant at such a temperature.

use crate::signs::{Cabinet, Signs};

/// What is usual for a kind of appliance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usual {
    /// Of the cabinet, °C.
    pub set_c: f64,
    /// How much colder than the cabinet refrigerant evaporates, K.
    pub colder_k: f64,
    /// How much warmer than the room it condenses, K.
    pub warmer_k: f64,
}

/// Electrical draw in order, over what the nameplate says, in a room of 25 °C (common
/// practice, no source).
const OF_NAMEPLATE: f64 = 0.85;
/// How much more a warmer room takes, per K (common practice, no source).
const DRAW_PER_K: f64 = 0.008;

impl Usual {
    /// Of a kind of appliance. Common practice, no source.
    #[must_use]
    pub const fn of(cabinet: Cabinet) -> Self {
        let (set_c, colder_k, warmer_k) = match cabinet {
            Cabinet::Refrigerator => (5.0, 17.0, 12.0),
            Cabinet::FridgeFreezer => (-18.0, 9.0, 12.0),
            Cabinet::Freezer => (-20.0, 8.0, 12.0),
            Cabinet::FanCooler => (4.0, 11.0, 10.0),
            Cabinet::FanFreezer => (-20.0, 8.0, 10.0),
        };
        Self {
            set_c,
            colder_k,
            warmer_k,
        }
    }

    /// Where refrigerant evaporates in this appliance if all is in order, °C: the cabinet
    /// as it is now, half of what it is too warm counted, less what is usual.
    #[must_use]
    pub fn evaporating_c(&self, signs: &Signs) -> f64 {
        let set = signs.cabinet_set_c.unwrap_or(self.set_c);
        let warm = signs.cabinet_c.map_or(0.0, |c| (c - set).max(0.0));
        set + 0.5 * warm - self.colder_k
    }

    /// Where it condenses in this room if all is in order, °C.
    #[must_use]
    pub fn condensing_c(&self, signs: &Signs) -> f64 {
        signs.ambient_c + self.warmer_k
    }
}

/// The electrical draw that is usual in this room, over what it is compared with.
#[must_use]
pub(crate) fn draw_share(signs: &Signs, known_good: bool) -> f64 {
    let warmer = 1.0 + DRAW_PER_K * (signs.ambient_c - 25.0);
    match known_good {
        true => warmer,
        false => OF_NAMEPLATE * warmer,
    }
}
