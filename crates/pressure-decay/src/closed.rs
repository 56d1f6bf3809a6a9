//! A closed system: what moves the amount of gas that is reckoned, other than a leak.
//!
//! Each is a term of the covariance of ln(p/(Z·T)). Sizes are standard deviations; they
//! are judgements about workshops and kitchens, not measurements, and METHOD.md lists them.

use statistics::dense::Symmetric;

use crate::{
    series::Series,
    setup::GaugeZero,
    smooth::Kelvin,
    wander::{add_wander, mean},
};

/// Heat of filling of the gas itself: time constants, s, and size, K.
const FILLING_GAS: ([f64; 3], f64) = ([20.0, 60.0, 120.0], 25.0);
/// Heat that went into the walls while filling: time constants, s, and size, K.
const FILLING_WALLS: ([f64; 5], f64) = ([300.0, 600.0, 1_200.0, 2_400.0, 4_800.0], 1.2);
/// Place of the thermometer: share by which the gas follows it less, or more.
const PLACE: f64 = 0.3;
/// Lag of gas or thermometer: time constants, s, and share of the change that lags.
const LAG: ([f64; 4], f64) = ([120.0, 400.0, 1_200.0, 3_600.0], 0.8);
/// What the thermometer does not see: wander of the gas beside it, K and s.
const UNSEEN: [(f64, f64); 2] = [(0.12, 1_200.0), (0.25, 7_200.0)];
/// Without a thermometer: wander of the gas, K and s.
const ROOM: [(f64, f64); 2] = [(1.5, 3_600.0), (4.0, 14_400.0)];
/// Barometer under a gauge that counts from it, Pa over an hour.
const BAROMETER_PA: f64 = 60.0;
/// Zero and span of the gauge, share of the pressure over an hour.
const GAUGE_DRIFT: f64 = 2e-5;

/// The sizes that are weighed, of one question.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sizes {
    pub(crate) with_thermometer: &'static [(f64, f64)],
    pub(crate) without: &'static [(f64, f64)],
    pub(crate) filling: &'static [(f64, f64)],
}

/// How much is lost: a wander that is small in the readings may still have a slope, so the
/// small sizes are left out.
pub(crate) const FOR_LOSS: Sizes = Sizes {
    with_thermometer: &[(0.6, 0.3), (1.0, 0.40), (2.5, 0.20), (6.0, 0.10)],
    without: &[(1.0, 0.65), (2.0, 0.35)],
    filling: &[(0.06, 0.3), (0.3, 0.3), (1.0, 0.3), (3.0, 0.1)],
};

/// Whether the system is closed: a still room and a system that stood under pressure for
/// long before the supply was shut must not look like an open supply.
pub(crate) const FOR_SUPPLY: Sizes = Sizes {
    with_thermometer: &[(0.1, 0.3), (0.6, 0.3), (2.5, 0.3), (6.0, 0.1)],
    without: &[(0.05, 0.25), (0.2, 0.25), (0.6, 0.25), (1.5, 0.25)],
    filling: &[(0.01, 0.4), (0.15, 0.3), (1.0, 0.3)],
};

/// Whether it is closed from a later moment on: the same, coarser.
pub(crate) const FOR_LATE: Sizes = Sizes {
    with_thermometer: &[(0.3, 0.5), (2.5, 0.5)],
    without: &[(0.1, 0.5), (0.8, 0.5)],
    filling: &[(0.03, 0.5), (0.5, 0.5)],
};

/// What is added up to the covariance of a closed system.
pub(crate) struct Closed {
    /// Noise and steps of the gauge, barometer, drift, thermometer.
    base: Symmetric,
    /// Heat of filling, at its full size.
    filling: Symmetric,
    /// The wander that nothing measures, at its full size.
    unseen: Symmetric,
}

/// Whether the steps of the gauge count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Steps {
    Count,
    AsIfNone,
}

impl Closed {
    /// For a stretch; `kelvin` where a thermometer is believed.
    pub(crate) fn of(
        series: &Series,
        kelvin: Option<&Kelvin>,
        middle_k: f64,
        zero: GaugeZero,
        steps: Steps,
    ) -> Self {
        let (t, n) = (&series.time_s, series.len());
        let middle_pa = mean(&series.pressure_pa);

        let mut base = Symmetric::zeros(n);
        let own: Vec<f64> = (0..n)
            .map(|i| {
                let step = match steps {
                    Steps::Count => 0.0,
                    Steps::AsIfNone => series.step_variance_pa2[i],
                };
                (series.variance_pa2[i] - step) / series.pressure_pa[i].powi(2) + 1e-16
            })
            .collect();
        base.add_own(&own);
        let hours = |i: usize, j: usize| t[i].min(t[j]) / 3600.0;
        let barometer_pa = match zero {
            GaugeZero::BarometerGiven | GaugeZero::BarometerUnknown => BAROMETER_PA,
            GaugeZero::Absolute | GaugeZero::BarometerRecorded => 0.0,
        };
        let drift = GAUGE_DRIFT.powi(2) + (barometer_pa / middle_pa).powi(2);
        base.add(|i, j| drift * hours(i, j));

        let mut filling = Symmetric::zeros(n);
        for (taus, size_k) in [
            (&FILLING_GAS.0[..], FILLING_GAS.1),
            (&FILLING_WALLS.0[..], FILLING_WALLS.1),
        ] {
            for tau in taus {
                let column: Vec<f64> = t.iter().map(|t| (-t / tau).exp()).collect();
                filling.add_shared(&column, (size_k / middle_k).powi(2));
            }
        }

        let mut unseen = Symmetric::zeros(n);
        if let Some(kelvin) = kelvin {
            let shown: Vec<f64> = kelvin.mean.iter().map(|k| k.ln()).collect();
            let middle = mean(&shown);
            let from_middle: Vec<f64> = shown.iter().map(|k| k - middle).collect();
            base.add_shared(&from_middle, PLACE.powi(2));
            for tau in LAG.0 {
                base.add_shared(&behind(&shown, t, tau), LAG.1.powi(2));
            }
            base.add_scaled(&kelvin.covariance, middle_k.powi(-2));
            add_wander(&mut unseen, &UNSEEN, t, middle_k);
        } else {
            add_wander(&mut unseen, &ROOM, t, middle_k);
        }
        Self {
            base,
            filling,
            unseen,
        }
    }

    /// What the heat of filling is expected to be in each bin, where `solved` is the
    /// covariance of this size solved for what the leak does not explain.
    pub(crate) fn filling_in(&self, solved: &[f64], size: f64) -> Vec<f64> {
        (0..solved.len())
            .map(|i| {
                let row = self.filling.row(i);
                let sum: f64 = row.iter().zip(solved).map(|(f, s)| f * s).sum();
                size * size * sum
            })
            .collect()
    }

    /// The covariance with these sizes of filling and of the unseen wander.
    pub(crate) fn covariance(&self, filling: f64, unseen: f64) -> Symmetric {
        let mut sum = self.base.clone();
        sum.add_scaled(&self.filling, filling * filling);
        sum.add_scaled(&self.unseen, unseen * unseen);
        sum
    }
}

/// What a body that follows `shown` with the time constant `tau` s is behind it.
fn behind(shown: &[f64], time_s: &[f64], tau: f64) -> Vec<f64> {
    let mut slow = shown[0];
    let mut column = Vec::with_capacity(shown.len());
    for i in 0..shown.len() {
        if i > 0 {
            let share = 1.0 - (-(time_s[i] - time_s[i - 1]) / tau).exp();
            slow += share * (0.5 * (shown[i] + shown[i - 1]) - slow);
        }
        column.push(shown[i] - slow);
    }
    column
}
