//! How often somebody may ask.

use std::{collections::HashMap, time::Instant};

use crate::places::Who;

/// Of so many is remembered how often they asked.
const MOST: usize = 512;

/// An allowance that fills up again with time.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Allowance {
    /// At once.
    pub(crate) at_once: f64,
    /// Again, per second.
    pub(crate) per_s: f64,
}

/// What is left of an allowance, for each who asks.
#[derive(Debug)]
pub(crate) struct Rate {
    allowance: Allowance,
    left: HashMap<Who, (f64, Instant)>,
}

impl Rate {
    pub(crate) fn new(allowance: Allowance) -> Self {
        Self {
            allowance,
            left: HashMap::new(),
        }
    }

    /// Takes one; false when nothing is left.
    pub(crate) fn take(&mut self, who: Who, now: Instant) -> bool {
        let Allowance { at_once, per_s } = self.allowance;
        if !self.left.contains_key(&who) && self.left.len() >= MOST {
            let oldest = self.left.iter().min_by_key(|(_, (_, at))| *at);
            if let Some(oldest) = oldest.map(|(who, _)| *who) {
                self.left.remove(&oldest);
            }
        }
        let (left, at) = self.left.entry(who).or_insert((at_once, now));
        let passed_s = now.saturating_duration_since(*at).as_secs_f64();
        *left = (*left + passed_s * per_s).min(at_once);
        *at = now;
        let enough = *left >= 1.0;
        if enough {
            *left -= 1.0;
        }
        enough
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::{net::IpAddr, time::Duration};

    const SOME: Allowance = Allowance {
        at_once: 3.0,
        per_s: 2.0,
    };

    fn address(n: u32) -> Who {
        Who::Address(IpAddr::from(n.to_be_bytes()))
    }

    #[test]
    fn who_asks_too_often_waits_and_others_do_not() {
        let mut rate = Rate::new(SOME);
        let now = Instant::now();
        let taken = (0..10).filter(|_| rate.take(address(1), now)).count();
        assert_eq!(taken, 3);
        assert!(rate.take(address(2), now));
        let later = now + Duration::from_secs(1);
        let taken = (0..10).filter(|_| rate.take(address(1), later)).count();
        assert_eq!(taken, 2);
    }

    #[test]
    fn a_million_addresses_cost_no_more_than_some_hundred() {
        let mut rate = Rate::new(SOME);
        let now = Instant::now();
        for n in 0..5_000 {
            rate.take(address(n), now + Duration::from_millis(n.into()));
        }
        assert_eq!(rate.left.len(), MOST);
    }
}
