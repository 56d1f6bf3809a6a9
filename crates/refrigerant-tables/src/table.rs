//! The table as it lies beside the sources.

use std::sync::LazyLock;

use vacuum::Refrigerant;

use crate::{error::NoTable, state::State, substance::Substance};

/// Written by `tables/make.py`.
const TEXT: &str = include_str!("../tables/saturation.csv");

/// All substances, in the order of the table.
static ALL: LazyLock<Vec<Substance>> = LazyLock::new(|| read(TEXT));

impl Substance {
    /// All substances that the table holds, single ones first.
    pub fn all() -> impl Iterator<Item = &'static Self> {
        ALL.iter()
    }

    /// Finds a substance however it is typed: "R600a", "r-600A", "600a", "isobutane".
    ///
    /// # Errors
    /// [`NoTable::Unknown`] when nobody calls a refrigerant this, [`NoTable::NoData`] when the
    /// refrigerant is not in the table.
    pub fn named(text: &str) -> Result<&'static Self, NoTable> {
        let Some(refrigerant) = Refrigerant::named(text) else {
            return Err(NoTable::Unknown {
                given: text.trim().chars().take(40).collect(),
                near: Refrigerant::near(text),
            });
        };
        let mut all = Self::all();
        all.find(|s| s.designation() == refrigerant.designation)
            .ok_or(NoTable::NoData(refrigerant))
    }
}

/// Reads the table; rows that are none are passed over (a test counts them).
fn read(text: &str) -> Vec<Substance> {
    let mut all: Vec<Substance> = Vec::new();
    for line in text.lines().skip(2) {
        let mut cells = line.split(',');
        let Some(refrigerant) = cells.next().and_then(Refrigerant::named) else {
            continue;
        };
        let mut cells = cells.peekable();
        if cells.next_if_eq(&"critical").is_some() {
            let critical_c = cells.next().and_then(|cell| cell.parse().ok());
            all.extend(critical_c.map(|c| Substance::new(refrigerant, c)));
            continue;
        }
        let numbers: Vec<f64> = cells.filter_map(|cell| cell.parse().ok()).collect();
        let substance = all
            .last_mut()
            .filter(|s| s.designation() == refrigerant.designation);
        if let (Some(substance), &[celsius, bubble_pa, dew_pa, liquid, vapour, half, at_085]) =
            (substance, numbers.as_slice())
        {
            substance.push(State {
                celsius,
                bubble_pa,
                dew_pa,
                liquid_kg_m3: liquid,
                vapour_kg_m3: vapour,
                at_half_dew_kg_m3: half,
                at_085_dew_kg_m3: at_085,
            });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read_and_in_order() {
        let rows = TEXT.lines().skip(2).count();
        let states: usize = ALL.iter().map(|s| s.states().len() + 1).sum();
        assert_eq!(states, rows);
        for substance in ALL.iter() {
            let name = substance.designation();
            assert!(substance.states().len() >= 4, "{name}");
            for pair in substance.states().windows(2) {
                let rises = |f: fn(&State) -> f64| f(&pair[0]) < f(&pair[1]);
                assert!(rises(|s| s.celsius), "{name}: {pair:?}");
                assert!(
                    rises(|s| s.bubble_pa) && rises(|s| s.dew_pa),
                    "{name}: {pair:?}"
                );
                assert!(rises(|s| s.vapour_kg_m3), "{name}: {pair:?}");
                assert!(rises(|s| -s.liquid_kg_m3), "{name}: {pair:?}");
            }
            for state in substance.states() {
                // equal for single substances, and for azeotropes as good as equal
                assert!(
                    state.dew_pa <= state.bubble_pa * 1.000_01,
                    "{name}: {state:?}"
                );
                assert!(state.vapour_kg_m3 < state.liquid_kg_m3, "{name}: {state:?}");
                assert!(
                    2.0 * state.at_half_dew_kg_m3 < state.vapour_kg_m3,
                    "{name}: {state:?}"
                );
            }
        }
    }

    #[test]
    fn what_is_no_row_is_passed_over() {
        let text = "# head\nhead\nR-290,critical,96.7\nR-290,20,1\nwater,20,1,1,1,1,1,1\n\n";
        let all = read(text);
        assert_eq!((all.len(), all[0].states().len()), (1, 0));
        assert!(all[0].saturation_at(20.0).is_err());
        assert!(all[0].dew_temperature_c(1e5).is_err());
    }

    #[test]
    fn those_without_data_are_refused_by_name() {
        let refused = |text| Substance::named(text).map(Substance::designation);
        let no_data = refused("R-408A").unwrap_err().to_string();
        assert!(
            no_data.starts_with("there are no densities and pressures of R-408A"),
            "{no_data}"
        );
        let near = refused("R-60a").unwrap_err().to_string();
        assert!(near.contains("did you mean R-600a"), "{near}");
        let long = "water ".repeat(99);
        let unknown = refused(&long).unwrap_err().to_string();
        assert!(
            unknown.contains("is not a refrigerant") && unknown.len() < 200,
            "{unknown}"
        );
        assert_eq!(refused(" r600A"), Ok("R-600a"));
    }
}
