use vacuum::{Job, Language, Paper, SheetChoices};

use crate::{Sheet, Trace, contents, evacuation, tests::Folder as _};
use layout::page::{self, Drawn, ENDS, Part, SIDE, Typeset};
use layout::{contents::Contents, picture::Rect};

mod claim;
mod pages;

/// The sheet on its pages.
fn compose(sheet: &Sheet<'_>) -> Result<Typeset, layout::ReportError> {
    page::set(&[evacuation::draft(*sheet)?])
}

fn each_set(mut see: impl FnMut(&str, &Contents, &Typeset)) {
    for run in invented_runs::runs() {
        let trace = run.trace();
        let second: Trace = invented_runs::pump_side(&run).iter().collect();
        let gauge = vacuum::GaugeIdentity {
            description: Some("diaphragm gauge with a rather long description, invented".into()),
            serial: Some("G-0012-INVENTED".into()),
            principle: None,
            calibrated_on: Some("2026-01-15".into()),
            calibration_due: Some("2027-01-15".into()),
        };
        let beside = [crate::Companion {
            place: "pump side",
            gauge: &gauge,
            trace: &second,
        }];
        for (paper, beside) in [
            (Paper::A4, &beside[..]),
            (Paper::Letter, &beside[..]),
            (Paper::A4, &[]),
            (Paper::Letter, &[]),
        ] {
            let choices = SheetChoices {
                paper: Some(paper),
                ..SheetChoices::default()
            };
            let sheet = Sheet {
                choices: Some(&choices),
                beside,
                ..run.sheet(&trace)
            };
            let contents = contents::of(&sheet);
            let name = format!("{} on {}", run.name, paper.code());
            see(&name, &contents, &compose(&sheet).unwrap());
        }
    }
}

/// What a thing covers, and whether other things may lie on it.
fn covered(drawn: &Drawn) -> Option<Rect> {
    match drawn {
        Drawn::Line(line) => Some(line.bounds()),
        Drawn::Curve {
            picture,
            x,
            y,
            scale,
        } => Some(Rect::new(
            *x,
            *y,
            x + picture.width * scale,
            y + picture.height * scale,
        )),
        Drawn::Code { rect, .. } | Drawn::Logo { rect, .. } | Drawn::Photo { rect, .. } => {
            Some(*rect)
        }
        // rules and bars lie under words
        Drawn::Block { .. } => None,
    }
}

/// Complains of what is outside the margins or lies on something; counts what is drawn.
pub(super) fn assert_lies_free(name: &str, set: &Typeset) -> usize {
    let room = Rect::new(SIDE, ENDS, set.size.0 - SIDE, set.size.1 - ENDS).grown(0.3);
    let mut seen: Vec<(usize, Rect, String)> = Vec::new();
    for part in &set.parts {
        part.visit(&mut |page, drawn| {
            let Some(rect) = covered(drawn) else { return };
            let words = match drawn {
                Drawn::Line(line) => line.words.clone(),
                _ => "a picture".to_owned(),
            };
            // the number of the page is in the margin
            let numbered = set.pages > 1 && rect.y0 > room.y1;
            assert!(
                room.contains(&rect) || numbered,
                "{name}: “{words}” at {rect:?} is outside {room:?}"
            );
            for (other_page, other, said) in &seen {
                // touching is not lying on
                let apart = *other_page != page || !other.overlaps(&rect.grown(-0.2));
                assert!(
                    apart,
                    "{name}: “{words}” {rect:?} lies on “{said}” {other:?}"
                );
            }
            seen.push((page, rect, words));
        });
    }
    seen.len()
}

#[test]
fn nothing_is_clipped_or_lies_on_anything_else() {
    let mut lines = 0;
    each_set(|name, _, set| {
        assert!((1..=2).contains(&set.pages), "{name}: {}", set.pages);
        lines += assert_lies_free(name, set);
    });
    assert!(lines > 5000, "{lines}");
}

/// All words on the page, without white space.
/// Sheets of tests on their pages.
pub(super) fn set(tests: &[crate::Test<'_>]) -> Typeset {
    page::set(&crate::drafts(tests).unwrap()).unwrap()
}

/// Everything that is said on the pages, a line each; what stands in a curve behind a bar.
pub(super) fn said_on(laid: &Typeset) -> String {
    let mut said = String::new();
    for part in &laid.parts {
        part.visit(&mut |_, drawn| match drawn {
            Drawn::Line(line) => said += &format!("{}\n", line.words),
            Drawn::Curve { picture, .. } => {
                for text in &picture.texts {
                    said += &format!("  | {}\n", text.words);
                }
            }
            _ => {}
        });
    }
    said
}

pub(super) fn set_words(set: &Typeset) -> String {
    let mut out = String::new();
    for part in &set.parts {
        part.visit(&mut |_, drawn| {
            if let Drawn::Line(line) = drawn {
                out += &squeezed(&line.words);
            }
        });
    }
    out
}

/// R-717 burns and is toxic, R-744 stands under high pressure: the longest lists.
#[test]
fn every_caution_is_set_whole_in_every_language_and_paper() {
    for refrigerant in ["R-717", "R-744", "R-600a", "R-123"] {
        for (language, paper) in Language::ALL
            .into_iter()
            .flat_map(|l| Paper::ALL.map(|p| (l, p)))
        {
            let choices = SheetChoices {
                language: Some(language),
                paper: Some(paper),
                ..SheetChoices::default()
            };
            let name = format!("{refrigerant} {} {}", language.code(), paper.code());
            for run in ["both_1h", "stalls"] {
                with_run(run, |sheet| {
                    let job = sheet.job.map(|job| Job {
                        refrigerant: Some(refrigerant.into()),
                        ..job.clone()
                    });
                    let sheet = Sheet {
                        job: job.as_ref(),
                        choices: Some(&choices),
                        ..*sheet
                    };
                    let contents = contents::of(&sheet);
                    let set = compose(&sheet).unwrap();
                    assert!(assert_lies_free(&name, &set) > 80);
                    let words = set_words(&set);
                    let page = crate::sheet_html(&sheet).unwrap();
                    assert!(contents.cautions.items.len() >= 4, "{name}");
                    for caution in &contents.cautions.items {
                        assert!(words.contains(&squeezed(caution)), "{name}: “{caution}”");
                        let there = page.contains(&layout::text::escape(caution));
                        assert!(there, "{name}, on screen: “{caution}”");
                    }
                });
            }
        }
    }
}

/// One invented run on a sheet with everything in it.
fn with_run<T>(name: &str, see: impl FnOnce(&Sheet<'_>) -> T) -> T {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    let trace = run.trace();
    see(&run.sheet(&trace))
}

#[test]
fn no_word_is_set_that_the_contents_do_not_say() {
    each_set(|name, contents, set| {
        let all = squeezed(&layout::font::face(false).settable(&format!("{contents:?}")));
        for part in &set.parts {
            part.visit(&mut |_, drawn| {
                let Drawn::Line(line) = drawn else { return };
                let words = squeezed(line.words.trim_end_matches('…'));
                // what is said of what is missing is put together on the page
                let told = line.words.contains(" more in ")
                    || line.words == contents.notes.overleaf(2)
                    || line.words.contains("(continued)")
                    || line.words.starts_with("Page ")
                    || line.words.contains(&contents.started);
                assert!(told || all.contains(&words), "{name}: “{}”", line.words);
            });
        }
    });
}

/// Without white space and the marks of the debug form.
pub(super) fn squeezed(text: &str) -> String {
    let plain = text.replace("\\\"", "\"").replace("\\'", "'");
    plain.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn every_entry_of_a_plain_run_is_set_whole() {
    each_set(|name, contents, set| {
        if !name.starts_with("both_1h") {
            return;
        }
        let set_words = set_words(set);
        let lists = [&contents.measured, &contents.system, &contents.instruments];
        let entries = lists.iter().flat_map(|l| &l.entries).map(|e| &e.value);
        let rows = contents.criteria.rows.iter().flatten();
        let sentences = contents.notes.items.iter().chain(&contents.cautions.items);
        let others = [&contents.reason, &contents.foot, &contents.verdict_words];
        let digest = contents.digest.iter().map(|d| &d.words);
        for words in entries
            .chain(rows)
            .chain(sentences)
            .chain(others)
            .chain(digest)
        {
            let long = words.starts_with("pump side, diaphragm");
            let there = set_words.contains(&squeezed(words));
            assert!(there || long, "{name}: “{words}”");
        }
    });
}

#[test]
fn a_second_page_is_for_rounds_and_findings() {
    let mut on_one = 0;
    each_set(|name, contents, set| {
        let rounds = contents.rounds.is_some();
        let many = contents.notes.items.len() > 3;
        assert!(set.pages == 1 || rounds || many, "{name}");
        // three rounds have room below the curve, and no second page holds a line or two
        on_one += usize::from(name.starts_with("three_rounds") && set.pages == 1);
        let mut lines = 0;
        for part in &set.parts {
            part.visit(&mut |page, drawn| {
                lines += usize::from(page == 1 && matches!(drawn, Drawn::Line(_)));
            });
        }
        assert!(set.pages == 1 || lines >= 8, "{name}: {lines} lines");
    });
    assert!(on_one >= 2, "{on_one}");
}

/// What the sheet is stands whole at its head, whatever the language.
#[test]
fn no_heading_is_cut_in_any_language() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "leak_1h").unwrap();
    let trace = run.trace();
    for language in vacuum::Language::ALL {
        let choices = SheetChoices {
            language: Some(language),
            ..SheetChoices::default()
        };
        let sheet = Sheet {
            choices: Some(&choices),
            ..run.sheet(&trace)
        };
        let contents = contents::of(&sheet);
        let set = compose(&sheet).unwrap();
        let mut whole = false;
        for part in &set.parts {
            part.visit(&mut |_, drawn| {
                whole |= matches!(drawn, Drawn::Line(line) if line.words == contents.heading);
            });
        }
        assert!(whole, "{}: {}", language.code(), contents.heading);
    }
}

/// The code as a decoder that is not ours reads it from pixels.
#[test]
fn the_code_reads_as_the_digest() {
    const MODULE: usize = 4;
    let (dark, side) = page::modules(invented_runs::DIGEST).unwrap();
    assert_eq!(dark.len(), side * side);
    let across = (side + 2 * page::QUIET) * MODULE;
    let is_dark = |x: usize, y: usize| {
        let inside = |v: usize| (v / MODULE).checked_sub(page::QUIET).filter(|m| *m < side);
        matches!((inside(x), inside(y)), (Some(x), Some(y)) if dark[y * side + x])
    };
    let mut read = rqrr::PreparedImage::prepare_from_greyscale(across, across, |x, y| {
        if is_dark(x, y) { 0 } else { 255 }
    });
    let grids = read.detect_grids();
    assert_eq!(grids.len(), 1);
    assert_eq!(grids[0].decode().unwrap().1, invented_runs::DIGEST);
}

#[test]
fn the_quiet_zone_of_the_code_is_empty() {
    each_set(|name, _, set| {
        let mut code = None;
        let mut others = Vec::new();
        for part in &set.parts {
            part.visit(&mut |page, drawn| match drawn {
                Drawn::Code { dark, rect } => code = Some((page, dark.len().isqrt(), *rect)),
                other => others.extend(covered(other).map(|r| (page, r))),
            });
        }
        let (page, side, rect) = code.unwrap();
        #[expect(clippy::cast_precision_loss, reason = "under 200")]
        let quiet = 4.0 * rect.width() / side as f64;
        // half a millimetre to a module is what a telephone reads from paper
        assert!(rect.width() / f64::from(u32::try_from(side).unwrap()) > 1.2);
        let zone = rect.grown(quiet - 0.01);
        let free = others.iter().all(|(p, r)| *p != page || !r.overlaps(&zone));
        assert!(free, "{name}");
    });
}

#[test]
fn a_leaf_is_never_empty() {
    fn check(part: &Part) {
        match part {
            Part::Group(_, parts) => parts.iter().for_each(check),
            Part::Leaf(_, drawn) | Part::Ornament(_, drawn) => assert!(!drawn.is_empty()),
        }
    }
    each_set(|_, _, set| set.parts.iter().for_each(check));
}
