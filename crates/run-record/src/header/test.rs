//! The table `[test]` of `job.toml`.

use std::path::Path;

use serde::{Deserialize, Serialize};
use vacuum::{AllowedLoss, TestGas, TestKind, TestPlan, TestProfile};

use super::text::{Text, Unknown, text};
use crate::error::{Problem, RecordError};

/// Pascal in a bar.
const PA_PER_BAR: f64 = 1e5;

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct WireTest {
    #[serde(skip_serializing_if = "Option::is_none")]
    kind: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    profile: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gas: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    barometer_hpa: Option<f64>,
    /// Written by the recorder: the gauge counts from the air around it.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    counts_from_air: bool,
    /// Written by the recorder: the barometer stands in the gauge's own lines.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    barometer_recorded: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    allow_g_per_year: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    allow_pa_m3_per_s: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hold_min: Option<f64>,
    /// Bar absolute.
    #[serde(skip_serializing_if = "Option::is_none")]
    test_pressure_bar: Option<f64>,
    /// Bar absolute.
    #[serde(skip_serializing_if = "Option::is_none")]
    nameplate_bar: Option<f64>,
    #[serde(flatten, skip_serializing)]
    pub(super) unknown: Unknown,
}

impl WireTest {
    pub(super) fn into_plan(self, path: &Path) -> Result<TestPlan, RecordError> {
        let wrong = |key, value: String, wanted| {
            RecordError::new(path, Problem::JobValue { key, value, wanted })
        };
        let within = |key, value: Option<f64>, low: f64, high: f64, wanted| match value {
            Some(x) if !(x >= low && x <= high) => Err(wrong(key, x.to_string(), wanted)),
            other => Ok(other),
        };
        let kind = match text(self.kind) {
            None => TestKind::Evacuation,
            Some(word) => TestKind::from_word(&word).ok_or_else(|| {
                let wanted = "write \"evacuation\", \"pressure-decay\" or \"blank-off\"";
                wrong("test.kind", format!("\"{word}\""), wanted)
            })?,
        };
        let profile = match text(self.profile) {
            None => None,
            Some(word) => Some(TestProfile::named(&word).ok_or_else(|| {
                let wanted = "write \"manual 15 min\", \"checklist 10 min\", \"journal one \
                              hour\", \"facilities 24 hours\" or \"facilities flat correction\"";
                wrong("test.profile", format!("\"{word}\""), wanted)
            })?),
        };
        let gas = match text(self.gas) {
            None => None,
            Some(word) => Some(TestGas::from_word(&word).ok_or_else(|| {
                let wanted = "write \"nitrogen\", \"argon\", \"helium\", \"forming gas\" or \
                              \"dry air\"";
                wrong("test.gas", format!("\"{word}\""), wanted)
            })?),
        };
        let above_zero = f64::MIN_POSITIVE;
        let grams = within(
            "test.allow_g_per_year",
            self.allow_g_per_year,
            above_zero,
            1e9,
            "it is the loss that is allowed, g a year, above 0",
        )?;
        let throughput = within(
            "test.allow_pa_m3_per_s",
            self.allow_pa_m3_per_s,
            above_zero,
            1e9,
            "it is the loss that is allowed, Pa·m³/s at the pressure of the test, above 0",
        )?;
        let allowed = match (grams, throughput) {
            (None, None) => None,
            (Some(g_per_year), None) => Some(AllowedLoss::Refrigerant { g_per_year }),
            (None, Some(pa_m3_per_s)) => Some(AllowedLoss::Throughput { pa_m3_per_s }),
            (Some(grams), Some(_)) => {
                let wanted = "the loss is given in Pa·m³/s too: leave one of them out";
                return Err(wrong("test.allow_g_per_year", grams.to_string(), wanted));
            }
        };
        let barometer_hpa = within(
            "test.barometer_hpa",
            self.barometer_hpa,
            500.0,
            1_100.0,
            "it is the barometer in hPa, 500 to 1100, not reduced to sea level",
        )?;
        let hold_min = within(
            "test.hold_min",
            self.hold_min,
            above_zero,
            1e5,
            "it is the shortest hold in minutes, above 0",
        )?;
        let bar = |key, value| {
            let wanted = "it is a pressure in bar absolute, above 0 and at most 1000";
            let bar = within(key, value, above_zero, 1_000.0, wanted)?;
            Ok::<_, RecordError>(bar.map(|bar| bar * PA_PER_BAR))
        };
        Ok(TestPlan {
            kind,
            profile,
            gas,
            barometer_pa: barometer_hpa.map(|hpa| hpa * 100.0),
            counts_from_air: self.counts_from_air,
            barometer_recorded: self.barometer_recorded,
            allowed,
            hold_min,
            least_pa: bar("test.test_pressure_bar", self.test_pressure_bar)?,
            highest_pa: bar("test.nameplate_bar", self.nameplate_bar)?,
        })
    }

    /// An evacuation of which nothing else is said has no table: so were all records before
    /// there was another test.
    pub(super) fn of(plan: &TestPlan) -> Option<Self> {
        if *plan == TestPlan::default() {
            return None;
        }
        let (allow_g_per_year, allow_pa_m3_per_s) = match plan.allowed {
            None => (None, None),
            Some(AllowedLoss::Refrigerant { g_per_year }) => (Some(g_per_year), None),
            Some(AllowedLoss::Throughput { pa_m3_per_s }) => (None, Some(pa_m3_per_s)),
        };
        Some(Self {
            kind: Some(Text(plan.kind.word().to_owned())),
            profile: plan.profile.map(|p| Text(p.name.to_owned())),
            gas: plan.gas.map(|gas| Text(gas.word().to_owned())),
            barometer_hpa: plan.barometer_pa.map(|pa| pa / 100.0),
            counts_from_air: plan.counts_from_air,
            barometer_recorded: plan.barometer_recorded,
            allow_g_per_year,
            allow_pa_m3_per_s,
            hold_min: plan.hold_min,
            test_pressure_bar: plan.least_pa.map(|pa| pa / PA_PER_BAR),
            nameplate_bar: plan.highest_pa.map(|pa| pa / PA_PER_BAR),
            unknown: Unknown::default(),
        })
    }
}
