//! Every sentence that is printed, in every language, from message files.
//!
//! The files are in the format of Project Fluent (`catalogue/*.ftl` for findings and sheet,
//! `catalogue/live/*.ftl` for a run while it is recorded, `catalogue/views/*.ftl` for what
//! its views add, `catalogue/decay/*.ftl` for pressure tests, `catalogue/test-sheets/*.ftl` for
//! their curve and sheet, `catalogue/rig/*.ftl` for blank-off tests and rigs,
//! `catalogue/charge/*.ftl` for weighing a charge in, `catalogue/weigh-in/*.ftl` for what a
//! scale said of it, `catalogue/cautions/*.ftl` for
//! what can hurt; the syntax guide is at <https://projectfluent.org/fluent/guide/>), which
//! has plurals and leaves the order of words to the translator. Numbers come into a
//! message already written by
//! [`numbers`](crate::numbers), so that they have the digits they deserve. Which term
//! was chosen for which thing is in `catalogue/GLOSSARY.md`.
//!
//! English is the reference: a message that another language lacks would be said in
//! English. Tests see to it that none is lacking.

use std::sync::LazyLock;

use fluent_bundle::{FluentArgs, FluentResource, FluentValue, concurrent::FluentBundle};
use unic_langid::LanguageIdentifier;
use vacuum::Language;

/// What goes into a message: the name of a variable, and words or a number for it.
pub type Args<'a> = [(&'static str, FluentValue<'a>)];

/// The messages of one language.
type Bundle = FluentBundle<FluentResource>;

/// Parsed when first spoken, once per process.
static BUNDLES: [LazyLock<Bundle>; 4] = [
    LazyLock::new(|| bundle(Language::English)),
    LazyLock::new(|| bundle(Language::German)),
    LazyLock::new(|| bundle(Language::Spanish)),
    LazyLock::new(|| bundle(Language::French)),
];

/// The messages of a language, from all its files.
macro_rules! file {
    ($code:literal) => {
        concat!(
            include_str!(concat!("catalogue/", $code, ".ftl")),
            include_str!(concat!("catalogue/live/", $code, ".ftl")),
            include_str!(concat!("catalogue/views/", $code, ".ftl")),
            include_str!(concat!("catalogue/decay/", $code, ".ftl")),
            include_str!(concat!("catalogue/test-sheets/", $code, ".ftl")),
            include_str!(concat!("catalogue/rig/", $code, ".ftl")),
            include_str!(concat!("catalogue/weigh-in/", $code, ".ftl")),
            include_str!(concat!("catalogue/cautions/", $code, ".ftl")),
            include_str!(concat!("catalogue/charge/", $code, ".ftl")),
        )
    };
}

/// The messages of a language, as they were written: for checks that look through all of
/// them.
#[must_use]
pub const fn message_file(language: Language) -> &'static str {
    match language {
        Language::English => file!("en"),
        Language::German => file!("de"),
        Language::Spanish => file!("es"),
        Language::French => file!("fr"),
    }
}

fn bundle(language: Language) -> Bundle {
    // what cannot be read of a file is left out; a test reads every file
    let resource = FluentResource::try_new(message_file(language).to_owned());
    let resource = resource.unwrap_or_else(|(readable, _)| readable);
    let tag: LanguageIdentifier = language.code().parse().unwrap_or_default();
    let mut bundle = Bundle::new_concurrent(vec![tag]);
    // all four run from left to right: nothing has to be kept apart
    bundle.set_use_isolating(false);
    bundle.add_resource_overriding(resource);
    bundle
}

fn messages(language: Language) -> &'static Bundle {
    match language {
        Language::English => &BUNDLES[0],
        Language::German => &BUNDLES[1],
        Language::Spanish => &BUNDLES[2],
        Language::French => &BUNDLES[3],
    }
}

/// The message `id` in a language, else in English.
#[must_use]
pub fn message(language: Language, id: &str, args: &Args<'_>) -> String {
    spoken(language, id, args)
        .or_else(|| spoken(Language::English, id, args))
        .unwrap_or_else(|| id.to_owned())
}

fn spoken(language: Language, id: &str, args: &Args<'_>) -> Option<String> {
    let bundle = messages(language);
    let found = bundle.get_message(id).and_then(|m| m.value());
    debug_assert!(found.is_some(), "{}: no message \"{id}\"", language.code());
    let args: FluentArgs<'_> = args.iter().cloned().collect();
    let mut errors = Vec::new();
    let words = bundle
        .format_pattern(found?, Some(&args), &mut errors)
        .into_owned();
    debug_assert!(errors.is_empty(), "{}: {id}: {errors:?}", language.code());
    Some(words)
}

/// The message with this name in the language of a [`Voice`](crate::Voice), with its
/// variables by name. Numbers are given as the voice writes them.
///
/// ```
/// use wording::{Voice, say};
///
/// let voice = Voice::default();
/// let line = say!(voice, "criteria", target = voice.limit(500.0), minutes = 10, ceiling = "-");
/// assert!(line.starts_with("target 500 micron, hold 10 min"), "{line}");
/// ```
#[macro_export]
macro_rules! say {
    ($voice:expr, $id:expr $(, $name:ident = $value:expr)* $(,)?) => {
        $crate::message(
            $voice.language,
            $id,
            &[$((stringify!($name), $crate::Value::from($value))),*],
        )
    };
}
#[cfg(test)]
mod tests;
