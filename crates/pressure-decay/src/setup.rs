//! What is known of a test before it begins.

use vacuum::{AllowedLoss, Refrigerant, TestGas, TestPlan, leak::SEALED_SYSTEM_G_PER_YEAR};

/// From where the gauge counts.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum GaugeZero {
    /// From full vacuum.
    #[default]
    Absolute,
    /// From the air around it; the readings were made absolute with a barometer that was
    /// given once, and that may have moved meanwhile.
    BarometerGiven,
    /// From the air around it; the readings were made absolute with a barometer that was
    /// measured beside them.
    BarometerRecorded,
    /// From the air around it, and nobody knows the barometer: the readings were made
    /// absolute with 1013 hPa.
    BarometerUnknown,
}

/// What is known of a test.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// The gas that was let in.
    pub gas: TestGas,
    /// Inner volume, L, above zero.
    pub volume_l: Option<f64>,
    /// The refrigerant that the system is made for.
    pub refrigerant: Option<&'static Refrigerant>,
    /// Pressure of the charged system where the leak is, Pa absolute; without it, the
    /// pressure at which the refrigerant stands at 20 °C.
    pub operating_pa: Option<f64>,
    /// From where the gauge counts.
    pub zero: GaugeZero,
    /// Barometer, Pa; without it 101 325.
    pub barometer_pa: Option<f64>,
    /// What loss is allowed.
    pub limit: Option<AllowedLoss>,
    /// Name of the rule and where it comes from.
    pub rule: (String, String),
    /// When the supply was shut, s on the clock of the readings.
    pub shut_at_s: Option<f64>,
    /// When the gas was let out again, s.
    pub vented_at_s: Option<f64>,
    /// Shortest hold, min.
    pub hold_min: f64,
    /// Least pressure of the test, Pa absolute.
    pub least_pa: Option<f64>,
    /// Highest pressure that the system may see, Pa absolute.
    pub highest_pa: Option<f64>,
    /// Temperature to reckon with where nothing measures it, °C.
    pub ambient_c: f64,
}

impl Default for Setup {
    /// Nitrogen, 15 min, 20 °C, nothing else known.
    ///
    /// At least 15 min of nitrogen before the vacuum: technicians' manual of the United
    /// Nations Environment Programme, quoted second-hand.
    fn default() -> Self {
        Self {
            gas: TestGas::Nitrogen,
            volume_l: None,
            refrigerant: None,
            operating_pa: None,
            zero: GaugeZero::Absolute,
            barometer_pa: None,
            limit: None,
            rule: (String::new(), String::new()),
            shut_at_s: None,
            vented_at_s: None,
            hold_min: 15.0,
            least_pa: None,
            highest_pa: None,
            ambient_c: 20.0,
        }
    }
}

/// Name and source of what is asked: the guide first, then the loss that is allowed.
fn rule(plan: &TestPlan, name: &str, source: &str) -> (String, String) {
    let join = |guide: Option<&str>, own: &str| {
        let parts = guide.into_iter().chain((!own.is_empty()).then_some(own));
        parts.collect::<Vec<_>>().join("; ")
    };
    (
        join(plan.profile.map(|p| p.name), name),
        join(plan.profile.map(|p| p.source), source),
    )
}

/// What is known of the system.
#[derive(Debug, Clone, Copy, Default)]
pub struct Known {
    /// Inner volume, L, above zero.
    pub volume_l: Option<f64>,
    /// The refrigerant that the system is made for.
    pub refrigerant: Option<&'static Refrigerant>,
    /// Temperature of the room, °C.
    pub ambient_c: Option<f64>,
}

impl Setup {
    /// The test as planned. Where no loss is allowed by the plan, it is that of a sealed
    /// system where the refrigerant is known; `given` says where the plan's own comes from.
    #[must_use]
    pub fn of_plan(plan: &TestPlan, known: Known, given: &str) -> Self {
        let default = Self::default();
        let refrigerant = known.refrigerant;
        let (limit, name, source) = match plan.allowed {
            Some(limit) => (Some(limit), "as given", given),
            None if refrigerant.is_some() => (
                Some(AllowedLoss::Refrigerant {
                    g_per_year: SEALED_SYSTEM_G_PER_YEAR,
                }),
                "sealed system",
                "EN 378-1, definition of a sealed system: less than 3 g a year; quoted second-hand",
            ),
            None => (None, "", ""),
        };
        let zero = match (plan.counts_from_air, plan.barometer_pa) {
            (false, _) => GaugeZero::Absolute,
            (true, _) if plan.barometer_recorded => GaugeZero::BarometerRecorded,
            (true, Some(_)) => GaugeZero::BarometerGiven,
            (true, None) => GaugeZero::BarometerUnknown,
        };
        Self {
            gas: plan.gas.unwrap_or_default(),
            volume_l: known.volume_l,
            refrigerant,
            ambient_c: known.ambient_c.unwrap_or(default.ambient_c),
            zero,
            barometer_pa: plan.barometer_pa,
            limit,
            rule: rule(plan, name, source),
            hold_min: plan
                .hold_min
                .or(plan.profile.map(|p| p.hold_min))
                .unwrap_or(default.hold_min),
            least_pa: plan.least_pa,
            highest_pa: plan.highest_pa,
            ..default
        }
    }
}
