//! How many may be there at once.

use std::{
    collections::HashMap,
    net::IpAddr,
    sync::{Arc, Mutex, PoisonError},
};

/// Those who are there, counted per address.
#[derive(Debug, Clone)]
pub(crate) struct Crowd {
    there: Arc<Mutex<HashMap<IpAddr, usize>>>,
    most: usize,
    most_each: usize,
}

/// A place among them; given back when dropped.
#[derive(Debug)]
pub(crate) struct Place {
    crowd: Crowd,
    who: IpAddr,
}

impl Crowd {
    /// At most so many, and of one address so many.
    pub(crate) fn new(most: usize, most_each: usize) -> Self {
        Self {
            there: Arc::default(),
            most,
            most_each,
        }
    }

    /// A place; `None` when there is none left.
    pub(crate) fn enter(&self, who: IpAddr) -> Option<Place> {
        let mut there = self.there.lock().unwrap_or_else(PoisonError::into_inner);
        let all: usize = there.values().sum();
        let mine = there.entry(who).or_insert(0);
        if all >= self.most || *mine >= self.most_each {
            if *mine == 0 {
                there.remove(&who);
            }
            return None;
        }
        *mine += 1;
        drop(there);
        Some(Place {
            crowd: self.clone(),
            who,
        })
    }

    /// How many are there.
    pub(crate) fn count(&self) -> usize {
        let there = self.there.lock().unwrap_or_else(PoisonError::into_inner);
        there.values().sum()
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let there = &self.crowd.there;
        let mut there = there.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(mine) = there.get_mut(&self.who) {
            *mine -= 1;
            if *mine == 0 {
                there.remove(&self.who);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_limited_and_given_back() {
        let crowd = Crowd::new(3, 2);
        let [one, two, three] = [1, 2, 3].map(|n| IpAddr::from([10, 0, 0, n]));
        let first = crowd.enter(one);
        let second = crowd.enter(one);
        assert!(first.is_some() && second.is_some());
        assert!(crowd.enter(one).is_none(), "two of one address");
        let third = crowd.enter(two);
        assert!(third.is_some());
        assert!(crowd.enter(three).is_none(), "three in all");
        assert_eq!(crowd.count(), 3);
        drop(first);
        assert!(crowd.enter(three).is_some());
        drop((second, third));
        assert_eq!(crowd.count(), 0);
        assert!(crowd.there.lock().expect("sound").is_empty());
    }
}
