//! The built binary from outside: what a person types, what it prints, what it
//! leaves on disk. No network, no hardware: gauges are pseudo-terminals, and one is
//! the firmware of the notes on an emulated board.
#![cfg(unix)]

// shared: running the binary, an emulated board, a gauge to pull out, a logger to kill, curves as files, a terminal
mod board;
mod curves;
mod gauge;
mod logger;
mod parts;
mod run;
mod screen;

/// Recording without a terminal, from a terminal, and the gauge of the last run.
mod background;
/// Complaints about input that cannot be used.
mod bad_input;
/// Everything that can go wrong, at once.
mod chaos;
/// What to weigh out.
mod charge;
/// What belongs to a warranty claim, and one photo.
mod claim;
/// Processor time of recording; release only, on request.
mod cost;
/// A gauge that counts its lines, a gauge that is busy.
mod counted;
mod desk;
/// One table of many records: rows, flags, parts, kept rows.
mod desk_table;
/// Notifications on a desktop.
mod desktop;
/// The gauge node of the firmware notes, recorded from an emulated board.
mod emulated_node;
/// Page and broker over TLS.
mod encrypted;
/// Altered records.
mod evidence;
/// What was seen before cutting in, and the hold that closes its question.
mod fault;
/// Forged sheets, odd files, seals that cannot be read.
mod forged;
/// A disk that fills up while recording.
mod full_disk;
/// Names and words of others on a terminal.
mod harmless;
/// A board that records by itself.
mod headless;
/// Questions about a job, and what is remembered of the shop.
mod job;
/// The JSON of a review against its documented shape.
mod json_shape;
/// Keys that are replaced, revoked and locked.
mod keys;
/// kill -9 while recording.
mod kill;
/// `list`: runs found by day, job and verdict.
mod listing;
/// Recording a gauge: faults on the wire, marks, stopping.
mod log;
/// Logos that are made to do harm.
mod logos;
/// Fifty printed sheets, read by programs that had no part in them.
mod many_records;
mod many_sheets;
/// Commands for what happens.
mod nudges;
/// The page of a recording: viewers, a real browser, what it costs.
mod page;
/// A pass by the rule with a leak, and ice: what each command says.
mod pass_with_leak;
/// A recording that is suspended, or stopped and continued.
mod paused;
/// `ports` and `listen`.
mod ports;
/// A pressure test that is recorded, and rehearsals of one.
mod pressure_live;
/// What is drawn of a pressure test.
mod pressure_sheet;
/// A pressure test with dry gas, from a table.
mod pressure_test;
/// The figures of crates/run-record/PROOF.md in one table; in full on request.
mod proof;
/// Registers of shops: which numbers are missing.
mod registers;
/// Every rehearsal against what was simulated.
mod rehearse;
/// `report`, and whether curve and sheet are sound files.
mod report;
/// Going on with a run after a kill.
mod resume;
/// Pumps, hose sets and gauges over many records.
mod rig;
/// A scale beside the gauge.
mod scale;
/// Seals: made, checked, made anew.
mod sealing;
/// A day of readings: none lost, memory bounded.
mod soak;
/// No reading lost at 1,000 readings a second.
mod speed;
/// Exit statuses, also for several paths.
mod status;
/// Signals, and terminals that stand still.
mod stopping;
/// Foreign tables: headers, units, ways to write time.
mod tables;
/// Time stamps of seals by an invented authority.
mod time_stamp;
/// How long a review takes; release only, on request.
mod timing;
/// Two gauges on one run, all channels of one.
mod two_gauges;
/// Clock times and temperatures as people type them.
mod typed_times;
/// What is no plain small file, numbers beyond every clock, hooks that hang.
mod unbounded;
/// Passes that are not earned: units, the manifold, criteria.
mod unearned;
/// `listen` with a gauge that no dialect fits, and over a network.
mod unknown_gauge;
/// The full-screen view on a real terminal.
mod view;
/// Processor time, memory and lag of that view; release only, on request.
mod view_cost;
/// A run folder in a zip archive.
mod zipped;
