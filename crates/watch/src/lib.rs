//! What any view shows of a run that is being recorded, independent of screens.
//!
//! # For whoever builds a view
//!
//! [`Frame`] is everything a view needs; it is made by the recorder *after* the record
//! has taken what it speaks of (disk first, screen second), and published through a
//! [`tokio::sync::watch`] channel:
//!
//! - [`Watch`] is the receiving end. Clone it for every view, terminal, page or nudge.
//!   A view that is slow sees the newest frame and misses those between; a view that is
//!   dead holds nothing up. Publishing never waits.
//! - [`Frame::now`] is the state, [`Frame::history`] the curve so far, [`Frame::events`]
//!   what happened. All three are behind an [`Arc`](std::sync::Arc), are [`serde::Serialize`], and stand
//!   for themselves: a page sends `now` often, `history` when its `version` has
//!   changed, and of `events` those behind the last number the other side has seen.
//! - Every event has a number that only grows ([`events::Event::number`]). A view that was away
//!   asks [`Events::after`] with the last number it has seen; `None` says that some of
//!   what it missed is no longer kept, and that it should begin anew from `now`.
//! - Frames come when readings come, at most one in [`EVERY`], and at least one a second
//!   while recording goes on, so that an age can be shown. What is judged (phase,
//!   forecast, stall, hold) is looked at once a second; the pressure is that of the
//!   newest reading.
//! - [`Act`] is what a view may ask for: stamp a mark, take one back, stop. The recorder
//!   does it, records it, and the answer is the next frame. A view never writes.
//!
//! Times are seconds of the run. Pressures are micron; `shown` texts carry their unit and
//! the digits they deserve. Absent knowledge is `None`, never zero. Nothing here says by
//! colour what it does not say in words.
//!
//! # How it is built
//! [`feed`] keeps what is needed and makes frames; `changes` turns two looks at a run into
//! events, `steady` keeps the first from flickering; [`order`] is the order of work;
//! [`marks`] the acts and their undoing; [`curve`] the bounded history; [`mod@line`] all of it on
//! one line; [`keys`] says which key stamps what, [`mod@question`] what is asked first;
//! [`trouble`] says what is wrong with the reading.
//!
//! # What it never does
//! Touch a screen, a file, a gauge or a clock.
//!
//! # Example
//! ```
//! use std::time::Instant;
//! use vacuum::{Criteria, Entry, Pressure, Reading};
//! use watch::{Feed, Follow};
//!
//! let mut feed = Feed::new(None, &Criteria::default());
//! let view = feed.watch(Follow::Closely);
//! let pressure = Pressure::from_micron(468.4).unwrap();
//! feed.entry(&Entry::Reading(Reading::measured(1.0, pressure)));
//! feed.publish(Instant::now());
//! assert_eq!(view.borrow().now.pressure.digits, "468");
//! ```

mod act;
mod arrivals;
mod axis;
mod changes;
mod charge_now;
mod charging;
pub mod curve;
pub mod events;
pub mod feed;
pub mod judged;
mod jump;
pub mod keys;
pub mod line;
pub mod marks;
pub mod order;
mod pace;
mod pressure_test;
pub mod question;
pub mod ready;
mod snapshot;
mod steady;
pub mod trouble;
pub mod words;

#[cfg(test)]
mod languages;

pub use act::Act;
pub use axis::AxisNow;
pub use curve::Curve;
pub use events::{Event, EventKind, Events};
pub use feed::Feed;
pub use judged::{HoldNow, JudgedNow, PhaseNow};
pub use jump::Jump;
pub use marks::{BALLAST_CLOSED, MANIFOLD_SHUT, MarkNow};
pub use order::Order;
pub use question::AskFirst;
pub use snapshot::{
    BesideNow, DiskNow, EVERY, Follow, Frame, GaugeNow, LineHealth, LinkNow, PressureNow, RunNow,
    Snapshot, VerdictNow, Watch,
};
pub use trouble::{TroubleKind, TroubleNow};
