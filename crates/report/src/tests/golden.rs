//! Pictures and words of invented runs as they were, so that whoever changes a line
//! sees what it does.
//!
//! `DRYHOLD_GOLDEN=write cargo test --workspace --lib golden` renews the pictures.

pub(crate) mod cases;
pub(crate) mod kept;
pub(crate) mod pixels;

use std::ops::Range;

use super::Folder as _;
use crate::{Companion, Sheet, Trace};
use cases::CASES;
use kept::Failure;
use pixels::Pixels;
use vacuum::{GaugeIdentity, SheetChoices};

/// Width of the kept curves: smaller, and a dotted line is too faint to be missed.
const WIDTH: u32 = 720;
/// Width of the kept close-ups.
const HOLD_WIDTH: u32 = 500;

fn each_case(mut see: impl FnMut(&str, &Sheet<'_>)) {
    let runs = invented_runs::runs();
    for (name, language, unit, has_second) in CASES {
        let run = runs.iter().find(|r| r.name == name).unwrap();
        let trace = run.trace();
        let second: Trace = invented_runs::pump_side(run).iter().collect();
        let gauge = GaugeIdentity::default();
        let beside = [Companion {
            place: "pump side",
            gauge: &gauge,
            trace: &second,
        }];
        let choices = SheetChoices {
            language: Some(language),
            unit: Some(unit),
            ..SheetChoices::default()
        };
        let sheet = Sheet {
            choices: Some(&choices),
            record_sha256: None,
            beside: if has_second { &beside } else { &[] },
            ..run.sheet(&trace)
        };
        see(name, &sheet);
    }
}

#[test]
fn curves_look_as_they_did() {
    let mut drawn = Vec::new();
    each_case(|name, sheet| {
        let svg = crate::curve_svg(sheet).unwrap();
        drawn.push((format!("{name}-curve"), Pixels::draw(&svg, WIDTH)));
    });
    kept::compare("curves", drawn);
}

#[test]
fn close_ups_look_as_they_did() {
    let mut drawn = Vec::new();
    each_case(|name, sheet| {
        let svg = crate::hold_svg(sheet).unwrap();
        drawn.extend(svg.map(|svg| (format!("{name}-hold"), Pixels::draw(&svg, HOLD_WIDTH))));
    });
    // all but the empty one have a hold
    assert_eq!(drawn.len(), CASES.len() - 1);
    kept::compare("close-ups", drawn);
}

/// Where elements of a picture stand in its text: every one of `names` that is drawn.
fn elements(svg: &str, names: &[&str]) -> Vec<Range<usize>> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let wanted = document
        .descendants()
        .filter(|n| names.contains(&n.tag_name().name()));
    wanted.map(|n| n.range()).collect()
}

fn with_run(name: &str, mut see: impl FnMut(&str)) {
    let mut seen = false;
    each_case(|case, sheet| {
        if case == name {
            see(&crate::curve_svg(sheet).unwrap());
            seen = true;
        }
    });
    assert!(seen);
}

/// A picture of which one element is put elsewhere, as the tests of the test do.
fn replaced(svg: &str, range: &Range<usize>, by: &str) -> Pixels {
    let altered = format!("{}{by}{}", &svg[..range.start], &svg[range.end..]);
    Pixels::draw(&altered, WIDTH)
}

#[test]
fn a_label_moved_by_three_pixels_is_seen() {
    with_run("stalls", |svg| {
        let kept = Pixels::read(&Pixels::draw(svg, WIDTH).file()).unwrap();
        let labels = elements(svg, &["text"]);
        assert!(labels.len() > 25, "{}", labels.len());
        let wide: f64 = roxmltree::Document::parse(svg)
            .unwrap()
            .root_element()
            .attribute("width")
            .unwrap()
            .parse()
            .unwrap();
        // three pixels of the kept picture
        let by = 3.0 * wide / f64::from(WIDTH);
        for label in labels {
            let words = &svg[label.clone()];
            for (x, y) in [(by, 0.0), (0.0, by)] {
                let moved = format!("<g transform=\"translate({x} {y})\">{words}</g>");
                let altered = replaced(svg, &label, &moved);
                assert!(!altered.looks_like(&kept), "unseen: {words}");
            }
        }
    });
}

/// True of a tick or leader shorter than 12 pixels of the picture:
/// smaller than what may differ.
fn is_short(element: &str) -> bool {
    let points = element.split("points=\"").nth(1);
    let points = points.and_then(|p| p.split('"').next()).unwrap_or("");
    let corners: Vec<(f64, f64)> = points
        .split_whitespace()
        .filter_map(|p| {
            let (x, y) = p.split_once(',')?;
            Some((x.parse().ok()?, y.parse().ok()?))
        })
        .collect();
    match corners[..] {
        [(x0, y0), (x1, y1)] => (x1 - x0).hypot(y1 - y0) < 12.0,
        _ => false,
    }
}

#[test]
fn a_missing_line_is_seen() {
    with_run("both_1h", |svg| {
        let kept = Pixels::read(&Pixels::draw(svg, WIDTH).file()).unwrap();
        let mut checked = 0;
        for line in elements(svg, &["polyline", "path", "line"]) {
            let words = &svg[line.clone()];
            // the grid is fainter than what may differ
            if is_short(words) || words.to_lowercase().contains("#dde0e3") {
                continue;
            }
            let altered = replaced(svg, &line, "");
            assert!(!altered.looks_like(&kept), "unseen: {words:.300}");
            checked += 1;
        }
        assert!(checked > 8, "{checked}");
    });
}

#[test]
fn the_same_picture_looks_the_same_and_a_cut_one_does_not() {
    with_run("pass_1h", |svg| {
        let drawn = Pixels::draw(svg, WIDTH);
        let kept = Pixels::read(&drawn.file()).unwrap();
        assert!(drawn.looks_like(&kept));
        let mut cut = drawn.clone();
        cut.height -= 1;
        cut.rgb.truncate(3 * (cut.width * cut.height) as usize);
        assert!(!cut.looks_like(&kept));
        // fewer pixels than a letter has may differ, no more
        let mut specks = drawn.clone();
        specks.rgb[..9].fill(0);
        assert!(specks.looks_like(&kept));
        specks.rgb[..30].fill(0);
        assert!(!specks.looks_like(&kept));
    });
}

#[test]
fn the_page_of_differences_shows_all_three_and_loads_nothing() {
    with_run("pass_1h", |svg| {
        let label = &elements(svg, &["text"])[0];
        let failure = |expected| Failure {
            name: "altered".to_owned(),
            expected,
            actual: replaced(svg, label, ""),
        };
        let page = kept::page(&[failure(Some(Pixels::draw(svg, WIDTH))), failure(None)]);
        assert_eq!(page.matches("src=\"data:image/png;base64,").count(), 4);
        assert_eq!(page.matches("src=").count(), 4);
        assert!(!page.contains("href") && !page.contains("url("));
        assert!(page.contains("pixels differ") && page.contains("none is kept"));
    });
}

#[test]
fn kept_pictures_are_small_and_all_in_use() {
    let mut names: Vec<String> = Vec::new();
    each_case(|name, sheet| {
        names.push(format!("{name}-curve.png"));
        // drawn by the tests beside the typesetter, which is not public
        names.push(format!("{name}-page.png"));
        if crate::hold_svg(sheet).unwrap().is_some() {
            names.push(format!("{name}-hold.png"));
        }
    });
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("golden");
    for entry in std::fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.ends_with(".png") {
            assert!(names.contains(&name), "{name} is nobody's");
            let bytes = entry.metadata().unwrap().len();
            assert!(bytes <= kept::MOST_BYTES as u64, "{name}: {bytes} bytes");
        }
    }
}
