//! Gases, nodes and the lines between them.

use vacuum::{flow::Tube, gas::AIR_VISCOSITY_PA_S};

/// Number of gases followed.
pub const GASES: usize = 3;
/// Air (also nitrogen and the air that leaks in).
pub(crate) const AIR: usize = 0;
/// Water vapour.
pub(crate) const WATER: usize = 1;
/// Refrigerant vapour.
pub(crate) const REFRIGERANT: usize = 2;

/// Number of gas nodes.
pub(crate) const NODES: usize = 4;
/// High side: condenser and drier.
pub const HIGH: usize = 0;
/// Low side: evaporator and compressor shell with its oil.
pub const LOW: usize = 1;
/// Manifold with the gauge.
pub const MANIFOLD: usize = 2;
/// Pump inlet.
pub(crate) const INLET: usize = 3;

/// Temperature at which amounts of gas are counted in Pa·L, K (20 °C).
pub(crate) const REFERENCE_K: f64 = 293.15;

/// What the flow laws need to know of each gas.
#[derive(Debug, Clone, Copy)]
pub(crate) struct GasData {
    /// Molar mass, g/mol.
    pub(crate) molar_mass: [f64; GASES],
}

/// Viscosities at 20 °C, µPa·s: water vapour 9.7, a typical refrigerant 8
/// (both from memory); air as in [`vacuum::flow`].
const VISCOSITY: [f64; GASES] = [AIR_VISCOSITY_PA_S, 9.7e-6, 8.0e-6];

impl GasData {
    /// Air, water and a refrigerant of the given molar mass.
    pub(crate) fn with_refrigerant(molar_mass_g_per_mol: f64) -> Self {
        Self {
            molar_mass: [
                vacuum::gas::AIR_G_PER_MOL,
                vacuum::water::MOLAR_MASS_G_PER_MOL,
                molar_mass_g_per_mol,
            ],
        }
    }

    /// √(M_air/M): how much faster than air a gas moves in molecular flow.
    pub(crate) fn lightness(&self, gas: usize) -> f64 {
        (self.molar_mass[AIR] / self.molar_mass[gas]).sqrt()
    }
}

/// A hose, tube or capillary with an optional service-valve core in it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    /// The tube.
    pub(crate) tube: Tube,
    /// Free bore of the valve core, mm, when one is left in.
    pub(crate) core_mm: Option<f64>,
}

/// Conductance at one moment, L/s: what drifts with the bulk, and what each gas
/// does on its own.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Conductance {
    pub(crate) bulk: f64,
    pub(crate) molecular: f64,
}

impl Line {
    /// Conductance for a gas of the given composition at a mean pressure.
    ///
    /// The Knudsen sum of [`Tube::conductance_l_per_s`], with the laminar part
    /// scaled by viscosity. The part that falls with the mean free path moves
    /// each gas down its own gradient, the rest moves the mixture.
    pub(crate) fn conductance(&self, mean_pa: f64, fractions: &[f64; GASES]) -> Conductance {
        let viscosity: f64 = fractions.iter().zip(VISCOSITY).map(|(x, v)| x * v).sum();
        let thin = AIR_VISCOSITY_PA_S / viscosity.max(1e-6);
        let laminar = self.tube.laminar_l_per_s(mean_pa);
        let slip = self.tube.conductance_l_per_s(mean_pa) - laminar;
        // d·p in cm·mbar, as in Knudsen's formula
        let dp = self.tube.diameter_mm * 0.1 * mean_pa * 0.01;
        let free = self.tube.molecular_l_per_s() / (1.0 + 237.0 * dp);
        let tube = laminar * thin + slip;
        let series = match self.core_mm {
            None => tube,
            Some(bore) => 1.0 / (1.0 / tube + 1.0 / core_l_per_s(bore, mean_pa)),
        };
        let share = (free / tube).min(1.0);
        Conductance {
            bulk: series * (1.0 - share),
            molecular: series * share,
        }
    }
}

/// Conductance of a small opening, L/s: 11.6 L/s per cm² in molecular flow,
/// 20 L/s per cm² when choked (textbook values for air at 20 °C, from memory),
/// blended where the mean free path is near the bore.
fn core_l_per_s(bore_mm: f64, mean_pa: f64) -> f64 {
    let area_cm2 = std::f64::consts::PI * (bore_mm * 0.1).powi(2) / 4.0;
    // mean free path of air: 6.7 mm·Pa
    let knudsen = 6.7 / (mean_pa.max(1e-3) * bore_mm);
    area_cm2 * (11.6 + (20.0 - 11.6) / (1.0 + 3.0 * knudsen))
}

/// Two nodes joined by a line through a valve.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Link {
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) line: Line,
    /// 0 shut, 1 open.
    pub(crate) opening: f64,
}
