//! A short charge or a leak? What only a hold can say.
//!
//! What is missing since the last service would have left at a mean rate. The leak that
//! needs lets so much air into the evacuated system, by either law of flow, and the hold
//! rises so fast. A hold that shows no such rise rules the leak out: then too little was
//! charged.

use std::fmt;

use vacuum::{
    Pressure, Refrigerant,
    flow::{Drive, through_the_same_leak},
    gas::Gas,
    leak::Throughput,
};

/// As rates a year count them.
const MONTHS_A_YEAR: f64 = 12.0;
/// Pressure of the hold, micron: what it is makes no difference beside the air outside.
const HOLD_AT_MICRON: f64 = 0.0;

/// What is missing, and since when.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loss {
    /// Refrigerant.
    pub refrigerant: &'static Refrigerant,
    /// Missing mass, g, more than 0.
    pub missing_g: f64,
    /// Since it was charged, months, more than 0.
    pub months: f64,
    /// Of the system that is evacuated, L, more than 0.
    pub volume_l: f64,
    /// Mean pressure that drove it out, Pa absolute; `None` for that of the standing
    /// appliance at 20 °C.
    pub operating_pa: Option<f64>,
}

/// The leak that this takes, seen in a hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NeededLeak {
    /// Mean loss, g/year.
    pub g_per_year: f64,
    /// Rise in a hold, micron/min, if the leak conducts as the law of flow with the smaller
    /// answer says.
    pub low_micron_per_min: f64,
    /// The same with the larger answer.
    pub high_micron_per_min: f64,
}

/// Why there is no answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoNeed {
    /// A number is not above zero.
    NotPositive(&'static str),
    /// There are no viscosity and no pressure of this refrigerant (blends for instance).
    NoVapourData(&'static str),
    /// Nothing drives it out: the pressure is not above that of the air outside.
    NothingDrives,
}

impl fmt::Display for NoNeed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotPositive(what) => write!(f, "{what} must be more than 0"),
            Self::NoVapourData(name) => write!(
                f,
                "the leak cannot be computed for {name}: viscosity and pressure of its vapour are \
                 not known here"
            ),
            Self::NothingDrives => f.write_str(
                "the pressure in the system is not above that of the air outside: nothing leaks out",
            ),
        }
    }
}

impl std::error::Error for NoNeed {}

/// The leak that a loss takes, as the rise of a hold: a range over both laws of flow
/// ([`vacuum::flow::through_the_same_leak`] has their sources).
///
/// ```
/// use fault::{Loss, needed_leak};
/// use vacuum::Refrigerant;
///
/// let loss = Loss {
///     refrigerant: Refrigerant::named("R-600a").ok_or("known")?,
///     missing_g: 20.0,
///     months: 6.0,
///     volume_l: 2.8,
///     operating_pa: None,
/// };
/// let leak = needed_leak(&loss)?;
/// // worked by hand from tabulated ratios: 0.44 to 6.1 micron/min
/// assert!((leak.low_micron_per_min - 0.44).abs() < 0.005);
/// assert!((leak.high_micron_per_min - 6.1).abs() < 0.05);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`NoNeed`] where a number is not above zero, the refrigerant's vapour is not known, or
/// nothing drives it out.
pub fn needed_leak(loss: &Loss) -> Result<NeededLeak, NoNeed> {
    for (what, value) in [
        ("the missing mass", loss.missing_g),
        ("the time since it was charged", loss.months),
        ("the volume of the system", loss.volume_l),
    ] {
        if !(value > 0.0 && value.is_finite()) {
            return Err(NoNeed::NotPositive(what));
        }
    }
    let unknown = NoNeed::NoVapourData(loss.refrigerant.designation);
    let gas = loss.refrigerant.gas().ok_or(unknown)?;
    let standing = loss.refrigerant.at_20_c.map(|v| v.saturation_pa);
    let operating = loss.operating_pa.or(standing).ok_or(unknown)?;
    let pressure = |pa| Pressure::from_pa(pa).map_err(|_| NoNeed::NotPositive("the pressure"));
    let out = Drive {
        gas,
        from: pressure(operating)?,
        to: Pressure::ATMOSPHERE,
    };
    let into = Drive {
        gas: Gas::AIR,
        from: Pressure::ATMOSPHERE,
        to: pressure(HOLD_AT_MICRON)?,
    };
    let g_per_year = loss.missing_g / loss.months * MONTHS_A_YEAR;
    let of_one = Throughput::from_pa_m3_per_s(1.0).g_per_year(loss.refrigerant);
    let lost = Throughput::from_pa_m3_per_s(g_per_year / of_one);
    let both = through_the_same_leak(lost, out, into).ok_or(NoNeed::NothingDrives)?;
    Ok(NeededLeak {
        g_per_year,
        low_micron_per_min: both.low().micron_per_min(loss.volume_l),
        high_micron_per_min: both.high().micron_per_min(loss.volume_l),
    })
}

/// How a gauge reads a steady pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeNoise {
    /// Smallest step that it shows, micron.
    pub step_micron: f64,
    /// Standard deviation of its readings, micron.
    pub sd_micron: f64,
    /// From one reading to the next, s.
    pub every_s: f64,
    /// Correlation of neighbouring readings, 0 to less than 1.
    pub correlation: f64,
}

impl GaugeNoise {
    /// A usual electronic gauge: steps of 1 micron, readings every second that hang together
    /// (common practice, no source).
    pub const USUAL: Self = Self {
        step_micron: 1.0,
        sd_micron: 1.0,
        every_s: 1.0,
        correlation: 0.9,
    };
}

/// Standard deviations between "no leak" and the smallest leak that is seen 19 times of 20
/// and claimed falsely 1 time of 20: 1.645 twice (L. A. Currie, Anal. Chem. 40 (1968) 586,
/// from memory).
const BOTH_ERRORS: f64 = 3.29;

/// How much larger the smallest leak is in a hold whose system still gives off a little than
/// in a dry one: what still comes off cannot be told from a leak at once. Measured: the
/// project's own analyser states 0.65, 0.41, 0.31 and 0.16 micron/min for synthetic holds of
/// 10, 15, 20 and 30 min with steps of 1 micron, 2.1 to 2.6 times what the line alone gives.
const STILL_GIVES_OFF: f64 = 2.5;

/// Standard error of the slope of a straight line through the readings of a hold,
/// micron/min: σ√(12/n³)/Δt for white noise, with n made smaller for correlated readings,
/// n(1 − r)/(1 + r) (F. W. Zwiers and H. von Storch, J. Climate 8 (1995) 336).
fn slope_error(gauge: &GaugeNoise, hold_min: f64) -> f64 {
    let readings = (hold_min * 60.0 / gauge.every_s).max(3.0);
    let r = gauge.correlation.clamp(0.0, 0.999);
    let independent = (readings * (1.0 - r) / (1.0 + r)).max(3.0);
    gauge.sd_micron * (12.0 / independent).sqrt() / hold_min
}

/// About the smallest leak that a hold of so many minutes shows on this gauge, micron/min.
///
/// The error of a fitted slope and one step of the gauge, made larger for a system
/// that still gives off a little. A plan, not a judgement: what a hold could show, its
/// review says.
#[must_use]
pub fn shown_by(gauge: &GaugeNoise, hold_min: f64) -> f64 {
    let step_sd = gauge.step_micron / 12.0_f64.sqrt();
    let sd_micron = gauge.sd_micron.hypot(step_sd);
    let line = BOTH_ERRORS
        * slope_error(
            &GaugeNoise {
                sd_micron,
                ..*gauge
            },
            hold_min,
        );
    STILL_GIVES_OFF * (line + gauge.step_micron / hold_min)
}

/// Longest hold that is looked for, min: two days.
const LONGEST_MIN: f64 = 2_880.0;

/// The shortest hold, whole minutes, that shows a rise of so many micron/min; `None` beyond
/// two days.
#[must_use]
pub fn hold_that_shows_min(gauge: &GaugeNoise, micron_per_min: f64) -> Option<f64> {
    let (mut low, mut high) = (1.0, LONGEST_MIN);
    if shown_by(gauge, high) > micron_per_min {
        return None;
    }
    while high - low > 0.25 {
        let middle = 0.5 * (low + high);
        if shown_by(gauge, middle) > micron_per_min {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(high.ceil())
}

/// What a hold said of a leak, micron/min.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoldSaid {
    /// How long it was, min.
    pub lasted_min: f64,
    /// Smallest leak that it could have shown.
    pub limit: Option<f64>,
    /// 95 % interval of the leak, where one was estimated.
    pub leak: Option<(f64, f64)>,
    /// True where a leak is stated.
    pub claims_leak: bool,
}

/// What a hold says of the question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Settled {
    /// A leak as large as needed would have been seen: too little was charged.
    LeakRuledOut {
        /// The largest leak that may still be there, micron/min.
        at_most_micron_per_min: f64,
    },
    /// There is a leak, large enough to explain what is missing.
    LeakExplains {
        /// 95 % interval, micron/min.
        low_micron_per_min: f64,
        /// Its upper end.
        high_micron_per_min: f64,
    },
    /// There is a leak, too small to explain what is missing.
    LeakTooSmall {
        /// Upper end of its 95 % interval, micron/min.
        high_micron_per_min: f64,
    },
    /// The hold could not have shown it.
    NotSettled {
        /// The smallest leak that it could have shown, micron/min; `None` where nobody can
        /// say.
        limit_micron_per_min: Option<f64>,
        /// About how long a hold takes that could, min; `None` where nobody can say.
        hold_min: Option<f64>,
    },
}

/// What a hold says of the leak that is needed.
///
/// ```
/// use fault::{HoldSaid, NeededLeak, Settled, settled};
///
/// let needed = NeededLeak { g_per_year: 40.0, low_micron_per_min: 0.44, high_micron_per_min: 6.1 };
/// let hold = |limit| HoldSaid {
///     lasted_min: 15.0,
///     limit: Some(limit),
///     leak: None,
///     claims_leak: false,
/// };
/// assert!(matches!(settled(&needed, &hold(0.3)), Settled::LeakRuledOut { .. }));
/// assert!(matches!(settled(&needed, &hold(1.6)), Settled::NotSettled { .. }));
/// ```
#[must_use]
pub fn settled(needed: &NeededLeak, hold: &HoldSaid) -> Settled {
    let low = needed.low_micron_per_min;
    if hold.claims_leak
        && let Some((from, to)) = hold.leak
    {
        return match to < low {
            true => Settled::LeakTooSmall {
                high_micron_per_min: to,
            },
            false => Settled::LeakExplains {
                low_micron_per_min: from,
                high_micron_per_min: to,
            },
        };
    }
    // both have to lie below: the interval may be narrow where the limit is large
    let upper = hold.leak.map(|(_, to)| to);
    match hold.limit {
        Some(limit) if limit.max(upper.unwrap_or(0.0)) < low => Settled::LeakRuledOut {
            at_most_micron_per_min: limit.max(upper.unwrap_or(0.0)),
        },
        limit => {
            // a slope's error falls with the power 3/2 of the length
            let longer = limit.map(|l| (l / low).powf(2.0 / 3.0) * hold.lasted_min);
            Settled::NotSettled {
                limit_micron_per_min: limit,
                hold_min: longer.filter(|m| *m > hold.lasted_min).map(f64::ceil),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Standard error of a slope: σ 5 micron, 600 readings a second apart: 0.0707 micron/min;
    /// correlation 0.9 makes it 4.36 times as large (formulas worked by hand).
    #[test]
    fn slopes_are_as_uncertain_as_the_formulas_say() {
        let white = GaugeNoise {
            step_micron: 0.0,
            sd_micron: 5.0,
            every_s: 1.0,
            correlation: 0.0,
        };
        let error = slope_error(&white, 10.0);
        assert!((error - 0.0707).abs() < 0.0001, "{error}");
        let correlated = slope_error(
            &GaugeNoise {
                correlation: 0.9,
                ..white
            },
            10.0,
        );
        assert!(
            (correlated / error - 4.36).abs() < 0.01,
            "{}",
            correlated / error
        );
    }

    #[test]
    fn longer_holds_show_smaller_leaks() {
        let gauge = GaugeNoise::USUAL;
        let needed = hold_that_shows_min(&gauge, 0.44).expect("within two days");
        assert!((10.0..30.0).contains(&needed), "{needed}");
        assert!(shown_by(&gauge, needed) <= 0.44 && shown_by(&gauge, needed - 2.0) > 0.44);
        assert_eq!(hold_that_shows_min(&gauge, 1e-6), None);
    }

    /// The same loss through a larger volume raises it less, in proportion.
    #[test]
    fn the_rise_goes_with_one_over_the_volume() {
        let loss = |volume_l| Loss {
            refrigerant: Refrigerant::named("R-134a").expect("known"),
            missing_g: 30.0,
            months: 12.0,
            volume_l,
            operating_pa: None,
        };
        let rise = |v| {
            needed_leak(&loss(v))
                .expect("it has data")
                .low_micron_per_min
        };
        assert!((rise(2.0) / rise(4.0) - 2.0).abs() < 1e-9);
        assert!(matches!(
            needed_leak(&loss(-1.0)),
            Err(NoNeed::NotPositive(_))
        ));
        let blend = Loss {
            refrigerant: Refrigerant::named("R-404A").expect("known"),
            ..loss(2.0)
        };
        assert!(matches!(needed_leak(&blend), Err(NoNeed::NoVapourData(_))));
        let cold = Loss {
            operating_pa: Some(90e3),
            ..loss(2.0)
        };
        assert_eq!(needed_leak(&cold), Err(NoNeed::NothingDrives));
    }

    #[test]
    fn a_leak_explains_or_is_too_small() {
        let needed = NeededLeak {
            g_per_year: 40.0,
            low_micron_per_min: 0.44,
            high_micron_per_min: 6.1,
        };
        let leak = |low, high| {
            settled(
                &needed,
                &HoldSaid {
                    lasted_min: 30.0,
                    limit: Some(0.2),
                    leak: Some((low, high)),
                    claims_leak: true,
                },
            )
        };
        assert!(matches!(leak(1.0, 2.0), Settled::LeakExplains { .. }));
        assert!(matches!(leak(0.1, 0.2), Settled::LeakTooSmall { .. }));
        let nobody_knows = HoldSaid {
            lasted_min: 0.0,
            limit: None,
            leak: None,
            claims_leak: false,
        };
        let open = settled(&needed, &nobody_knows);
        assert_eq!(
            open,
            Settled::NotSettled {
                limit_micron_per_min: None,
                hold_min: None
            }
        );
        // an interval that reaches further than the limit keeps the question open
        let wide = HoldSaid {
            limit: Some(0.3),
            leak: Some((0.0, 0.6)),
            ..nobody_knows
        };
        assert!(matches!(
            settled(&needed, &wide),
            Settled::NotSettled { .. }
        ));
    }
}
