//! What people read: findings, moments, lengths of time, numbers with their units,
//! marks and phases as sentences, in several languages.
//!
//! A [`Voice`] has the language, the unit and the zone. Functions take a voice and what
//! is to be said, and give words. The sheet, the curve, the review in a terminal and the
//! screen of a recording all speak through it, so that they agree.
//!
//! ```
//! use vacuum::{Language, PressureUnit};
//! use wording::Voice;
//!
//! let english = Voice::default();
//! assert_eq!(english.pressure(262.4), "262 micron");
//! assert_eq!(english.duration(754.0), "12.6 min");
//!
//! let german = Voice {
//!     language: Language::German,
//!     unit: PressureUnit::Pascal,
//!     ..english
//! };
//! assert_eq!(german.pressure(262.4), "35,0 Pa (262 micron)");
//! assert_eq!(
//!     wording::rise_words(&german, findings::RiseKind::Moisture),
//!     wording::say!(german, "rise-moisture"),
//! );
//! ```
//!
//! # How it is built
//! `catalogue` has the messages, one file a language. [`say!`] says one of them. Numbers
//! go into a message already written ([`Voice`], in `numbers` and `times`). The other
//! modules decide which message is said of a finding, and with which figures. They give
//! advice, never a command. A passed hold never reads "no leak": it says what it could
//! not have shown.
//!
//! # What this crate never does
//! It judges nothing, draws nothing, and knows neither paper nor screen. It reads no file
//! and no clock: the same input gives the same words.

mod advice;
mod beside;
mod beside_limit;
mod blank_off;
mod catalogue;
mod cautions;
mod certainty;
mod charge;
mod charging_order;
mod clause;
mod criteria;
mod data;
mod decay;
mod finding;
mod further;
mod judged;
mod labels;
mod leak_question;
mod line;
mod numbers;
mod pass;
mod reason;
mod record;
mod review;
mod rig;
mod rise;
mod round;
mod times;
mod under_pressure;
mod voice;
mod weighed;

pub use advice::{next_acts, next_step};
pub use beside::beside_sentences;
pub use blank_off::{
    blank_off_headline, blank_off_lines, blank_off_next, blank_off_notice, blank_off_reason,
    blank_off_reasons, rig_history_lines,
};
pub use catalogue::{Args, message, message_file};
pub use cautions::{
    Inside, RiskyAct, cautions, cautions_at, common_cautions_at, gravest_at, refrigerant_cautions,
};
pub use certainty::{cause_words, running_answer, will_not_pass_words};
pub use charge::{charge_lines, charge_warning};
pub use charging_order::{StepWords, charging_cautions, charging_order, charging_order_lines};
pub use clause::sentence;
pub use criteria::{criteria_name, criteria_sentence, criteria_source};
pub use data::{data_line, data_sentence, left_out_lines};
pub use decay::{decay_answer, decay_lines, decay_notice, decay_phase_words, decay_reason};
pub use finding::finding_words;
pub use fluent_bundle::FluentValue as Value;
pub use further::{FurtherWords, further_words};
pub use judged::remarks;
pub use labels::{
    basis_phrase, mark_kind_words, phase_words, place_words, reason_words, rise_words,
    stall_advice, stall_words, verdict_words,
};
pub use line::{NO_BREAK, is_printable, one_line};
pub use numbers::Shown;
pub use pass::{headline, is_reserved, reserve, short_headline};
pub use reason::reason_sentence;
pub use record::{mark_words, record_line};
pub use review::{left_out_note, note_line, record_note, summary_lines};
pub use rig::{
    RigSection, rig_lines, rig_sections, rig_share_lines, rig_title, warning as rig_warning,
};
pub use rise::{
    cause_and_rate, detection_limit, detection_sentence, leak_sentence, level, limit_as_flow,
    limit_in_grams, low_side_words, more_to_tell_s, operating_loss, pace, rise_headline,
    rise_sentence, sealed_words, sight_sentence, straight_part, thermal_words, throughput,
    water_mg, water_sentence,
};
pub use round::{from_to, hold_sentence, pulldown_words, stall_fact, stall_level, stall_sentence};
pub use voice::Voice;
pub use weighed::{charge_notice, charging_act_words, scale_mass, scale_number, weighed_lines};

#[cfg(test)]
mod tests;
