//! Recordings that go on now on this computer: found by name, looked at from another
//! terminal (over SSH too), stopped, and begun in the background.
//!
//! A recording has a [`Door`]: a socket in a folder that only its user may enter.
//! Whoever comes to it is told which run this is, gets the whole screen drawn on a terminal
//! of his own ([`Looker`]), or asks for the end. A recording that has no terminal was begun
//! by [`begin_in_background`], which starts the program once more in a session of its own:
//! no terminal that is closed concerns it.
//!
//! # What it never does
//! Know a gauge, a record or a screen: who draws for a [`Looker`] is the caller's choice. It
//! never holds the recording up: each visitor has a thread of its own, and one that takes
//! nothing is let go.
//!
//! # Systems
//! Unix. Elsewhere there are no such sockets: no recording is found, and none can be begun in
//! the background.

#[cfg(unix)]
mod background;
#[cfg(unix)]
mod door;
mod error;
mod folder;
#[cfg(unix)]
mod look;
#[cfg(unix)]
mod looker;
#[cfg(unix)]
mod message;
#[cfg_attr(not(unix), path = "runs_elsewhere.rs")]
mod runs;

#[cfg(unix)]
pub use background::{Begun, begin_in_background, leave_session};
#[cfg(unix)]
pub use door::Door;
pub use error::LiveError;
#[cfg(unix)]
pub use look::look;
#[cfg(unix)]
pub use looker::{FarKeys, FarScreen, Looker};
#[cfg(not(unix))]
pub use runs::look;
pub use runs::{LiveRun, all, find, stop};
