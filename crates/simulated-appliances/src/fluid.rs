//! Refrigerants between the rows of the table.

use crate::tables::{FROM_C, STEP_K, TABLES, Table};

/// Along the saturation line at one temperature.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Saturation {
    pub(crate) kpa: f64,
    pub(crate) liquid_kg_m3: f64,
    pub(crate) vapour_kg_m3: f64,
    pub(crate) liquid_kj_kg: f64,
    pub(crate) vapour_kj_kg: f64,
    pub(crate) liquid_kj_kg_k: f64,
    pub(crate) vapour_kj_kg_k: f64,
}

/// The refrigerants of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fluid {
    R600a,
    R290,
    R134a,
}

impl Fluid {
    fn table(self) -> &'static Table {
        match self {
            Self::R600a => &TABLES[0],
            Self::R290 => &TABLES[1],
            Self::R134a => &TABLES[2],
        }
    }

    pub(crate) fn name(self) -> &'static str {
        self.table().name
    }

    /// Straight between two rows; pressure and density of the vapour in the logarithm.
    pub(crate) fn at(self, c: f64) -> Saturation {
        let rows = self.table().rows;
        let place = ((c - FROM_C) / STEP_K).clamp(0.0, (rows.len() - 1) as f64 - 1e-9);
        let (row, share) = (place as usize, place.fract());
        let (a, b) = (&rows[row], &rows[row + 1]);
        let straight = |i: usize| a[i] + share * (b[i] - a[i]);
        let bent = |i: usize| (a[i].ln() + share * (b[i].ln() - a[i].ln())).exp();
        Saturation {
            kpa: bent(0),
            liquid_kg_m3: straight(1),
            vapour_kg_m3: bent(2),
            liquid_kj_kg: straight(3),
            vapour_kj_kg: straight(4),
            liquid_kj_kg_k: straight(5),
            vapour_kj_kg_k: straight(6),
        }
    }
}
