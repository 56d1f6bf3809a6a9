//! Gauges whose calibration had run out when they measured.

use analyser::{Finding, Statement};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use run_record::RunHeader;
use vacuum::GaugeIdentity;

/// In the westernmost zone the day ends so long after it does in UTC, h.
const LATEST_ZONE_H: i64 = 12;

/// What is to be said of the gauges of a run whose calibration was due before it began.
/// A day that is no day of ISO 8601 says nothing, nor does a run without a start.
pub fn overdue(header: &RunHeader) -> Vec<Finding> {
    let Some(started) = header.started else {
        return Vec::new();
    };
    let judged = (None, &header.job.gauge);
    let beside = header.beside.iter().map(|c| (Some(&c.place), &c.gauge));
    let all = std::iter::once(judged).chain(beside);
    all.filter_map(|(place, gauge)| {
        let (due, days) = overdue_by(gauge, started)?;
        Some(Finding {
            at_s: None,
            statement: Statement::CalibrationOverdue {
                place: place.cloned(),
                due,
                days,
            },
        })
    })
    .collect()
}

/// The day and how many days ago it was, wherever on Earth the gauge stood.
fn overdue_by(gauge: &GaugeIdentity, started: DateTime<Utc>) -> Option<(String, u32)> {
    let typed = gauge.calibration_due.as_deref()?.trim();
    let due = NaiveDate::parse_from_str(typed, "%Y-%m-%d").ok()?;
    let earliest = (started - TimeDelta::hours(LATEST_ZONE_H)).date_naive();
    let days = u32::try_from((earliest - due).num_days()).ok()?;
    (days > 0).then(|| (due.to_string(), days))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(due: &str, started: &str) -> Option<(String, u32)> {
        let gauge = GaugeIdentity {
            calibration_due: Some(due.into()),
            ..GaugeIdentity::default()
        };
        overdue_by(&gauge, started.parse().unwrap())
    }

    #[test]
    fn a_gauge_is_overdue_once_its_last_day_is_over_everywhere() {
        let due = |due| said(due, "2026-03-14T09:15:00Z");
        assert_eq!(due("2026-03-12"), Some(("2026-03-12".into(), 1)));
        assert_eq!(due("2025-11-01"), Some(("2025-11-01".into(), 132)));
        for fine in ["2026-03-13", "2026-03-14", "2027-01-20", "next spring", ""] {
            assert_eq!(due(fine), None, "{fine}");
        }
        // far in the west it is still the 13th
        assert_eq!(said("2026-03-13", "2026-03-14T11:59:00Z"), None);
        assert!(said("2026-03-13", "2026-03-15T12:01:00Z").is_some());
    }
}
