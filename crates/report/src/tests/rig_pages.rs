//! The page of a rig for the wall.

use rig_history::{NextJob, Note, NoteKind, Run, overview, warnings};
use vacuum::{Language, Paper, SheetChoices, TestKind};
use wording::Voice;

use super::page::{assert_lies_free, set_words, squeezed};

/// Invented runs of a shop: a pump whose test failed, wet jobs, a gauge that is overdue.
fn runs() -> Vec<Run> {
    let run = |at: f64, kind| Run {
        kind,
        pump: Some("pump A".into()),
        hose: Some("hoses 1".into()),
        gauge: Some("G-0012-INVENTED".into()),
        calibration_due: Some("2026-01-15".into()),
        oil: Some("mineral".into()),
        pumped_h: Some(0.75),
        ..Run::began(at)
    };
    let mut all: Vec<Run> = (0..30)
        .map(|day| Run {
            wet: day % 3 == 0,
            refrigerant: Some("R-600a".into()),
            ..run(f64::from(day) * 86_400.0, TestKind::Evacuation)
        })
        .collect();
    all.push(Run {
        verdict: Some("fail".into()),
        oil: None,
        ..run(31.0 * 86_400.0, TestKind::BlankOff)
    });
    all
}

#[test]
fn the_page_for_the_wall_says_all_of_it_in_every_language_and_paper() {
    let note = Note::of(86_400.0, "pump A", NoteKind::OilChange, "0.3 L, clear");
    let mut view = overview(&runs(), &[note]);
    view.invented = true;
    let now_s = 40.0 * 86_400.0 + 1_772_000_000.0;
    let todo = warnings(&view, now_s, &NextJob::default());
    assert!(todo.len() >= 3, "{todo:?}");
    for language in Language::ALL {
        let voice = Voice::from(&SheetChoices {
            language: Some(language),
            ..SheetChoices::default()
        });
        let sections = wording::rig_sections(&voice, &view, &todo);
        for paper in Paper::ALL {
            let (title, as_of) = wording::rig_title(&voice, now_s, "runs");
            let banner = wording::say!(voice, "invented");
            let laid = layout::page::notice(&layout::Notice {
                language: language.code(),
                paper,
                banner: Some(&banner),
                title: &title,
                as_of: &as_of,
                sections: &sections,
                dated_utc: None,
                made_by: "dryhold 0.1.0",
            });
            let name = format!("{} {}", language.code(), paper.code());
            assert_eq!(laid.pages, 1, "{name}");
            assert_lies_free(&name, &laid);
            let words = set_words(&laid);
            let said = sections.iter().flat_map(|s| &s.parts).flat_map(|p| &p.1);
            for line in said {
                assert!(words.contains(&squeezed(line)), "{name}: “{line}”");
            }
            let pdf = crate::rig_pdf(&view, &todo, (&voice, paper), (now_s, "runs"), "dryhold");
            let pdf = pdf.unwrap();
            let holds = |words: &str| pdf.windows(words.len()).any(|w| w == words.as_bytes());
            assert!(holds("<pdfuaid:part>1<") && holds("<pdfaid:part>2<"));
        }
    }
}

/// A shop of many pumps takes several pages, and nothing is lost between them.
#[test]
fn many_parts_take_several_pages() {
    let many: Vec<Run> = (0..60)
        .map(|n| Run {
            pump: Some(format!("pump {n}")),
            hose: None,
            ..runs()[0].clone()
        })
        .collect();
    let view = overview(&many, &[]);
    let todo = warnings(&view, 0.0, &NextJob::default());
    let voice = Voice::default();
    let sections = wording::rig_sections(&voice, &view, &todo);
    let laid = layout::page::notice(&layout::Notice {
        language: "en",
        paper: Paper::A4,
        banner: None,
        title: "title",
        as_of: "as of",
        sections: &sections,
        dated_utc: None,
        made_by: "dryhold",
    });
    assert!(laid.pages > 2, "{}", laid.pages);
    let words = set_words(&laid);
    for n in 0..60 {
        let name = squeezed(&format!("pump {n}"));
        assert!(words.contains(&name), "{name}");
    }
}
