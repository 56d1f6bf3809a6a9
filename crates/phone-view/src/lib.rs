//! A live page for the browsers of a local network.
//!
//! Knows who may see it ([`Key`], the door), what each browser has been sent and still
//! needs, how many there may be, and the page itself (`page/`). It knows nothing of gauges
//! or records: whoever uses it publishes ready JSON ([`Published`]) and is told what
//! a person asks for ([`Asked`]).
//!
//! # What a browser can never do
//! Hold up whoever publishes: [`Publisher::publish`] replaces one value and returns. The
//! server has a thread and a runtime of its own, and each browser takes the newest value
//! when it has taken the one before. One that is slow misses what was between; one that
//! stopped reading is let go after [`STUCK`]; connections, requests and viewers are
//! counted and limited.
//!
//! # What a viewer is sent
//! Server-sent events: `hello` (what may be stamped), `now` (often), `curve` (when its
//! version changed, seldom), `happened` (each with the number of its run and its own as
//! `id`), `anew` (another run begins), `missed` (some of what happened meanwhile is no
//! longer kept). A viewer that was away says the last `id` it has seen and gets
//! everything behind it, the newest `now` and the whole `curve`. Snapshot and
//! subscription are one look at one [`tokio::sync::watch`] channel: nothing can fall
//! between them.
//!
//! # Who may look
//! Whoever knows the key: 128 random bits, in the address that is shown on the recorder's
//! screen. The page moves it out of the address bar into a cookie that no script can
//! read and no other site can use (`HttpOnly`, `SameSite=Strict`); `sessionStorage`
//! would leave it to any script, and an event stream cannot carry a header. Nothing but
//! a refusal is sent before the key was seen. The page is plain HTTP: who can listen
//! to the network can read along. Marks can be stamped only where that was switched on.

mod address;
mod crowd;
mod door;
mod hub;
mod key;
mod pages;
mod rate;
mod server;
mod stream;

pub use address::{Reach, code_for_camera};
pub use hub::{Happened, Published, Publisher};
pub use key::{Key, KeyError};
pub use server::{Asked, MOST_VIEWERS, Options, Page, PageError, STUCK, Stamp};
