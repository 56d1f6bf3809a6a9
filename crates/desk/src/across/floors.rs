//! A gauge that always ends at the same lowest pressure: systems differ, so it shows its own
//! floor, or somebody else's readings.

use std::collections::BTreeMap;

use super::is_same_record;
use crate::{
    flag::{Flag, FlagCode},
    row::Row,
};

/// So many records of different jobs at least (common practice, no source).
const LEAST_RECORDS: usize = 6;
/// So much of all its records (common practice, no source).
const LEAST_SHARE: f64 = 0.75;
/// Their lowest pressures lie within this share of the middle one …
const WITHIN_SHARE: f64 = 0.01;
/// … or within so many micron.
const WITHIN_MICRON: f64 = 1.0;

pub(super) fn find(rows: &[Row]) -> Vec<(usize, Flag)> {
    let mut of_gauge: BTreeMap<String, Vec<(usize, f64)>> = BTreeMap::new();
    for (place, row) in rows.iter().enumerate() {
        let gauge = row.gauge.as_deref().map(|g| g.trim().to_lowercase());
        let lowest = row.lowest_micron.filter(|p| p.is_finite());
        if let (Some(gauge), Some(lowest)) = (gauge, lowest) {
            of_gauge.entry(gauge).or_default().push((place, lowest));
        }
    }
    let mut found = Vec::new();
    for all in of_gauge.values_mut() {
        all.sort_by(|a, b| a.1.total_cmp(&b.1));
        let Some((_, floor)) = all.get(all.len() / 2).copied() else {
            continue;
        };
        let within = WITHIN_MICRON.max(WITHIN_SHARE * floor);
        let alike: Vec<(usize, f64)> = all
            .iter()
            .filter(|(_, lowest)| (lowest - floor).abs() <= within)
            .copied()
            .collect();
        let mut jobs: Vec<&Row> = Vec::new();
        for row in alike.iter().filter_map(|(place, _)| rows.get(*place)) {
            let is_known = |other: &&Row| is_same_record(row, other) || row.job == other.job;
            if jobs.len() < LEAST_RECORDS && !jobs.iter().any(is_known) {
                jobs.push(row);
            }
        }
        if jobs.len() < LEAST_RECORDS || (alike.len() as f64) < LEAST_SHARE * all.len() as f64 {
            continue;
        }
        for (place, lowest) in &alike {
            let gauge = rows.get(*place).and_then(|row| row.gauge.as_deref());
            let flag = Flag {
                code: FlagCode::SameFloorAlways,
                words: format!(
                    "{} of {} records of this gauge ({}) end at the same lowest pressure, \
                     {lowest:.0} micron: it may show its own floor and not the system.",
                    alike.len(),
                    all.len(),
                    gauge.unwrap_or_default()
                ),
                with: Vec::new(),
            };
            found.push((*place, flag));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::row::RowKind;

    fn flagged(lowest: &[f64]) -> usize {
        let row = |(i, lowest): (usize, &f64)| Row {
            gauge: Some("gauge, no. 7".into()),
            lowest_micron: Some(*lowest),
            job: Some(format!("J{i}")),
            ..Row::new(format!("r{i}"), RowKind::Run)
        };
        find(&lowest.iter().enumerate().map(row).collect::<Vec<_>>()).len()
    }

    #[test]
    fn a_gauge_whose_records_all_end_alike_is_told() {
        assert_eq!(flagged(&[182.0; 6]), 6);
        assert_eq!(flagged(&[182.0; 5]), 0);
        assert_eq!(flagged(&[182.0, 182.0, 182.0, 182.0, 182.0, 190.0]), 0);
        assert_eq!(
            flagged(&[182.0, 182.0, 182.0, 182.0, 182.0, 182.0, 900.0]),
            6
        );
        assert_eq!(
            flagged(&[
                180.0, 181.0, 182.0, 182.0, 182.0, 182.0, 190.0, 200.0, 150.0, 110.0
            ]),
            0
        );
        assert_eq!(flagged(&[25.0, 25.5, 26.0, 25.0, 25.2, 25.8]), 6);
    }
}
