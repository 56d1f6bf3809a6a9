//! The shape of `job.toml`.
//!
//! These structs carry serde and nothing else, so that the vocabulary can
//! change without breaking files twenty years old.

use std::{collections::BTreeMap, path::Path};

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use vacuum::{
    AccessSides, GaugeIdentity, GaugePrinciple, Job, PressureUnit, SheetChoices, temperature,
};

use super::{
    companion::Companion,
    contents::RunHeader,
    criteria::WireCriteria,
    scale::{ScaleUsed, WireScale},
    sheet::WireSheet,
    test::WireTest,
    text::{Celsius, Text, Unknown, text, wire_text},
};
use crate::error::{Problem, RecordError};

/// Version of the folder's format, raised when an old reader would misread it.
/// Readers of 1 knew nothing of parts that continue a trace.
const FORMAT: u32 = 2;

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct WireRun {
    #[serde(skip_serializing_if = "Option::is_none")]
    format: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    software: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    started: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    dialect: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    assumed_unit: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    port: Option<String>,
    job: WireJob,
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge: Option<WireGauge>,
    /// In job files only: a run names it under `beside`.
    #[serde(skip_serializing)]
    pump_gauge: Option<WireGauge>,
    #[serde(skip_serializing_if = "Option::is_none")]
    test: Option<WireTest>,
    #[serde(skip_serializing_if = "Option::is_none")]
    criteria: Option<WireCriteria>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sheet: Option<WireSheet>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    beside: Vec<WireBeside>,
    #[serde(skip_serializing_if = "Option::is_none")]
    scale: Option<WireScale>,
    #[serde(flatten, skip_serializing)]
    unknown: Unknown,
}

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
struct WireBeside {
    name: Text,
    place: Text,
    #[serde(skip_serializing_if = "Option::is_none")]
    dialect: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    port: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge: Option<WireGauge>,
}

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
struct WireJob {
    id: Text,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    invented: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    appliance: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    model: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    serial: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    refrigerant: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    charge_g: Option<f64>,
    /// In job files only, with its unit: a run has it in g.
    #[serde(skip_serializing)]
    charge: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    oil: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    volume_l: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ambient_c: Option<Celsius>,
    #[serde(skip_serializing_if = "Option::is_none")]
    coldest_part_c: Option<Celsius>,
    /// In job files only, with its unit: a run has it in °C.
    #[serde(skip_serializing)]
    ambient: Option<Text>,
    #[serde(skip_serializing)]
    coldest_part: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    access_sides: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge_open_to_system: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    repair: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    customer: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    site: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    claim: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    work_order: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    parts_fitted: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    compressor_serial_old: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    compressor_serial_new: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    leak_location: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    photo: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    recovered_g: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    charged_g: Option<f64>,
    /// In job files only, with their units: a run has them in g.
    #[serde(skip_serializing)]
    recovered: Option<Text>,
    #[serde(skip_serializing)]
    charged: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    technician: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    licence: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shop: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pump: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hose: Option<Text>,
    #[serde(flatten, skip_serializing)]
    unknown: Unknown,
}

#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default)]
struct WireGauge {
    #[serde(skip_serializing_if = "Option::is_none")]
    description: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    serial: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    principle: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    calibrated_on: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    calibration_due: Option<Text>,
    #[serde(flatten, skip_serializing)]
    unknown: Unknown,
}

impl WireRun {
    pub(super) fn unknown_keys(&self) -> Vec<String> {
        let mut keys: Vec<String> = self.unknown.keys().cloned().collect();
        let tables = [
            ("job", Some(&self.job.unknown)),
            ("gauge", self.gauge.as_ref().map(|g| &g.unknown)),
            ("pump_gauge", self.pump_gauge.as_ref().map(|g| &g.unknown)),
            ("test", self.test.as_ref().map(|t| &t.unknown)),
            ("criteria", self.criteria.as_ref().map(|c| &c.unknown)),
            ("sheet", self.sheet.as_ref().map(|s| &s.unknown)),
        ];
        for (table, unknown) in tables {
            for key in unknown.into_iter().flat_map(BTreeMap::keys) {
                keys.push(format!("{table}.{key}"));
            }
        }
        keys
    }

    /// The second gauge of a job file.
    pub(super) fn pump_gauge(&self) -> GaugeIdentity {
        self.pump_gauge.clone().unwrap_or_default().into()
    }

    /// True when times are to be printed in the zone of the computer that records.
    pub(super) fn zone_is_local(&self) -> bool {
        self.sheet.as_ref().is_some_and(WireSheet::zone_is_local)
    }

    /// Refuses words of `[sheet]` that mean nothing. A record is not refused for
    /// them: a later version may have written it.
    pub(super) fn check_sheet(&self, path: &Path) -> Result<(), RecordError> {
        let mut first = None;
        let sheet = self.sheet.clone().unwrap_or_default();
        let _ = sheet.choices(|problem| {
            first.get_or_insert(problem);
        });
        first.map_or(Ok(()), |problem| Err(RecordError::new(path, problem)))
    }

    pub(super) fn into_header(self, path: &Path) -> Result<RunHeader, RecordError> {
        if let Some(found) = self.format.filter(|found| *found > FORMAT) {
            let known = FORMAT;
            return Err(RecordError::new(path, Problem::Newer { found, known }));
        }
        let gauge = self.gauge.unwrap_or_default();
        let started = text(self.started)
            .and_then(|t| DateTime::parse_from_rfc3339(&t).ok())
            .map(|t| t.with_timezone(&Utc));
        let sheet = self.sheet.unwrap_or_default().choices(|_| {});
        Ok(RunHeader {
            job: self.job.into_job(path, gauge, sheet)?,
            test: self.test.unwrap_or_default().into_plan(path)?,
            criteria: self.criteria.map(|c| c.into_criteria(path)).transpose()?,
            dialect: self.dialect,
            // a word of a later version is no reason not to read the record
            assumed_unit: text(self.assumed_unit).and_then(|t| PressureUnit::from_name(&t)),
            port: self.port,
            software: self.software.unwrap_or_default(),
            started,
            beside: self.beside.into_iter().map(Companion::from).collect(),
            scale: self.scale.map(ScaleUsed::from),
        })
    }
}

/// Just below the lowest temperature of a job, °C: −60 itself is accepted.
const COLDEST_C: f64 = (-60.0_f64).next_down();

impl WireJob {
    fn into_job(
        self,
        path: &Path,
        gauge: WireGauge,
        sheet: SheetChoices,
    ) -> Result<Job, RecordError> {
        let wrong = |key, value: String, wanted| {
            RecordError::new(path, Problem::JobValue { key, value, wanted })
        };
        let within = |key, value: Option<f64>, low: f64, high: f64, wanted| match value {
            Some(x) if !(x > low && x <= high) => Err(wrong(key, x.to_string(), wanted)),
            other => Ok(other),
        };
        let grams =
            |(key, key_g), with_unit: Option<Text>, in_g, wanted| -> Result<_, RecordError> {
                let in_g = within(key_g, in_g, 0.0, 1e6, wanted)?;
                let Some(typed) = text(with_unit) else {
                    return Ok(in_g);
                };
                let twice = "it is given in g too: leave one of them out";
                let read = vacuum::mass::charge_g(&typed).map_err(|e| e.wanted());
                let read = if in_g.is_some() { Err(twice) } else { read };
                Ok(Some(read.map_err(|wanted| {
                    wrong(key, format!("\"{typed}\""), wanted)
                })?))
            };
        let charge_g = grams(
            ("charge", "charge_g"),
            self.charge,
            self.charge_g,
            "it is the nameplate charge in g, above 0",
        )?;
        let recovered_g = grams(
            ("recovered", "recovered_g"),
            self.recovered,
            self.recovered_g,
            "it is the refrigerant recovered in g, above 0",
        )?;
        let charged_g = grams(
            ("charged", "charged_g"),
            self.charged,
            self.charged_g,
            "it is the refrigerant charged in g, above 0",
        )?;
        let volume_l = within(
            "volume_l",
            self.volume_l,
            0.0,
            1e5,
            "it is the internal volume in L, above 0",
        )?;
        let celsius = |(key, key_c), with_unit, in_c: Option<Celsius>, wanted| {
            let typed = match (text(with_unit), in_c) {
                (None, in_c) => in_c.map(|c| (c.0, key_c)),
                (Some(both), Some(_)) => {
                    let wanted = "it is given twice, with its unit and in °C: leave one out";
                    return Err(wrong(key, format!("\"{both}\""), wanted));
                }
                (Some(typed), None) => {
                    let read = temperature::read(&typed).filter(|t| t.unit_said);
                    let wanted = "say the unit behind the number: \"21 C\" or \"70 F\"";
                    let read = read.ok_or_else(|| wrong(key, format!("\"{typed}\""), wanted))?;
                    Some((read.celsius, key))
                }
            };
            let key = typed.map_or(key_c, |(_, key)| key);
            within(key, typed.map(|(c, _)| c), COLDEST_C, 60.0, wanted)
        };
        let ambient_c = celsius(
            ("ambient", "ambient_c"),
            self.ambient,
            self.ambient_c,
            "it is the room temperature, -60 to 60 °C; write \"70 F\" if it is in °F",
        )?;
        let coldest_part_c = celsius(
            ("coldest_part", "coldest_part_c"),
            self.coldest_part,
            self.coldest_part_c,
            "it is the temperature of the coldest part of the system, -60 to 60 °C; write \
             \"-13 F\" if it is in °F",
        )?;
        let access_sides = match text(self.access_sides) {
            None => None,
            Some(word) => match word.trim().to_ascii_lowercase().as_str() {
                "one" | "1" => Some(AccessSides::One),
                "both" | "two" | "2" => Some(AccessSides::Both),
                _ => return Err(wrong("access_sides", word, "write \"one\" or \"both\"")),
            },
        };
        Ok(Job {
            id: self.id.0,
            invented: self.invented,
            appliance: text(self.appliance),
            model: text(self.model),
            serial: text(self.serial),
            refrigerant: text(self.refrigerant),
            charge_g,
            oil: text(self.oil),
            volume_l,
            ambient_c,
            coldest_part_c,
            access_sides,
            gauge_open_to_system: self.gauge_open_to_system,
            repair: text(self.repair),
            customer: text(self.customer),
            site: text(self.site),
            claim: text(self.claim),
            work_order: text(self.work_order),
            parts_fitted: text(self.parts_fitted),
            compressor_serial_old: text(self.compressor_serial_old),
            compressor_serial_new: text(self.compressor_serial_new),
            leak_location: text(self.leak_location),
            photo: text(self.photo),
            recovered_g,
            charged_g,
            technician: text(self.technician),
            licence: text(self.licence),
            shop: text(self.shop),
            pump: text(self.pump),
            hose: text(self.hose),
            gauge: gauge.into(),
            sheet,
        })
    }
}

impl From<WireBeside> for Companion {
    fn from(wire: WireBeside) -> Self {
        Self {
            name: wire.name.0,
            place: wire.place.0,
            dialect: wire.dialect,
            port: wire.port,
            gauge: wire.gauge.unwrap_or_default().into(),
        }
    }
}

impl From<&Companion> for WireBeside {
    fn from(companion: &Companion) -> Self {
        Self {
            name: Text(companion.name.clone()),
            place: Text(companion.place.clone()),
            dialect: companion.dialect.clone(),
            port: companion.port.clone(),
            gauge: WireGauge::of(&companion.gauge),
        }
    }
}

impl WireGauge {
    /// `None` when nothing is known.
    fn of(gauge: &GaugeIdentity) -> Option<Self> {
        (*gauge != GaugeIdentity::default()).then(|| Self {
            description: wire_text(gauge.description.as_ref()),
            serial: wire_text(gauge.serial.as_ref()),
            principle: gauge.principle.map(|p| Text(p.word().into())),
            calibrated_on: wire_text(gauge.calibrated_on.as_ref()),
            calibration_due: wire_text(gauge.calibration_due.as_ref()),
            unknown: Unknown::new(),
        })
    }
}

impl From<WireGauge> for GaugeIdentity {
    fn from(gauge: WireGauge) -> Self {
        Self {
            description: text(gauge.description),
            serial: text(gauge.serial),
            // a word of a later version says nothing here
            principle: text(gauge.principle).and_then(|word| GaugePrinciple::named(&word)),
            calibrated_on: text(gauge.calibrated_on),
            calibration_due: text(gauge.calibration_due),
        }
    }
}

impl From<&RunHeader> for WireRun {
    fn from(header: &RunHeader) -> Self {
        Self {
            format: Some(FORMAT),
            software: Some(header.software.clone()),
            started: header
                .started
                .map(|t| Text(t.to_rfc3339_opts(chrono::SecondsFormat::Millis, true))),
            dialect: header.dialect.clone(),
            assumed_unit: header.assumed_unit.map(|u| Text(u.symbol().into())),
            port: header.port.clone(),
            job: WireJob::from(&header.job),
            gauge: WireGauge::of(&header.job.gauge),
            pump_gauge: None,
            test: WireTest::of(&header.test),
            criteria: header.criteria.as_ref().map(WireCriteria::from),
            sheet: WireSheet::of(&header.job.sheet),
            beside: header.beside.iter().map(WireBeside::from).collect(),
            scale: header.scale.as_ref().map(WireScale::from),
            unknown: Unknown::new(),
        }
    }
}

impl From<&Job> for WireJob {
    fn from(job: &Job) -> Self {
        Self {
            id: Text(job.id.clone()),
            invented: job.invented,
            appliance: wire_text(job.appliance.as_ref()),
            model: wire_text(job.model.as_ref()),
            serial: wire_text(job.serial.as_ref()),
            refrigerant: wire_text(job.refrigerant.as_ref()),
            charge_g: job.charge_g,
            charge: None,
            oil: wire_text(job.oil.as_ref()),
            volume_l: job.volume_l,
            ambient_c: job.ambient_c.map(Celsius),
            coldest_part_c: job.coldest_part_c.map(Celsius),
            ambient: None,
            coldest_part: None,
            access_sides: job.access_sides.map(|sides| {
                Text(
                    match sides {
                        AccessSides::One => "one",
                        AccessSides::Both => "both",
                    }
                    .into(),
                )
            }),
            gauge_open_to_system: job.gauge_open_to_system,
            repair: wire_text(job.repair.as_ref()),
            customer: wire_text(job.customer.as_ref()),
            site: wire_text(job.site.as_ref()),
            claim: wire_text(job.claim.as_ref()),
            work_order: wire_text(job.work_order.as_ref()),
            parts_fitted: wire_text(job.parts_fitted.as_ref()),
            compressor_serial_old: wire_text(job.compressor_serial_old.as_ref()),
            compressor_serial_new: wire_text(job.compressor_serial_new.as_ref()),
            leak_location: wire_text(job.leak_location.as_ref()),
            photo: wire_text(job.photo.as_ref()),
            recovered_g: job.recovered_g,
            charged_g: job.charged_g,
            recovered: None,
            charged: None,
            technician: wire_text(job.technician.as_ref()),
            licence: wire_text(job.licence.as_ref()),
            shop: wire_text(job.shop.as_ref()),
            pump: wire_text(job.pump.as_ref()),
            hose: wire_text(job.hose.as_ref()),
            unknown: Unknown::new(),
        }
    }
}
