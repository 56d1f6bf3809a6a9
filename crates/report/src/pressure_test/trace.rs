//! A pressure test in bounded memory, for drawing.

use layout::Trace;
use vacuum::{Entry, Sensed, TestGas, ZERO_CELSIUS_K};

/// Temperature that pressures are kept corrected to until it is known to which they are
/// drawn, K.
pub(super) const REFERENCE_K: f64 = 293.15;

/// A pressure test in bounded memory, for drawing: pressure with its marks, temperature, and
/// the pressure corrected for it, each as a [`Trace`].
///
/// ```
/// use report::TestTrace;
/// use vacuum::{Entry, Pressure, Reading, TestGas};
///
/// let mut trace = TestTrace::new(TestGas::Nitrogen);
/// let mut reading = Reading::measured(0.0, Pressure::from_pa(11e5)?);
/// reading.temperature_c = Some(22.0);
/// trace.push(&Entry::Reading(reading));
/// assert_eq!(trace.pressure().readings(), 1);
/// # Ok::<(), vacuum::PressureError>(())
/// ```
#[derive(Debug, Clone)]
pub struct TestTrace {
    gas: TestGas,
    pressure: Trace,
    /// °C.
    temperature: Trace,
    /// Pa at [`REFERENCE_K`].
    corrected: Trace,
}

impl TestTrace {
    /// An empty one of this gas.
    #[must_use]
    pub fn new(gas: TestGas) -> Self {
        Self {
            gas,
            pressure: Trace::default(),
            temperature: Trace::default(),
            corrected: Trace::default(),
        }
    }

    /// Takes in the next entry, in order of time.
    pub fn push(&mut self, entry: &Entry) {
        self.pressure.push(entry);
        let Entry::Reading(reading) = entry else {
            return;
        };
        let at_s = reading.elapsed_s;
        let celsius = reading.temperature_c.filter(|c| c.is_finite());
        let pa = match reading.sensed {
            Sensed::Measured(pressure) => Some(pressure.pa()),
            _ => None,
        };
        let corrected = celsius
            .zip(pa)
            .map(|(c, pa)| self.gas.pressure_at(pa, c + ZERO_CELSIUS_K, REFERENCE_K));
        // what was not measured breaks the line
        self.temperature
            .push_value(at_s, celsius.unwrap_or(f64::NAN));
        self.corrected
            .push_value(at_s, corrected.unwrap_or(f64::NAN));
    }

    /// The pressure with its marks.
    #[must_use]
    pub fn pressure(&self) -> &Trace {
        &self.pressure
    }

    /// The temperature, °C.
    pub(super) fn temperature(&self) -> &Trace {
        &self.temperature
    }

    /// The pressure at [`REFERENCE_K`], Pa.
    pub(super) fn corrected(&self) -> &Trace {
        &self.corrected
    }

    /// The gas.
    pub(super) fn gas(&self) -> TestGas {
        self.gas
    }
}
