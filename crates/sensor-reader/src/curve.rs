//! From the signal of an analogue gauge behind a converter to a pressure.

/// How a signal (volts, milliamperes, counts) means a pressure.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Curve {
    /// Signals outside of this come from a broken wire, a missing supply or a
    /// dead sensor.
    pub(crate) signal: Option<(f64, f64)>,
    pub(crate) law: Law,
}

/// The law between signal x and pressure p.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Law {
    /// p = 10^(a·x + b).
    LogLinear { a: f64, b: f64 },
    /// Straight lines between points, x rising, p strictly rising or falling.
    Table { points: Vec<(f64, f64)>, log: bool },
}

/// What a signal means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Meant {
    /// This pressure, in the unit of the dialect.
    Value(f64),
    /// Above the highest pressure of the table, which is given.
    Above(f64),
    /// Below the lowest pressure of the table, which is given.
    Below(f64),
    /// No pressure gives such a signal.
    Broken,
}

impl Curve {
    /// The meaning of a signal.
    ///
    /// A table is never carried on beyond its ends: what lies there is known
    /// only to lie there.
    pub(crate) fn meaning(&self, x: f64) -> Meant {
        if let Some((low, high)) = self.signal
            && !(low..=high).contains(&x)
        {
            return Meant::Broken;
        }
        match &self.law {
            Law::LogLinear { a, b } => Meant::Value(10_f64.powf(a * x + b)),
            Law::Table { points, log } => between(points, *log, x),
        }
    }
}

fn between(points: &[(f64, f64)], log: bool, x: f64) -> Meant {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return Meant::Broken;
    };
    let rising = last.1 > first.1;
    let beyond = |end: f64, at_top: bool| {
        if at_top == rising {
            Meant::Above(end)
        } else {
            Meant::Below(end)
        }
    };
    if x < first.0 {
        return beyond(first.1, false);
    }
    if x > last.0 {
        return beyond(last.1, true);
    }
    for pair in points.windows(2) {
        if let [(x0, p0), (x1, p1)] = pair
            && (*x0..=*x1).contains(&x)
        {
            let share = (x - x0) / (x1 - x0);
            return Meant::Value(if log {
                (p0.ln() + share * (p1.ln() - p0.ln())).exp()
            } else {
                p0 + share * (p1 - p0)
            });
        }
    }
    Meant::Broken
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(curve: &Curve, x: f64, wanted: Meant) {
        let found = curve.meaning(x);
        match (found, wanted) {
            (Meant::Value(a), Meant::Value(b)) => {
                assert!((a / b - 1.0).abs() < 1e-12, "{x}: {a} instead of {b}");
            }
            _ => assert_eq!(found, wanted, "{x}"),
        }
    }

    #[test]
    fn a_volt_per_decade() {
        let curve = Curve {
            signal: Some((0.5, 9.8)),
            law: Law::LogLinear { a: 1.0, b: -5.0 },
        };
        // by hand: 10^(1·5 − 5) = 1, 10^(1·2 − 5) = 0.001
        check(&curve, 5.0, Meant::Value(1.0));
        check(&curve, 2.0, Meant::Value(0.001));
        // a wire that fell off must not read as a deep vacuum
        check(&curve, 0.0, Meant::Broken);
        check(&curve, 10.0, Meant::Broken);
        check(&curve, f64::NAN, Meant::Broken);
    }

    #[test]
    fn a_falling_table() {
        let mut curve = Curve {
            signal: None,
            law: Law::Table {
                points: vec![(0.0, 1000.0), (4.0, 10.0), (6.0, 1.0)],
                log: true,
            },
        };
        // by hand: half-way between 1000 and 10 on a logarithmic scale is 100
        check(&curve, 2.0, Meant::Value(100.0));
        check(&curve, 4.0, Meant::Value(10.0));
        check(&curve, 6.0, Meant::Value(1.0));
        check(&curve, -0.1, Meant::Above(1000.0));
        check(&curve, 6.1, Meant::Below(1.0));
        curve.law = Law::Table {
            points: vec![(1.0, 0.0), (5.0, 100.0)],
            log: false,
        };
        check(&curve, 2.0, Meant::Value(25.0));
        check(&curve, 0.9, Meant::Below(0.0));
        check(&curve, 5.5, Meant::Above(100.0));
    }
}
