//! What is wrong with an appliance.

use crate::{
    appliance::{Appliance, in_order},
    cycle::{Condition, Running},
    draw::Draw,
};

/// What is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum Truth {
    LowSideLeak,
    HighSideLeak,
    ShortCharge,
    PartialRestriction,
    TotalRestriction,
    WeakCompressor,
    Overcharge,
    AirInSystem,
    OutsideSealedSystem,
}

impl Truth {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::LowSideLeak,
        Self::HighSideLeak,
        Self::ShortCharge,
        Self::PartialRestriction,
        Self::TotalRestriction,
        Self::WeakCompressor,
        Self::Overcharge,
        Self::AirInSystem,
        Self::OutsideSealedSystem,
    ];

    /// One word for a table.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::LowSideLeak => "low_side_leak",
            Self::HighSideLeak => "high_side_leak",
            Self::ShortCharge => "short_charge",
            Self::PartialRestriction => "partial_restriction",
            Self::TotalRestriction => "total_restriction",
            Self::WeakCompressor => "weak_compressor",
            Self::Overcharge => "overcharge",
            Self::AirInSystem => "air_in_system",
            Self::OutsideSealedSystem => "outside_sealed_system",
        }
    }
}

/// What is wrong outside the sealed system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outside {
    Nothing,
    Condenser,
    EvaporatorAir,
    Load,
    NoStart,
}

/// An appliance with its fault.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Faulty {
    pub(crate) truth: Truth,
    pub(crate) outside: Outside,
    pub(crate) now: Condition,
    pub(crate) running: Running,
    /// Ice in the capillary tube, which goes when the appliance has stood.
    pub(crate) ice: bool,
}

impl Faulty {
    /// Draws how bad it is until somebody would call for repair.
    pub(crate) fn draw(
        appliance: &Appliance,
        truth: Truth,
        ambient_c: f64,
        draw: &mut Draw,
    ) -> Self {
        let good = in_order(ambient_c, appliance.nameplate_kg);
        let as_new = appliance.running(&good);
        let mut last = None;
        for _ in 0..8 {
            let faulty = Self::once(appliance, truth, good, draw);
            let bothers = faulty.running.cabinet_c > appliance.machine.set_c + 2.5
                || faulty.running.duty > as_new.duty + 0.15
                || faulty.running.power_w > 1.08 * as_new.power_w
                || faulty.running.wetted > as_new.wetted.max(1.0) + 0.08
                || faulty.truth == Truth::OutsideSealedSystem;
            last = Some(faulty);
            if bothers {
                break;
            }
        }
        last.unwrap_or_else(|| Self::once(appliance, truth, good, draw))
    }

    fn once(appliance: &Appliance, truth: Truth, good: Condition, draw: &mut Draw) -> Self {
        let mut now = good;
        let mut outside = Outside::Nothing;
        let mut ice = false;
        match truth {
            Truth::HighSideLeak | Truth::ShortCharge => now.charge_kg *= draw.range(0.4, 0.88),
            Truth::LowSideLeak => now.charge_kg *= draw.range(0.4, 0.9),
            Truth::PartialRestriction => {
                now.capillary = draw.range(0.2, 0.6);
                ice = draw.chance(0.4);
            }
            Truth::TotalRestriction => {
                now.capillary = draw.range(0.002, 0.02);
                ice = draw.chance(0.4);
            }
            Truth::WeakCompressor => now.valves = draw.range(0.25, 0.65),
            Truth::Overcharge => now.charge_kg *= draw.range(1.15, 1.6),
            Truth::AirInSystem => now.air_mol = air_mol(appliance, &now, draw.range(0.08, 0.4)),
            Truth::OutsideSealedSystem => {
                outside = draw.pick(&[
                    Outside::Nothing,
                    Outside::Condenser,
                    Outside::Condenser,
                    Outside::EvaporatorAir,
                    Outside::EvaporatorAir,
                    Outside::Load,
                    Outside::Load,
                    Outside::NoStart,
                ]);
                match outside {
                    Outside::Condenser => now.condenser = draw.range(0.3, 0.6),
                    Outside::EvaporatorAir => now.evaporator = draw.range(0.2, 0.55),
                    Outside::Load => now.load = draw.range(1.5, 2.6),
                    Outside::Nothing | Outside::NoStart => {}
                }
            }
        }
        let mut running = appliance.running(&now);
        // a low side that runs below the air outside draws it in
        if truth == Truth::LowSideLeak && running.suction_kpa < 101.3 {
            now.air_mol = air_mol(appliance, &now, draw.range(0.05, 0.35));
            running = appliance.running(&now);
        }
        Self {
            truth,
            outside,
            now,
            running,
            ice,
        }
    }
}

/// Air, mol, whose pressure in the warm condenser is a share of that of the refrigerant.
fn air_mol(appliance: &Appliance, now: &Condition, share: f64) -> f64 {
    let kpa = share * appliance.machine.fluid.at(now.ambient_c + 12.0).kpa;
    kpa * 1e3 * appliance.machine.condenser_m3 / (8.314 * (now.ambient_c + 285.0)) / 0.6
}
