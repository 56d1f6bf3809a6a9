//! A substance of the table, and what is read from its states.

use vacuum::{GAS_CONSTANT_J_PER_MOL_K, Refrigerant, ZERO_CELSIUS_K};

use crate::{
    error::OutsideTable,
    interpolated::{cubic, through},
    saturation::Saturation,
    state::State,
};

/// Halvings of an interval of 5 K, or of a density: to the last digit that counts.
const HALVINGS: usize = 60;

/// A refrigerant whose saturation is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Substance {
    refrigerant: &'static Refrigerant,
    /// Critical temperature, °C; of a blend only a scale to interpolate on.
    critical_c: f64,
    states: Vec<State>,
}

/// Which of the two pressures of a blend.
#[derive(Clone, Copy)]
enum Point {
    Bubble,
    Dew,
}

impl Point {
    fn pa(self, state: &State) -> f64 {
        match self {
            Self::Bubble => state.bubble_pa,
            Self::Dew => state.dew_pa,
        }
    }
}

impl Substance {
    pub(crate) const fn new(refrigerant: &'static Refrigerant, critical_c: f64) -> Self {
        Self {
            refrigerant,
            critical_c,
            states: Vec::new(),
        }
    }

    pub(crate) fn push(&mut self, state: State) {
        self.states.push(state);
    }

    #[cfg(test)]
    pub(crate) fn states(&self) -> &[State] {
        &self.states
    }

    /// The refrigerant it is: designation, molar mass, safety group.
    #[must_use]
    pub const fn refrigerant(&self) -> &'static Refrigerant {
        self.refrigerant
    }

    /// Its designation, for instance "R-600a".
    #[must_use]
    pub const fn designation(&self) -> &'static str {
        self.refrigerant.designation
    }

    /// True for a blend of the 400 series, which has another composition as vapour than as
    /// liquid: it is charged as liquid, or its composition shifts. Blends of the 500 series are
    /// azeotropes, which boil like a single substance (ISO 817 numbers them so).
    #[must_use]
    pub fn is_zeotropic_blend(&self) -> bool {
        let number = self.designation().strip_prefix("R-4");
        number.is_some_and(|rest| rest.len() == 3 && rest.ends_with(|c: char| c.is_alphabetic()))
    }

    /// The coldest temperature of its table, °C.
    #[must_use]
    pub fn lowest_c(&self) -> f64 {
        self.states.first().map_or(f64::INFINITY, |s| s.celsius)
    }

    /// The warmest temperature of its table, °C: 60, or a tenth of a kelvin below the critical
    /// point.
    #[must_use]
    pub fn highest_c(&self) -> f64 {
        self.states.last().map_or(f64::NEG_INFINITY, |s| s.celsius)
    }

    /// Critical temperature of a substance whose table ends because of it, °C.
    #[must_use]
    pub fn critical_c(&self) -> Option<f64> {
        (self.critical_c - self.highest_c() < 1.0).then_some(self.critical_c)
    }

    /// Pressures and densities at a temperature.
    ///
    /// # Errors
    /// [`OutsideTable::Temperature`] below [`Self::lowest_c`] and above [`Self::highest_c`].
    pub fn saturation_at(&self, celsius: f64) -> Result<Saturation, OutsideTable> {
        let density = |of: fn(&State) -> f64| self.read(celsius, |t| self.below_critical(t), of);
        let found = || {
            Some(Saturation {
                celsius,
                bubble_pa: self.pressure_pa(Point::Bubble, celsius)?,
                dew_pa: self.pressure_pa(Point::Dew, celsius)?,
                liquid_kg_m3: density(|s| s.liquid_kg_m3)?,
                vapour_kg_m3: density(|s| s.vapour_kg_m3)?,
            })
        };
        found().ok_or_else(|| self.outside(celsius))
    }

    /// Temperature at which liquid of the nominal composition begins to boil, °C.
    ///
    /// # Errors
    /// [`OutsideTable::Pressure`] for a pressure that the table does not reach.
    pub fn bubble_temperature_c(&self, pa: f64) -> Result<f64, OutsideTable> {
        self.temperature_c(Point::Bubble, pa)
    }

    /// Temperature at which vapour of the nominal composition begins to condense, °C.
    ///
    /// # Errors
    /// As [`Self::bubble_temperature_c`].
    pub fn dew_temperature_c(&self, pa: f64) -> Result<f64, OutsideTable> {
        self.temperature_c(Point::Dew, pa)
    }

    /// Glide at a pressure, K: how much warmer the dew point is than the bubble point. Zero for
    /// a single substance.
    ///
    /// # Errors
    /// As [`Self::bubble_temperature_c`].
    pub fn glide_k(&self, pa: f64) -> Result<f64, OutsideTable> {
        Ok((self.dew_temperature_c(pa)? - self.bubble_temperature_c(pa)?).max(0.0))
    }

    /// Density of vapour at a temperature (°C) and a pressure (Pa absolute) up to that of the
    /// dew point, kg/m³.
    ///
    /// The compressibility is taken as Z = 1 + B·ρ + C·ρ² + D·ρ³, the virial equation after
    /// its fourth term, with B, C and D from the densities at the dew pressure, at 0.85 and at
    /// 0.5 of it. Within 0.1 % of CoolProp 8.0.0; within 1.5 % in the last 5 K below a critical
    /// point.
    ///
    /// # Errors
    /// [`OutsideTable::Temperature`] as [`Self::saturation_at`]; [`OutsideTable::Condenses`]
    /// above the dew pressure; [`OutsideTable::Pressure`] for what is no pressure.
    pub fn vapour_kg_m3(&self, celsius: f64, pa: f64) -> Result<f64, OutsideTable> {
        let at = self.saturation_at(celsius)?;
        let thinner = |column: fn(&State) -> f64| {
            let found = self.read(celsius, inverse, column);
            found.ok_or_else(|| self.outside(celsius))
        };
        let densities = [
            (1.0, at.vapour_kg_m3),
            (0.85, thinner(|s| s.at_085_dew_kg_m3)?),
            (0.5, thinner(|s| s.at_half_dew_kg_m3)?),
        ];
        if !(pa >= 0.0 && pa.is_finite()) {
            return Err(self.outside_pressure(pa, 0.0, at.dew_pa));
        }
        if pa > at.dew_pa {
            return Err(OutsideTable::Condenses {
                designation: self.designation(),
                celsius,
                pa,
                dew_pa: at.dew_pa,
            });
        }
        let kg_per_mol = self.refrigerant.molar_mass_g_per_mol / 1e3;
        let rt = GAS_CONSTANT_J_PER_MOL_K * (celsius + ZERO_CELSIUS_K) / kg_per_mol;
        // (Z − 1)/ρ is B + C·ρ + D·ρ²
        let nodes = densities.map(|(part, density)| {
            let z = part * at.dew_pa / (density * rt);
            (density, (z - 1.0) / density)
        });
        let pressure = |density: f64| density * rt * (1.0 + density * through(nodes, density));
        let all = (0.0, at.vapour_kg_m3);
        Ok(halved(all, |density| pressure(density) < pa))
    }

    fn pressure_pa(&self, point: Point, celsius: f64) -> Option<f64> {
        self.read(celsius, inverse, |s| point.pa(s))
    }

    fn temperature_c(&self, point: Point, pa: f64) -> Result<f64, OutsideTable> {
        let after = self.states.partition_point(|s| point.pa(s) < pa);
        let found = match (after.checked_sub(1), self.states.get(after)) {
            (_, Some(state)) if point.pa(state) == pa => Some(state.celsius),
            (Some(before), Some(state)) => {
                let between = (self.states[before].celsius, state.celsius);
                let below = |celsius| self.pressure_pa(point, celsius).is_some_and(|p| p < pa);
                Some(halved(between, below))
            }
            _ => None,
        };
        found.ok_or_else(|| {
            let end = |state: Option<&State>| state.map_or(0.0, |s| point.pa(s));
            self.outside_pressure(pa, end(self.states.first()), end(self.states.last()))
        })
    }

    /// A column of the table at a temperature, interpolated as its logarithm over `scale`.
    fn read(
        &self,
        celsius: f64,
        scale: impl Fn(f64) -> f64,
        column: impl Fn(&State) -> f64,
    ) -> Option<f64> {
        // false for what is no number, too
        if !(self.lowest_c()..=self.highest_c()).contains(&celsius) {
            return None;
        }
        let after = self.states.partition_point(|s| s.celsius < celsius);
        let node = |i: usize| {
            let state = &self.states[i];
            (scale(state.celsius), column(state).ln())
        };
        cubic(scale(celsius), after, self.states.len(), node).map(f64::exp)
    }

    /// (1 − T/T_c)^⅓: over it densities are smooth up to the critical point.
    fn below_critical(&self, celsius: f64) -> f64 {
        let ratio = (celsius + ZERO_CELSIUS_K) / (self.critical_c + ZERO_CELSIUS_K);
        (1.0 - ratio).cbrt()
    }

    fn outside(&self, celsius: f64) -> OutsideTable {
        OutsideTable::Temperature {
            designation: self.designation(),
            celsius,
            lowest_c: self.lowest_c(),
            highest_c: self.highest_c(),
            critical_c: self.critical_c(),
        }
    }

    fn outside_pressure(&self, pa: f64, lowest_pa: f64, highest_pa: f64) -> OutsideTable {
        OutsideTable::Pressure {
            designation: self.designation(),
            pa,
            lowest_pa,
            highest_pa,
        }
    }
}

/// 1/T: over it the logarithm of a pressure is nearly straight.
fn inverse(celsius: f64) -> f64 {
    1.0 / (celsius + ZERO_CELSIUS_K)
}

/// Where `below` ends to be true between two numbers.
fn halved((mut low, mut high): (f64, f64), below: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match below(middle) {
            true => low = middle,
            false => high = middle,
        }
    }
    0.5 * (low + high)
}
