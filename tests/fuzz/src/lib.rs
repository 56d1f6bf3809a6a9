//! What must hold whatever the bytes.
//!
//! Every module is one fuzz target: its `check` takes any bytes and panics when
//! a promise is broken. They are run by a fuzzer (`fuzz_targets/`), and over the
//! committed corpus by a test of the workspace (`tests/fuzz_corpus.rs`), which
//! takes this very file in.

pub mod asked_gauge;
pub mod dialect_text;
pub mod fault_file;
pub mod findings;
pub mod foreign_csv;
pub mod gauge_bytes;
pub mod job_file;
pub mod key_files;
pub mod logo;
pub mod node_line;
pub mod packed_run;
pub mod page_requests;
pub mod photo;
pub mod rig_notes;
pub mod scale_bytes;
pub mod time_stamp;
pub mod trace_reader;

mod choices;
mod dialects;
mod entries;
mod said;
mod scratch;
mod sums;
