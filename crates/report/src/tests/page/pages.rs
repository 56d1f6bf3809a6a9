//! Pages as they were, in words and as pictures.

use std::fmt::Write as _;

use vacuum::SheetChoices;

use super::{Drawn, Typeset, compose, with_run};
use crate::{
    Sheet,
    tests::golden::{cases::CASES, kept, pixels::Pixels},
};
use layout::{
    picture::{Dash, Ink, Rect},
    svg,
    text::escape,
};

/// Width of the kept pages: letters are grains, but each line has its place and length;
/// what it says is in the words kept.
const WIDTH: u32 = 380;

fn each_case(mut see: impl FnMut(&str, &Sheet<'_>, &Typeset)) {
    for (name, language, unit, _) in CASES {
        let choices = SheetChoices {
            language: Some(language),
            unit: Some(unit),
            ..SheetChoices::default()
        };
        with_run(name, |sheet| {
            let sheet = Sheet {
                choices: Some(&choices),
                ..*sheet
            };
            see(name, &sheet, &compose(&sheet).unwrap());
        });
    }
}

/// Every element of the first page, as SVG.
fn elements(set: &Typeset) -> Vec<String> {
    let mut out = Vec::new();
    for part in &set.parts {
        part.visit(&mut |page, drawn| {
            if page == 0 {
                out.push(element(drawn));
            }
        });
    }
    out
}

fn svg(set: &Typeset, elements: &[String]) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" \
         font-family=\"sans-serif\">{}</svg>",
        elements.concat(),
        w = set.size.0,
        h = set.size.1
    )
}

fn element(drawn: &Drawn) -> String {
    match drawn {
        Drawn::Line(line) => {
            let weight = if line.style.bold { "bold" } else { "normal" };
            format!(
                "<text x=\"{}\" y=\"{}\" font-size=\"{}\" font-weight=\"{weight}\" \
                 fill=\"{}\">{}</text>",
                line.x,
                line.y,
                line.style.size,
                line.style.ink.hex(),
                escape(&line.words)
            )
        }
        Drawn::Block { rect, fill, frame } => block(rect, *fill, *frame),
        Drawn::Curve {
            picture,
            x,
            y,
            scale,
        } => format!(
            "<g transform=\"translate({x} {y}) scale({scale})\">{}</g>",
            svg::write(picture)
        ),
        Drawn::Code { dark, rect } => {
            let side = dark.len().isqrt();
            let module = rect.width() / side as f64;
            let mut path = String::new();
            for at in (0..dark.len()).filter(|at| dark[*at]) {
                let x = rect.x0 + (at % side) as f64 * module;
                let y = rect.y0 + (at / side) as f64 * module;
                let _ = write!(path, "M{x} {y}h{module}v{module}h-{module}z");
            }
            format!("<path d=\"{path}\"/>")
        }
        // no case has one
        Drawn::Logo { .. } | Drawn::Photo { .. } => String::new(),
    }
}

fn block(rect: &Rect, fill: Option<Ink>, frame: Option<(Ink, f64, Dash)>) -> String {
    let fill = fill.map_or_else(|| "none".to_owned(), Ink::hex);
    let pen = frame.map_or_else(String::new, |(ink, width, dash)| {
        let broken = if dash == Dash::Solid { "none" } else { "5 3" };
        format!(
            "stroke=\"{}\" stroke-width=\"{width}\" stroke-dasharray=\"{broken}\"",
            ink.hex()
        )
    });
    format!(
        "<path d=\"M{x0} {y0}H{x1}V{y1}H{x0}z\" fill=\"{fill}\" {pen}/>",
        x0 = rect.x0,
        y0 = rect.y0,
        x1 = rect.x1,
        y1 = rect.y1
    )
}

#[test]
fn pages_look_as_they_did() {
    let mut drawn = Vec::new();
    each_case(|name, _, set| {
        let page = Pixels::draw(&svg(set, &elements(set)), WIDTH);
        drawn.push((format!("{name}-page"), page.grey()));
    });
    kept::compare("pages", drawn);
}

/// Lines of text moved by three pixels, and elements left out, one at a time; every
/// fourth, to save time.
#[test]
fn a_moved_line_and_a_missing_one_are_seen_on_a_page() {
    each_case(|name, _, set| {
        if name != "leak_1h" {
            return;
        }
        let all = elements(set);
        let drawn = |all: &[String]| Pixels::draw(&svg(set, all), WIDTH).grey();
        let kept = Pixels::read(&drawn(&all).file()).unwrap();
        let by = 3.0 * set.size.0 / f64::from(WIDTH);
        let mut moved = 0;
        for (at, own) in all.iter().enumerate().step_by(4) {
            let mut altered = all.clone();
            altered[at] = String::new();
            let without = drawn(&altered);
            // a bullet is smaller than what may differ, a grey rule fainter
            let is_small = own.ends_with(">•</text>") || own.starts_with("<path");
            assert!(is_small || !without.looks_like(&kept), "unseen: {own}");
            if own.starts_with("<text") && !is_small {
                altered[at] = format!("<g transform=\"translate({by} 0)\">{own}</g>");
                let shifted = drawn(&altered);
                assert!(!shifted.looks_like(&kept), "unseen when moved: {own}");
                moved += 1;
            }
        }
        assert!(moved > 20, "{moved}");
    });
}

/// Every line of the paper, in reading order.
#[test]
fn paper_reads_as_it_did() {
    let mut said = String::new();
    each_case(|name, _, set| {
        for at in 0..set.pages {
            let _ = writeln!(said, "== {name}, page {}", at + 1);
            for part in &set.parts {
                part.visit(&mut |page, drawn| match drawn {
                    _ if page != at => {}
                    Drawn::Line(line) => said.push_str(&format!("{}\n", line.words)),
                    Drawn::Curve { picture, .. } => {
                        for text in &picture.texts {
                            said.push_str(&format!("  | {}\n", text.words));
                        }
                    }
                    _ => {}
                });
            }
        }
    });
    insta::assert_snapshot!("paper", said);
}

/// Width at which paper and model are compared.
const FINE: u32 = 4 * WIDTH;
/// They are compared in squares of so many pixels, three of the kept pages: two programs
/// lay the edges of letters differently, but about as much ink into each square.
const SQUARE: usize = 12;
/// Most that the ink of a square may differ, of 255 from white to black. Measured are at
/// most 25.4.
const MOST: f64 = 32.0;

/// How light each square is.
fn squares(page: &Pixels) -> Vec<f64> {
    let width = page.width as usize;
    let mut out = vec![0.0; width.div_ceil(SQUARE) * (page.height as usize).div_ceil(SQUARE)];
    for (at, pixel) in page.rgb.chunks(3).enumerate() {
        let (x, y) = (at % width / SQUARE, at / width / SQUARE);
        out[y * width.div_ceil(SQUARE) + x] += f64::from(pixel[0]) / (SQUARE * SQUARE) as f64;
    }
    out
}

/// The furthest that a square of one page is from the same square of the other.
fn furthest(one: &Pixels, other: &Pixels) -> f64 {
    assert_eq!((one.width, one.height), (other.width, other.height));
    let pairs = squares(one).into_iter().zip(squares(other));
    pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

/// The printed page as a program draws it that had no part in making it: `pdftoppm`
/// (poppler).
fn printed(sheet: &Sheet<'_>) -> Option<Pixels> {
    let folder = tempfile::tempdir().unwrap();
    let (file, page) = (folder.path().join("sheet.pdf"), folder.path().join("page"));
    std::fs::write(&file, crate::sheet_pdf(sheet).unwrap()).unwrap();
    let drawn = std::process::Command::new("pdftoppm")
        .args(["-png", "-singlefile", "-scale-to-y", "-1", "-scale-to-x"])
        .arg(FINE.to_string())
        .args([&file, &page])
        .output();
    let Ok(drawn) = drawn else {
        skipped_tests::skip("pdftoppm is not installed");
        return None;
    };
    assert!(drawn.status.success(), "{drawn:?}");
    let picture = std::fs::read(page.with_extension("png")).unwrap();
    Some(Pixels::read(&picture).unwrap().grey())
}

#[test]
fn paper_looks_like_the_model() {
    each_case(|name, sheet, set| {
        let model = Pixels::draw(&svg(set, &elements(set)), FINE).grey();
        let Some(paper) = printed(sheet) else { return };
        let off = furthest(&paper, &model);
        assert!(off < MOST, "{name}: {off}");
    });
}

/// Every fourth text of some length in full ink left out of the model, and moved by three pixels of the
/// kept pages to the right and down; the curve left out. A short or grey word and
/// a rule have less ink than may differ.
#[test]
fn what_is_missing_or_moved_on_paper_is_seen() {
    each_case(|name, sheet, set| {
        if name != "leak_1h" {
            return;
        }
        let Some(paper) = printed(sheet) else { return };
        let all = elements(set);
        let is_off = |at: usize, by: String| {
            let mut altered = all.clone();
            altered[at] = by;
            furthest(&paper, &Pixels::draw(&svg(set, &altered), FINE).grey()) >= MOST
        };
        let by = 3.0 * set.size.0 / f64::from(WIDTH);
        let full_ink = Ink::Black.hex();
        let is_long = |own: &str| own.split('>').nth(1).is_some_and(|words| words.len() > 12);
        let is_text =
            |own: &str| own.starts_with("<text") && own.contains(&full_ink) && is_long(own);
        let mut moved = 0;
        for (at, own) in all.iter().enumerate() {
            if own.starts_with("<g") {
                assert!(is_off(at, String::new()), "unseen: {own:.80}");
            }
            if at % 4 != 0 || !is_text(own) {
                continue;
            }
            assert!(is_off(at, String::new()), "unseen: {own}");
            let shifted = format!("<g transform=\"translate({by} {by})\">{own}</g>");
            assert!(is_off(at, shifted), "unseen when moved: {own}");
            moved += 1;
        }
        assert!(moved > 10, "{moved}");
    });
}
