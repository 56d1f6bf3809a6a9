//! A live page for the browsers of a local network.
//!
//! Knows who may see it ([`Keys`]), what each browser has been sent and still
//! needs, how many there may be, and the page itself (`page/`). It knows nothing of gauges
//! or records: [`relay`] publishes frames of the live model in the crate `watch` as ready
//! JSON ([`Published`]), and [`act`] says what a person asks for ([`Asked`]) in its terms.
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
//! # Who may look, and who may stamp
//! Whoever knows a key: 128 random bits, in the address that is shown on the recorder's
//! screen. There are two ([`Keys`]): one to look on, one to stamp marks too, where that
//! is switched on. A browser that shows a key gets a session of its own in a cookie that
//! no script can read and no other site can use (`HttpOnly`, `SameSite=Strict`);
//! `sessionStorage` would leave it to any script, and an event stream cannot carry a
//! header. The cookie does not hold the key, and says which [`Device`] it is: what is
//! stamped is passed on with that name. Nothing but a refusal is sent before the key or
//! a session was seen. The page is plain HTTP, where who can listen to the network can
//! read along, or HTTP over TLS with a [`Certificate`] of its own (feature `tls`).
//!
//! # What strangers can never do
//! Take the place of who holds a key. A connection has two seconds to show one; those
//! that have not have places of their own, and there the newest takes the place of the
//! oldest of the busiest address. Requests are counted by device behind the key, by
//! address before it. A viewer that takes nothing is let go after [`STUCK`], or at once
//! when its place is wanted; the system keeps little for it (small send buffer, TCP user
//! timeout of RFC 5482). All of this holds under TLS: the two seconds are for agreeing on
//! the encryption and for the key together, and little is read or kept before the key.

mod act;
mod address;
mod auth;
mod connection;
mod hub;
#[cfg(feature = "tls")]
mod kept_certificate;
mod kept_keys;
mod key;
mod pages;
mod places;
mod private_file;
mod rate;
mod relay;
mod requests;
mod server;
mod session;
mod stream;
#[cfg_attr(not(feature = "tls"), path = "no_tls.rs")]
mod tls;
mod told;

pub use act::{act, stamps};
pub use address::{Reach, code_for_camera};
pub use connection::STUCK;
pub use hub::{Happened, Published, Publisher};
#[cfg(feature = "tls")]
pub use kept_certificate::certificate_in;
pub use kept_keys::keys_in;
pub use key::{Grade, Key, KeyError, Keys};
pub use private_file::KeptFileError;
pub use relay::relay;
pub use requests::{Asked, MOST_VIEWERS, Requests, Stamp};
pub use server::{Options, Page, PageError};
pub use session::Device;
pub use tls::Certificate;
#[cfg(feature = "tls")]
pub use tls::{CertificateError, Unfit, fingerprint};
pub use told::Told;
