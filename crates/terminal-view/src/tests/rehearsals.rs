//! The picture of every rehearsal, at several moments, sizes and in every language: no word
//! is clipped, no caution cut or missing that matters most, no large figure cut.

use std::collections::BTreeSet;

use analyser::{Analyser, Settings};
use rehearsal::Simulation;
use vacuum::Language;

use super::*;

const SIZES: [(u16, u16); 3] = [(60, 20), (80, 24), (120, 40)];
/// Moments of each rehearsal that are looked at, beside those right after a mark.
const MOMENTS: usize = 9;

/// Frames of a rehearsal in one language, as a view gets them.
fn frames(scenario: &rehearsal::Scenario, language: Language) -> Vec<Frame> {
    let events: Vec<_> = Simulation::new(scenario, scenario.seed).collect();
    let end_s = events.last().map_or(0.0, |e| e.t_s);
    let settings = Settings::default().with_job(&scenario.job);
    let mut job = scenario.job.clone();
    job.sheet.language = Some(language);
    let mut feed = Feed::new(Some(&job), &settings.criteria);
    let _watch = feed.watch(watch::Follow::Closely);
    let mut analyser = Analyser::new(settings);
    let (mut out, mut next_s) = (Vec::new(), 0.0);
    for event in &events {
        let entry = event.entry();
        feed.heard(Instant::now());
        analyser.push(&entry);
        feed.entry(&entry);
        let stamped = matches!(entry, Entry::Mark(_));
        if stamped || event.t_s >= next_s {
            analyser.tidy();
            feed.look(&analyser.live(), &[]);
            out.push(feed.frame(Instant::now()));
            if !stamped {
                next_s += end_s / MOMENTS as f64;
            }
        }
    }
    feed.look(&analyser.live(), &[]);
    out.push(feed.frame(Instant::now()));
    out
}

fn letters(word: &str) -> String {
    let inner = word.trim_matches(|c: char| !c.is_alphabetic());
    inner.to_lowercase()
}

/// Every word that may stand on the screen: those of the catalogue, and those that this
/// frame says.
fn known(language: Language, frame: &Frame) -> BTreeSet<String> {
    let now = serde_json::to_string(&*frame.now).expect("JSON");
    let events = serde_json::to_string(&*frame.events).expect("JSON");
    let catalogue = wording::message_file(language);
    let all = [catalogue, &now, &events, "dryhold"].join(" ");
    all.split(|c: char| c.is_whitespace() || "\"{}[]:,·".contains(c))
        .map(letters)
        .filter(|word| !word.is_empty())
        .collect()
}

/// The first word of the screen that is none: one that was cut.
fn clipped(screen: &[String], known: &BTreeSet<String>) -> Option<String> {
    // rows of the curve have letters for marks, and numbers with a k
    let is_curve = |row: &str| {
        row.contains("────────") || row.contains(|c| matches!(c, '╌' | '\u{2800}'..='\u{28ff}'))
    };
    let said = screen
        .iter()
        .filter(|row| !is_curve(row) || row.contains('█'));
    said.into_iter().find_map(|row| {
        let words = row.split(|c: char| c.is_whitespace() || "·:,│█─".contains(c));
        words
            .map(letters)
            .filter(|word| word.chars().count() > 1 && word.chars().all(char::is_alphabetic))
            .find(|word| !known.contains(word))
    })
}

#[test]
fn every_rehearsal_is_whole_at_every_size_in_every_language() {
    let mut seen = 0;
    for scenario in rehearsal::scenarios() {
        for language in Language::ALL {
            for frame in frames(scenario, language) {
                let known = known(language, &frame);
                let mut app = App::default();
                app.voice = frame.now.voice;
                let scene = Scene {
                    name: scenario.name,
                    frame,
                    app,
                    scrub: None,
                };
                for size in SIZES {
                    whole(&scene, &known, size, language);
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 1_000, "{seen}");
}

fn whole(scene: &Scene, known: &BTreeSet<String>, size: (u16, u16), language: Language) {
    let screen = lines(&drawn(scene, COLOURED, size));
    let at = format!(
        "{} {} at {size:?}:\n{}",
        scene.name,
        language.code(),
        screen.join("\n")
    );
    let now = &scene.frame.now;
    let said = said(&screen, size);
    let gravest = &now.order.gravest;
    assert!(
        said.contains(&words(gravest)),
        "the gravest caution is missing: {gravest:?} in {at}"
    );
    for warning in &now.order.warnings {
        let text = words(&warning.text);
        assert!(said.contains(&text), "{text} is missing in {at}");
    }
    let cut = clipped(&screen, known);
    assert_eq!(cut, None, "is cut in {at}");
    let room = if size.0 >= 104 {
        size.0 - 50
    } else {
        size.0 - 2
    };
    let narrowest = crate::digits::size(&now.pressure.digits, 0).0;
    assert!(narrowest <= room, "{at}");
}

/// The check itself can fail.
#[test]
fn a_clipped_word_is_noticed() {
    let scene = &scenes()[1];
    let known = known(Language::English, &scene.frame);
    let row = |text: &str| vec![text.to_owned()];
    assert_eq!(clipped(&row("recording the pump"), &known), None);
    assert_eq!(clipped(&row("recordin"), &known), Some("recordin".into()));
    assert_eq!(
        clipped(&row("STALL: pump oil foami"), &known),
        Some("foami".into())
    );
}
