//! A gauge's own count of its lines: what is missing, what came twice, and when
//! it began anew.

use std::fmt;

use vacuum::{Sensed, Weighed};

use crate::number::Written;

/// How the lines of a gauge are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct SequenceRule {
    /// Behind `modulus` - 1 the count begins again at 0; 2 to 2^32.
    pub(crate) modulus: u64,
    pub(crate) written: Written,
}

/// The gauge's count of its lines does not go on by one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum SequenceBreak {
    /// Lines sent between the two last received that did not arrive, or not
    /// whole. Exact while fewer are missing than the gauge can count.
    Missing {
        /// How many.
        lines: u32,
    },
    /// The same count again. If the rest of the line is the same as well it
    /// gives no second reading.
    Repeated,
    /// The gauge was restarted: its count or its clock went back.
    Restarted,
}

impl fmt::Display for SequenceBreak {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing { lines: 1 } => f.write_str("1 line did not arrive whole"),
            Self::Missing { lines } => write!(f, "{lines} lines did not arrive whole"),
            Self::Repeated => f.write_str("a line came twice"),
            Self::Restarted => f.write_str("the gauge was restarted"),
        }
    }
}

/// Where a line stands in the gauge's own count and time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Turn {
    /// Below the modulus.
    pub(crate) count: u32,
    /// The gauge's own time, s.
    pub(crate) device_s: Option<f64>,
}

/// What the line before was.
#[derive(Debug, Default)]
pub(crate) struct Continuity {
    last: Option<(Turn, Option<Content>)>,
}

/// What a line says besides its count.
type Content = (Sensed, Option<f64>, Option<Weighed>);

impl Continuity {
    /// Takes the next line; `content` is `None` where it gives no reading.
    /// Says what is wrong with its count, and whether it is the last line once
    /// more.
    pub(crate) fn follow(
        &mut self,
        rule: SequenceRule,
        turn: Turn,
        content: Option<Content>,
    ) -> (Option<SequenceBreak>, bool) {
        let Some((last, said)) = self.last.replace((turn, content)) else {
            return (None, false);
        };
        let broken = step(rule, last, turn);
        let again = broken == Some(SequenceBreak::Repeated)
            && (last.device_s, said) == (turn.device_s, content);
        (broken, again)
    }
}

fn step(rule: SequenceRule, last: Turn, now: Turn) -> Option<SequenceBreak> {
    let forward = (u64::from(now.count) + rule.modulus - u64::from(last.count)) % rule.modulus;
    // a clock that is full begins again at 0 while the count goes on
    if forward == 1 && now.count != 0 {
        return None;
    }
    let went_back = match (last.device_s, now.device_s) {
        (Some(before), Some(after)) => after < before,
        // without a clock, what is nearer behind than ahead went back
        _ => forward > rule.modulus / 2,
    };
    if went_back {
        return Some(SequenceBreak::Restarted);
    }
    match forward {
        0 => Some(SequenceBreak::Repeated),
        1 => None,
        _ => Some(SequenceBreak::Missing {
            // below the modulus, which is at most 2^32
            lines: u32::try_from(forward - 1).unwrap_or(u32::MAX),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What follows from going from one count and time to another.
    fn from_to(
        modulus: u64,
        (a, t): (u32, Option<f64>),
        (b, u): (u32, Option<f64>),
    ) -> Option<SequenceBreak> {
        let rule = SequenceRule {
            modulus,
            written: Written::Decimal,
        };
        let turn = |count, device_s| Turn { count, device_s };
        let mut continuity = Continuity::default();
        assert_eq!(
            continuity.follow(rule, turn(a, t), None),
            (None, false),
            "first"
        );
        continuity.follow(rule, turn(b, u), None).0
    }

    #[test]
    fn with_a_clock_of_its_own() {
        let missing = |lines| Some(SequenceBreak::Missing { lines });
        for (from, to, wanted) in [
            ((417, 1.0), (418, 2.0), None),
            ((417, 1.0), (421, 3.0), missing(3)),
            ((65_535, 1.0), (0, 1.1), None),
            ((65_530, 1.0), (4, 1.1), missing(9)),
            ((5, 9.0), (5, 9.0), Some(SequenceBreak::Repeated)),
            ((5, 9.0), (0, 0.1), Some(SequenceBreak::Restarted)),
            // nearly all of them missing, and time went on
            ((5, 9.0), (4, 7000.0), missing(65_534)),
            // restarted just where the count was full
            ((65_535, 9.0), (0, 0.1), Some(SequenceBreak::Restarted)),
            // the clock was full
            ((77, 4_294_967.2), (78, 0.1), None),
        ] {
            let (from, to) = ((from.0, Some(from.1)), (to.0, Some(to.1)));
            assert_eq!(from_to(65_536, from, to), wanted, "{from:?} to {to:?}");
        }
    }

    #[test]
    fn without_a_clock() {
        let missing = |lines| Some(SequenceBreak::Missing { lines });
        for (from, to, wanted) in [
            (9, 0, None),
            (3, 5, missing(1)),
            (8, 2, missing(3)),
            (8, 8, Some(SequenceBreak::Repeated)),
            (4, 0, Some(SequenceBreak::Restarted)),
            (9, 4, missing(4)),
        ] {
            let found = from_to(10, (from, None), (to, None));
            assert_eq!(found, wanted, "{from} to {to}");
        }
        // the largest count there is
        let large = from_to(1 << 32, (u32::MAX, None), (0, None));
        assert_eq!(large, None);
    }
}
