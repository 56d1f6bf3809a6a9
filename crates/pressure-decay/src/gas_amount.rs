//! What is regressed: the logarithm of the amount of gas, and the column of a leak.

use vacuum::TestGas;

use crate::series::Series;

/// ln(p/(Z·T)) of each bin, in the unit of ln(Pa/K): the amount of gas but for a constant,
/// as V/R does not change. `kelvin` for each bin.
pub(crate) fn ln_amount(gas: TestGas, pressure_pa: &[f64], kelvin: &[f64]) -> Vec<f64> {
    pressure_pa
        .iter()
        .zip(kelvin)
        .map(|(p, t)| (p / (gas.compression_factor(*p, *t) * t)).ln())
        .collect()
}

/// By which law the leak slows down as the pressure falls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Law {
    /// Q ∝ p² − p_around²
    Laminar,
    /// Q ∝ p − p_around
    Molecular,
}

impl Law {
    pub(crate) const BOTH: [Self; 2] = [Self::Laminar, Self::Molecular];

    /// The column that a loss of one share of the gas per second, at the pressure of the
    /// beginning, draws into the logarithm of the amount: falls from 0.
    ///
    /// dn/dt = −Q/(R·T) and n = p·V/(R·T), so d ln n/dt = −Q/(p·V); Q by the law.
    pub(crate) fn column(self, series: &Series, around_pa: f64) -> Vec<f64> {
        let first = series.pressure_pa[0].max(1.0001 * around_pa);
        let drive = |p: f64| {
            let p = p.max(around_pa);
            match self {
                Self::Laminar => (p - around_pa) * (p + around_pa),
                Self::Molecular => p - around_pa,
            }
        };
        let rate = |p: f64| drive(p) / drive(first) * first / p;
        let mut column = Vec::with_capacity(series.len());
        let (mut sum, mut before) = (0.0, (0.0, 1.0));
        for (t, p) in series.time_s.iter().zip(&series.pressure_pa) {
            let now = rate(*p);
            sum += 0.5 * (now + before.1) * (t - before.0);
            before = (*t, now);
            column.push(-sum);
        }
        column
    }
}
