//! Two gauges that ran together: do they agree within their uncertainties?

use crate::facts::Run;

/// How two gauges agreed when they ran together last.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// The judged gauge and the other.
    pub gauges: (String, String),
    /// When, s since 1970-01-01 UTC.
    pub at_s: f64,
    /// What they showed, micron.
    pub micron: (f64, f64),
    /// The number E_n: up to 1 they agree.
    pub e_n: f64,
}

impl Agreement {
    /// Whether they agree: |E_n| is 1 at most.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.e_n.abs() <= 1.0
    }

    /// The newest comparison of each two gauges.
    pub(crate) fn newest(runs: &[Run]) -> Vec<Self> {
        let mut found: Vec<Self> = Vec::new();
        for run in runs {
            for beside in &run.beside {
                let Some(judged) = run.gauge.clone() else {
                    continue;
                };
                let Some(e_n) = e_n(beside.micron, beside.expanded_micron) else {
                    continue;
                };
                let agreement = Self {
                    gauges: (judged, beside.gauge.clone()),
                    at_s: run.began_s,
                    micron: beside.micron,
                    e_n,
                };
                found.retain(|a| a.gauges != agreement.gauges || a.at_s > agreement.at_s);
                if !found.iter().any(|a| a.gauges == agreement.gauges) {
                    found.push(agreement);
                }
            }
        }
        found
    }
}

/// The number E_n of two results: their difference over the root of the sum of squares of
/// their expanded uncertainties (ISO 13528 and ISO/IEC 17043, from memory). Up to 1 in
/// magnitude the results agree. `None` without uncertainties above 0.
///
/// ```
/// use rig_history::e_n;
///
/// // 3 micron apart, 3 and 4 micron known
/// assert_eq!(e_n((50.0, 47.0), (3.0, 4.0)), Some(0.6));
/// assert_eq!(e_n((50.0, 47.0), (0.0, 0.0)), None);
/// ```
#[must_use]
pub fn e_n((a, b): (f64, f64), (expanded_a, expanded_b): (f64, f64)) -> Option<f64> {
    let both = expanded_a.hypot(expanded_b);
    let e_n = (a - b) / both;
    (both > 0.0 && e_n.is_finite()).then_some(e_n)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Beside;

    #[test]
    fn the_newest_comparison_counts() {
        let run = |began_s: f64, other: f64| Run {
            gauge: Some("G1".into()),
            beside: vec![Beside {
                gauge: "G2".into(),
                micron: (100.0, other),
                expanded_micron: (10.0, 10.0),
            }],
            ..Run::began(began_s)
        };
        for runs in [
            [run(5.0, 150.0), run(2.0, 101.0)],
            [run(2.0, 101.0), run(5.0, 150.0)],
        ] {
            let found = Agreement::newest(&runs);
            assert_eq!(found.len(), 1);
            assert_eq!(found[0].at_s, 5.0);
            assert!(!found[0].holds());
        }
    }
}
