//! Where a curve breaks: the instant at which something was shut, as a probability over
//! time. Times are in seconds, for the finest scales depend on them; values have any unit.
//!
//! [`Search`] looks for the break in a stretch of points, through windows that get ever
//! finer. In one window every instant on a grid and every [`Response`] of the instrument
//! gives a broken curve (`window`, `scan`); together they are the posterior of the instant
//! (`posterior`).
//!
//! ```
//! use statistics::change_point::{Point, Response, Responses, Search};
//!
//! // falls until 100, then rises
//! let points: Vec<Point> = (0..200)
//!     .map(|i| {
//!         let t = f64::from(i);
//!         let wobble = 0.2 * (f64::from(i * 7919 % 100) / 50.0 - 1.0);
//!         let y = 100.0 + 20.0 * (-t.min(100.0) / 40.0).exp() + 0.5 * (t - 100.0).max(0.0);
//!         Point { t, y: y + wobble }
//!     })
//!     .collect();
//! let at_once = [Response { jump_s: None, lag_s: 0.0, ln_weight: 0.0 }];
//! let search = Search {
//!     points: &points,
//!     interval_s: 1.0,
//!     step: 0.0,
//!     baseline: 100.0,
//!     noise: 0.2,
//!     responses: Responses { all: &at_once, longest_fall_s: 20.0, ln_weight_of_a_fall: -2.0 },
//! };
//! let found = search.locate((80.0, 120.0), &[40.0]).expect("a clear break");
//! assert!((found.at_s - 100.0).abs() < 2.0);
//! ```

mod broken_curve;
mod posterior;
mod scan;
mod search;
mod window;

pub use broken_curve::{Response, Responses};
pub use posterior::{Located, NEEDED};
pub use search::{Point, Search};
