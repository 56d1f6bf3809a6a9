//! Views of a recording on a terminal: the whole screen, one calm line, whole sentences.
//! All of them are consumers of the live model in the crate `watch`.
//!
//! [`attach`] starts the view that was chosen ([`ViewKind`]) and the keyboard that belongs to
//! it; what a person asks for comes out as [`watch::Act`]. [`show_far`] shows the recording on
//! another terminal, [`look_back::show`] a finished run, both with the same picture.
//!
//! # What it never does
//! Touch the recording. A view runs on a thread or task of its own, gets copies through a
//! channel that never waits for it, and asks for marks through another. A terminal that is
//! stuck or goes away, or a view that panics, costs the view, nothing else; the calm line
//! takes over. The terminal is given back in every case.
//!
//! # How it is built
//! `draw` is a pure function of a frame, the keyboard's state (`app`) and a size; `panels`
//! and `key_help` say the words, in the voice of the recording; `plot` and `digits` draw, `theme` knows what the terminal can show.
//! `keys` understands the keyboard; `terminal` takes hold of the terminal; `full` joins them.
//!
//! # Example
//! ```
//! use terminal_view::{Surroundings, ViewKind};
//!
//! let small = Surroundings { terminal: true, smart: true, size: Some((40, 10)) };
//! let (kind, why) = ViewKind::choose(Some(ViewKind::Full), ViewKind::Full, small);
//! assert_eq!(kind, ViewKind::Line);
//! assert!(why.unwrap().contains("60 columns"));
//! ```

mod app;
mod attach;
mod choice;
mod code;
mod digits;
mod draw;
mod far;
mod full;
mod key_help;
mod keyboard;
mod keys;
mod line;
mod line_keys;
pub mod look_back;
mod panels;
mod picture;
mod plot;
mod spoken;
mod terminal;
#[cfg(test)]
mod tests;
mod text;
mod theme;
mod typed_lines;
mod undo;
mod up;

pub use attach::{Attached, attach, attach_line_without_keys};
pub use choice::{Surroundings, ViewKind};
pub use code::PageCode;
pub use far::{FarTerminal, show_far};
pub use terminal::{give_back_settings, is_up};
pub use up::Views;
