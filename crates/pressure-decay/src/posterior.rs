//! What the readings say about the loss, over everything that is not known.

use statistics::{dense::Symmetric, normal};
use vacuum::TestGas;

use crate::{
    closed::{Closed, FOR_LOSS, Sizes, Steps},
    gas_amount::{Law, ln_amount},
    series::Series,
    setup::GaugeZero,
    smooth::Kelvin,
    wander::mean,
};

/// How often a thermometer that is given shows the gas.
const THERMOMETER_BELIEVED: f64 = 0.97;
/// What losses are expected before anything is measured, where a closed system is compared
/// with another explanation: size, share of the gas in an hour, and weight. Half of the
/// systems lose nothing that shows.
const LOSSES: [(f64, f64); 5] = [
    (0.0, 0.5),
    (1e-3, 0.125),
    (1e-2, 0.125),
    (1e-1, 0.125),
    (1.0, 0.125),
];

/// One way in which the readings may have come about.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Way {
    /// Natural logarithm of its weight.
    pub(crate) ln_weight: f64,
    /// Loss, share per second.
    pub(crate) value: f64,
    /// Its standard deviation.
    pub(crate) sd: f64,
    /// Whether the thermometer is believed.
    pub(crate) thermometer: bool,
    /// Size of the heat of filling.
    pub(crate) filling: f64,
    /// Size of the unseen wander.
    pub(crate) unseen: f64,
}

/// Everything that is known about the loss: a mixture of normal distributions.
#[derive(Debug, Clone)]
pub(crate) struct Posterior {
    pub(crate) ways: Vec<Way>,
    weights: Vec<f64>,
}

/// What a stretch is looked at with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct View {
    pub(crate) gas: TestGas,
    pub(crate) zero: GaugeZero,
    /// Barometer, Pa.
    pub(crate) around_pa: f64,
    /// Temperature where none is measured, K.
    pub(crate) ambient_k: f64,
    pub(crate) steps: Steps,
}

impl View {
    /// Temperatures to reckon with: those of the thermometer, or the ambient.
    fn kelvin(&self, series: &Series) -> Vec<f64> {
        match &series.kelvin {
            Some(kelvin) => kelvin.mean.clone(),
            None => vec![self.ambient_k; series.len()],
        }
    }

    /// The thermometer believed, or not; each with its weight.
    fn thermometers<'a>(&self, series: &'a Series) -> Vec<(Option<&'a Kelvin>, f64)> {
        match &series.kelvin {
            Some(kelvin) => vec![
                (Some(kelvin), THERMOMETER_BELIEVED),
                (None, 1.0 - THERMOMETER_BELIEVED),
            ],
            None => vec![(None, 1.0)],
        }
    }

    /// The data of a way: where the thermometer is not believed, its temperatures must not
    /// be in the amount either.
    fn data(&self, series: &Series, kelvin: Option<&Kelvin>) -> Vec<f64> {
        let constant;
        let kelvin = match kelvin {
            Some(kelvin) => &kelvin.mean,
            None => {
                let shown = self.kelvin(series);
                let middle = mean(&shown);
                constant = vec![middle; series.len()];
                &constant
            }
        };
        ln_amount(self.gas, &series.pressure_pa, kelvin)
    }

    /// The loss, from all ways; `None` when the stretch gives nothing.
    pub(crate) fn posterior(&self, series: &Series) -> Option<Posterior> {
        self.posterior_of(series, &FOR_LOSS)
    }

    fn posterior_of(&self, series: &Series, sizes: &Sizes) -> Option<Posterior> {
        let mut ways = Vec::new();
        let columns = Law::BOTH.map(|law| law.column(series, self.around_pa));
        for (kelvin, belief) in self.thermometers(series) {
            let data = self.data(series, kelvin);
            let closed = self.closed(series, kelvin);
            let wanders = match kelvin {
                Some(_) => sizes.with_thermometer,
                None => sizes.without,
            };
            for (unseen, unseen_weight) in wanders {
                for (filling, filling_weight) in sizes.filling {
                    let Some(factor) = closed.covariance(*filling, *unseen).factor() else {
                        continue;
                    };
                    for column in &columns {
                        let Some(slope) = factor.slope(&data, column) else {
                            continue;
                        };
                        let weight = belief * unseen_weight * filling_weight;
                        ways.push(Way {
                            ln_weight: slope.ln_evidence + weight.ln(),
                            value: slope.value,
                            sd: slope.sd,
                            thermometer: kelvin.is_some(),
                            filling: *filling,
                            unseen: *unseen,
                        });
                    }
                }
            }
        }
        Posterior::of(ways)
    }

    /// ln of the probability of the pressures in a closed system, whatever it loses; only
    /// for comparison with that of an open supply on the same bins.
    pub(crate) fn ln_evidence_closed(&self, series: &Series, sizes: &Sizes) -> Option<f64> {
        self.posterior_of(series, sizes).map(|p| p.ln_evidence())
    }

    /// What the heat of filling adds to the logarithm of the amount in each bin, in the
    /// likeliest way in which the readings may have come about.
    pub(crate) fn heat_of_filling(&self, series: &Series, way: &Way) -> Option<Vec<f64>> {
        let kelvin = series.kelvin.as_ref().filter(|_| way.thermometer);
        let data = self.data(series, kelvin);
        let closed = self.closed(series, kelvin);
        let factor = closed.covariance(way.filling, way.unseen).factor()?;
        let column = Law::Laminar.column(series, self.around_pa);
        let left: Vec<f64> = data
            .iter()
            .zip(&column)
            .map(|(y, x)| y - way.value * x)
            .collect();
        let ones = vec![1.0; series.len()];
        let (solved, of_ones) = (factor.solve(&left), factor.solve(&ones));
        let level = solved.iter().sum::<f64>() / of_ones.iter().sum::<f64>();
        let solved: Vec<f64> = solved
            .iter()
            .zip(&of_ones)
            .map(|(s, one)| s - level * one)
            .collect();
        Some(closed.filling_in(&solved, way.filling))
    }

    /// The standard deviation of the loss if the test had been `times` as long, or, with
    /// `thermometer`, if one had stood beside it: share per second.
    pub(crate) fn sd_at(&self, series: &Series, times: f64, way: &Way) -> Option<f64> {
        let longer = Series {
            time_s: series.time_s.iter().map(|t| t * times).collect(),
            variance_pa2: less(&series.variance_pa2, times),
            step_variance_pa2: less(&series.step_variance_pa2, times),
            ..series.clone()
        };
        let still;
        let kelvin = match (&series.kelvin, way.thermometer) {
            (Some(kelvin), true) => Some(kelvin),
            (None, true) => {
                still = Kelvin {
                    mean: vec![self.ambient_k; series.len()],
                    covariance: Symmetric::zeros(series.len()),
                };
                Some(&still)
            }
            (_, false) => None,
        };
        let factor = self
            .closed(&longer, kelvin)
            .covariance(way.filling, way.unseen)
            .factor()?;
        let column = Law::Laminar.column(&longer, self.around_pa);
        let data = vec![0.0; series.len()];
        factor.slope(&data, &column).map(|slope| slope.sd)
    }

    fn closed(&self, series: &Series, kelvin: Option<&Kelvin>) -> Closed {
        let middle_k = mean(&self.kelvin(series));
        Closed::of(series, kelvin, middle_k, self.zero, self.steps)
    }
}

/// Variances of means of `times` as many readings; those of a step are no smaller than a
/// step allows, which the caller's bins already say.
fn less(variance: &[f64], times: f64) -> Vec<f64> {
    variance.iter().map(|v| v / times).collect()
}

impl Posterior {
    fn of(ways: Vec<Way>) -> Option<Self> {
        let most = ways
            .iter()
            .map(|w| w.ln_weight)
            .fold(f64::NEG_INFINITY, f64::max);
        if !most.is_finite() {
            return None;
        }
        let weights: Vec<f64> = ways.iter().map(|w| (w.ln_weight - most).exp()).collect();
        let sum: f64 = weights.iter().sum();
        Some(Self {
            weights: weights.iter().map(|w| w / sum).collect(),
            ways,
        })
    }

    /// Mean, share per second.
    pub(crate) fn mean(&self) -> f64 {
        self.over(|w| w.value)
    }

    /// The weight of ways of a kind.
    pub(crate) fn share(&self, kind: impl Fn(&Way) -> bool) -> f64 {
        self.over(|w| f64::from(u8::from(kind(w))))
    }

    /// The likeliest way of a kind.
    pub(crate) fn likeliest(&self, kind: impl Fn(&Way) -> bool) -> Option<&Way> {
        self.ways
            .iter()
            .filter(|w| kind(w))
            .max_by(|a, b| a.ln_weight.total_cmp(&b.ln_weight))
    }

    /// Standard deviation, share per second.
    pub(crate) fn sd(&self) -> f64 {
        let mean = self.mean();
        self.over(|w| w.sd * w.sd + (w.value - mean).powi(2)).sqrt()
    }

    /// The probability that the loss is below `x`.
    pub(crate) fn below(&self, x: f64) -> f64 {
        self.over(|w| normal::cdf((x - w.value) / w.sd))
    }

    /// The loss below which lies the share `q`.
    pub(crate) fn quantile(&self, q: f64) -> f64 {
        let ends = |sign: f64| self.ways.iter().map(move |w| w.value + sign * 9.0 * w.sd);
        let mut low = ends(-1.0).fold(f64::INFINITY, f64::min);
        let mut high = ends(1.0).fold(f64::NEG_INFINITY, f64::max);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if self.below(middle) < q {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// Upper end of the one-sided 95 % interval of a loss that cannot be negative: the
    /// readings are taken together with that knowledge, so that readings that happen to
    /// look like a gain do not promise more than they can.
    pub(crate) fn upper_95(&self) -> f64 {
        let lost = 1.0 - self.below(0.0);
        self.quantile(1.0 - 0.05 * lost.max(1e-6))
    }

    /// ln of the probability of the readings, the loss integrated out over [`LOSSES`].
    fn ln_evidence(&self) -> f64 {
        let proper = |way: &Way| {
            let density = |scale: f64| {
                let variance = (scale / 3600.0).powi(2) + way.sd * way.sd;
                (-0.5 * way.value * way.value / variance).exp()
                    / (variance * std::f64::consts::TAU).sqrt()
            };
            let mixed: f64 = LOSSES.iter().map(|(scale, w)| w * density(*scale)).sum();
            way.ln_weight + mixed.max(f64::MIN_POSITIVE).ln()
        };
        statistics::non_negative::ln_sum_exp(self.ways.iter().map(proper))
    }

    fn over(&self, value: impl Fn(&Way) -> f64) -> f64 {
        self.weights
            .iter()
            .zip(&self.ways)
            .map(|(weight, way)| weight * value(way))
            .sum()
    }
}
