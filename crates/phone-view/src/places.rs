//! How many may be there at once, and who leaves when others come.

use std::{
    collections::{BTreeMap, HashMap},
    net::IpAddr,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
    time::{Duration, Instant},
};

use tokio::sync::Notify;

use crate::{key::Grade, session::Device};

/// Whose places, or requests, are counted together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Who {
    /// Those of an address that has shown no key.
    Address(IpAddr),
    /// First visits of an address with a key of this grade.
    Arriving(IpAddr, Grade),
    /// Those of a device.
    Device(Device),
}

/// Who leaves when every place is taken.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Leaves {
    /// The oldest of whoever has the most places: somebody always finds one.
    Oldest,
    /// The one that has been idle longest, if that is so long.
    IdleFor(Duration),
}

/// A number of places.
#[derive(Debug, Clone)]
pub(crate) struct Places {
    taken: Arc<Mutex<Taken>>,
    most: usize,
    leaves: Leaves,
}

#[derive(Debug, Default)]
struct Taken {
    next: u64,
    /// By the order in which they came.
    all: BTreeMap<u64, One>,
}

#[derive(Debug)]
struct One {
    who: Who,
    active: Instant,
    leave: Arc<Notify>,
}

/// A place among them; given back when dropped.
#[derive(Debug)]
pub(crate) struct Place {
    places: Places,
    number: u64,
}

impl Places {
    /// At most so many.
    pub(crate) fn new(most: usize, leaves: Leaves) -> Self {
        Self {
            taken: Arc::default(),
            most,
            leaves,
        }
    }

    /// A place; `leave` is told when it is wanted for another. `kept` of them are for
    /// others. `None` when there is none and nobody leaves.
    pub(crate) fn enter(&self, who: Who, leave: &Arc<Notify>, kept: usize) -> Option<Place> {
        let now = Instant::now();
        let mut taken = self.lock();
        if taken.all.len() + kept >= self.most {
            let number = taken.leaving(self.leaves, now)?;
            if let Some(one) = taken.all.remove(&number) {
                one.leave.notify_one();
            }
        }
        let number = taken.next;
        taken.next += 1;
        let leave = Arc::clone(leave);
        let active = now;
        taken.all.insert(number, One { who, active, leave });
        drop(taken);
        Some(Place {
            places: self.clone(),
            number,
        })
    }

    /// How many are taken.
    pub(crate) fn count(&self) -> usize {
        self.lock().all.len()
    }

    fn lock(&self) -> MutexGuard<'_, Taken> {
        self.taken.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Taken {
    fn leaving(&self, leaves: Leaves, now: Instant) -> Option<u64> {
        match leaves {
            Leaves::Oldest => {
                let mut counts: HashMap<Who, usize> = HashMap::new();
                for one in self.all.values() {
                    *counts.entry(one.who).or_default() += 1;
                }
                let most = counts.values().max()?;
                let mut busiest = self.all.iter().filter(|(_, o)| counts[&o.who] == *most);
                busiest.next().map(|(number, _)| *number)
            }
            Leaves::IdleFor(least) => {
                let (number, idlest) = self.all.iter().min_by_key(|(_, o)| o.active)?;
                let idle = now.saturating_duration_since(idlest.active);
                (idle >= least).then_some(*number)
            }
        }
    }
}

impl Place {
    /// Says that whoever has it is not idle.
    pub(crate) fn active(&self) {
        if let Some(one) = self.places.lock().all.get_mut(&self.number) {
            one.active = Instant::now();
        }
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.places.lock().all.remove(&self.number);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use futures_util::FutureExt;

    fn address(n: u8) -> Who {
        Who::Address(IpAddr::from([10, 0, 0, n]))
    }

    fn told(leave: &Notify) -> bool {
        leave.notified().now_or_never().is_some()
    }

    #[test]
    fn the_oldest_of_the_busiest_address_makes_room() {
        let places = Places::new(3, Leaves::Oldest);
        let leave: [Arc<Notify>; 5] = std::array::from_fn(|_| Arc::default());
        let enter = |who, i: usize| places.enter(address(who), &leave[i], 0).expect("a place");
        let all = [
            enter(1, 0),
            enter(2, 1),
            enter(2, 2),
            enter(2, 3),
            enter(3, 4),
        ];
        let left: Vec<bool> = leave.iter().map(|l| told(l)).collect();
        // address 1 came first and stays: it has only one
        assert_eq!(left, [false, true, true, false, false]);
        assert_eq!(places.count(), 3);
        drop(all);
        assert_eq!(places.count(), 0);
    }

    #[test]
    fn who_keeps_up_is_not_sent_away() {
        let places = Places::new(2, Leaves::IdleFor(Duration::from_millis(40)));
        let leave: [Arc<Notify>; 2] = std::array::from_fn(|_| Arc::default());
        let enter = |i: usize| places.enter(address(1), &leave[i], 0);
        let (one, two) = (enter(0).expect("a place"), enter(1).expect("a place"));
        assert!(enter(0).is_none(), "both have just come");
        std::thread::sleep(Duration::from_millis(50));
        one.active();
        let three = enter(0);
        assert!(three.is_some() && !told(&leave[0]) && told(&leave[1]));
        assert!(enter(0).is_none());
        drop(two);
        assert_eq!(places.count(), 2, "its place was given to another");
        drop((one, three));
        assert_eq!(places.count(), 0);
    }

    #[test]
    fn some_places_are_kept_for_others() {
        let places = Places::new(3, Leaves::IdleFor(Duration::from_secs(60)));
        let leave = Arc::default();
        let one = places.enter(address(1), &leave, 2);
        assert!(one.is_some() && places.enter(address(1), &leave, 2).is_none());
        assert!(places.enter(address(2), &leave, 0).is_some());
    }
}
