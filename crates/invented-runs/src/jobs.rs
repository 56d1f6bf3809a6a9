//! Typed data of invented jobs.

use vacuum::{AccessSides, GaugeIdentity, Job, SheetChoices};

fn some(text: &str) -> Option<String> {
    Some(text.to_owned())
}

/// The job of an invented shop.
pub(super) fn job() -> Job {
    Job {
        id: "TR-0417".into(),
        invented: true,
        appliance: some("upright freezer"),
        model: some("Invented UF-240"),
        serial: some("INV 000 417"),
        refrigerant: some("R-600a"),
        charge_g: Some(57.0),
        oil: some("mineral, ISO VG 10"),
        volume_l: Some(2.1),
        ambient_c: Some(21.5),
        coldest_part_c: Some(19.0),
        access_sides: Some(AccessSides::Both),
        gauge_open_to_system: Some(true),
        repair: some("evaporator joint brazed, filter-drier replaced"),
        technician: some("A. Nobody"),
        licence: some("INV-55-1042"),
        shop: some("Invented Cold Works"),
        pump: some("two-stage rotary vane, 50 L/min, oil changed at 212 h"),
        hose: some("3/8 in × 1.2 m evacuation hose, cores removed"),
        gauge: GaugeIdentity {
            description: some("thermistor gauge, serial line"),
            serial: some("G-0093"),
            principle: None,
            calibrated_on: some("2026-01-20"),
            calibration_due: some("2027-01-20"),
        },
        sheet: SheetChoices::default(),
        ..Job::default()
    }
}

/// Markup, quotes, a direction override, a null.
pub(super) const NASTY: &str =
    "</svg></td><script>alert('x')</script> \"quoted\" & \u{202E}reversed \u{0}";

/// Longer than any field, with and without places to break.
pub(super) fn long() -> String {
    "Wörtchen ".repeat(60) + &"x".repeat(400)
}

/// A job typed by somebody who means harm.
pub(super) fn hostile() -> Job {
    let long = long();
    Job {
        id: NASTY.into(),
        invented: false,
        appliance: some(&long),
        model: some(NASTY),
        serial: some(&"W".repeat(300)),
        refrigerant: some("<b>R-290</b>"),
        oil: some(&long),
        volume_l: Some(f64::NAN),
        charge_g: Some(-1e300),
        repair: some(&long),
        technician: some(NASTY),
        licence: some(&long),
        shop: some(&"漢".repeat(200)),
        pump: some(&long),
        hose: some(NASTY),
        gauge: GaugeIdentity {
            description: some(&"漢".repeat(200)),
            serial: some(NASTY),
            principle: None,
            calibrated_on: some(&long),
            calibration_due: some(&long),
        },
        ..Job::default()
    }
}
