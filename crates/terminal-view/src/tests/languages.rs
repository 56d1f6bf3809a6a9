//! The picture in every language.

use vacuum::Language;

use super::*;

/// Every scene, in the words of a language.
fn scenes_in(language: Language) -> Vec<Scene> {
    let mut all = scenes();
    for scene in &mut all {
        let now = Arc::make_mut(&mut scene.frame.now);
        now.voice.language = language;
        scene.app.voice = now.voice;
    }
    all
}

#[test]
fn no_size_does_harm() {
    for language in Language::ALL {
        for scene in scenes_in(language) {
            for width in (1..70).chain([103, 104, 105, 160, 250]) {
                for height in [1, 2, 3, 5, 8, 12, 19, 20, 21, 25, 26, 33, 34, 60] {
                    drawn(&scene, COLOURED, (width, height));
                }
            }
        }
    }
}

/// The keys find room on every promised size, whole, in few lines.
#[test]
fn keys_and_questions_fit_in_every_language() {
    for language in Language::ALL {
        for scene in scenes_in(language) {
            let picture = Picture {
                frame: &scene.frame,
                app: &scene.app,
                theme: COLOURED,
                since_s: 0.1,
                scrub: scene.scrub,
            };
            let width = usize::from(draw::SMALLEST.0) - 2;
            let lines = crate::key_help::line(&picture, width);
            // where there is a page, its key too
            let most = 2 + usize::from(scene.app.page.is_some());
            assert!(lines.len() <= most, "{}: {lines:?}", language.code());
            for (line, _) in lines {
                assert!(!line.contains('…'), "{}: {line}", language.code());
            }
        }
    }
}

/// Where the words of the view stand, none of them is English.
#[test]
fn labels_are_in_the_language_of_the_recording() {
    let english = [
        "Caution:",
        "Any key",
        "Gauge",
        "Disk",
        "Saving:",
        "Stamped",
        "Nothing stamped",
        "What happened",
        "usually comes",
        "HOLD",
        "CRITERIA",
        "FAILS",
        "NOT PROVEN",
        "STALL:",
        "CHECK:",
        "recording",
        "target",
        "playing",
        "Remark",
        "This run",
        "undo",
    ];
    let mut seen = std::collections::BTreeSet::new();
    for language in Language::ALL {
        for size in [(60, 20), (80, 24), (160, 50)] {
            for scene in scenes_in(language) {
                // what the live model says is not the view's
                let mut scene = scene;
                let now = Arc::make_mut(&mut scene.frame.now);
                now.order.advice.clear();
                now.order.steps.clear();
                for caution in &mut now.order.cautions {
                    *caution = "…".into();
                }
                for warning in &mut now.order.warnings {
                    warning.text = "…".into();
                }
                for mark in Arc::make_mut(&mut scene.frame.now).marks.iter_mut() {
                    mark.label = "…".into();
                }
                scene.frame.events = Default::default();
                if let Mode::Asked(question, _) = &mut scene.app.mode {
                    *question = "…".into();
                }
                let screen = lines(&drawn(&scene, COLOURED, size)).join("\n");
                for words in english {
                    let found = screen.contains(words);
                    if language == Language::English && found {
                        seen.insert(words);
                    }
                    let left = found && language != Language::English;
                    assert!(!left, "{}: {words} in\n{screen}", language.code());
                }
            }
        }
    }
    // an expectation that English itself does not meet checks nothing
    let missing: Vec<_> = english.iter().filter(|w| !seen.contains(*w)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

/// A terminal with ASCII only shows every letter, if without its accent.
#[test]
fn ascii_shows_every_letter() {
    for language in Language::ALL {
        for scene in scenes_in(language) {
            for size in [(60, 20), (120, 40)] {
                let plain = lines(&drawn(&scene, PLAIN, size)).join("\n");
                assert!(plain.is_ascii(), "{}: {plain}", scene.name);
            }
        }
        let accents = "äöüßáéíóúñàâçèêëîïôùû ÄÖÜÁÉÍÓÚÑÀÂÇÈÊÎÔÛ";
        let mut buffer = Buffer::empty(ratatui::layout::Rect::new(0, 0, 60, 1));
        buffer.set_string(0, 0, accents, ratatui::style::Style::new());
        PLAIN.finish(&mut buffer);
        let shown = lines(&buffer).join("");
        assert!(!shown.contains('?'), "{shown}");
    }
}
