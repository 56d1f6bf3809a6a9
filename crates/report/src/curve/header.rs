//! Verdict, reason and identity above a curve that stands alone.

use findings::{Findings, Verdict};
use wording::{Voice, one_line, say};

use super::form::Form;
use crate::{
    Sheet,
    font::width_on_screen,
    picture::{Anchor, Dash, Ink, Rect, Shape, Stroke, Text},
    sheet::{is_invented, source_name},
    text::{fit, wrap_evenly},
};

const MARGIN: f64 = 16.0;

/// Writes the header; returns where it ends, px from the top.
pub(super) fn write(
    sheet: &Sheet<'_>,
    form: Form,
    picture_width: f64,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) -> f64 {
    let mut y = 4.0;
    if form != Form::Standalone {
        return y;
    }
    if is_invented(sheet) {
        y = banner(&sheet.voice(), picture_width, (shapes, texts));
    }
    standalone(sheet, y + 8.0, picture_width, (shapes, texts))
}

fn banner(
    voice: &Voice,
    picture_width: f64,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) -> f64 {
    let bar = Rect::new(0.0, 0.0, picture_width, 19.0);
    shapes.push(Shape::Block {
        rect: bar,
        fill: Some(Ink::Black),
        stroke: None,
    });
    texts.push(
        Text::new(0.5 * picture_width, 13.5, 11.0, say!(voice, "invented"))
            .ink(Ink::White)
            .anchored(Anchor::Middle)
            .bold(),
    );
    bar.y1 + 3.0
}

fn standalone(
    sheet: &Sheet<'_>,
    top: f64,
    picture_width: f64,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) -> f64 {
    let voice = &sheet.voice();
    let box_right = verdict_box(voice, sheet.findings, top, (shapes, texts));
    let left = box_right + 14.0;
    let room = picture_width - left - MARGIN;
    let mut y = top + 13.0;
    if let Some(reserve) = wording::reserve(voice, sheet.findings) {
        for line in wrap_evenly(&wording::sentence(&reserve), room, 15.0, true, 2) {
            texts.push(Text::new(left, y, 15.0, line).bold());
            y += 19.0;
        }
    }
    for line in wrap_evenly(
        &wording::reason_sentence(voice, sheet.findings),
        room,
        13.0,
        true,
        2,
    ) {
        texts.push(Text::new(left, y, 13.0, line).bold());
        y += 17.0;
    }
    for sentence in details(sheet) {
        for line in wrap_evenly(&sentence, room, 11.5, false, 3) {
            texts.push(Text::new(left, y, 11.5, line));
            y += 15.0;
        }
    }
    let identity = identity(sheet);
    texts.push(Text::new(left, y, 10.0, fit(&identity, room, 10.0, false)).ink(Ink::Grey));
    y.max(top + 34.0) + 10.0
}

/// Verdict in words in a box whose frame differs too: pass plain, pass by
/// the rule with long dashes, fail filled, not proven with short ones. Returns the right edge.
fn verdict_box(
    voice: &Voice,
    findings: &Findings,
    top: f64,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) -> f64 {
    const SIZE: f64 = 20.0;
    let words = wording::short_headline(voice, findings);
    let right = MARGIN + width_on_screen(&words, SIZE, true) + 24.0;
    let (fill, ink, dash) = match findings.verdict {
        Verdict::Pass if wording::is_reserved(findings) => (None, Ink::Black, Dash::Long),
        Verdict::Pass => (None, Ink::Black, Dash::Solid),
        Verdict::Fail => (Some(Ink::Black), Ink::White, Dash::Solid),
        Verdict::NotProven => (None, Ink::Black, Dash::Short),
    };
    shapes.push(Shape::Block {
        rect: Rect::new(MARGIN, top, right, top + 34.0),
        fill,
        stroke: Some(Stroke::new(Ink::Black, 1.6, dash)),
    });
    texts.push(
        Text::new(0.5 * (MARGIN + right), top + 24.2, SIZE, words)
            .anchored(Anchor::Middle)
            .ink(ink)
            .bold(),
    );
    right
}

/// Rise and detection limit of the judged hold.
fn details(sheet: &Sheet<'_>) -> Vec<String> {
    let voice = &sheet.voice();
    sheet.findings.judged_hold().map_or_else(
        || vec![say!(voice, "curve-no-hold")],
        |hold| {
            vec![
                wording::rise_headline(voice, hold),
                wording::sight_sentence(voice, hold),
            ]
        },
    )
}

/// Which run this is and who judged it.
fn identity(sheet: &Sheet<'_>) -> String {
    let voice = &sheet.voice();
    let mut parts = Vec::new();
    let source = source_name(sheet.source);
    if let Some(job) = sheet.job {
        // a run folder's name ends in the job already
        let is_named = !job.id.is_empty() && source.ends_with(&job.id);
        parts.extend((!is_named).then(|| say!(voice, "curve-job", job = one_line(&job.id, 40))));
        parts.extend(job.appliance.as_deref().map(|a| one_line(a, 40)));
    }
    parts.extend(sheet.started_utc.map(|s| {
        let time = one_line(&voice.time_of_day(s), 40);
        say!(voice, "curve-started", time = time)
    }));
    let program = one_line(sheet.made_by, 40);
    parts.push(say!(voice, "curve-judged-by", program = program));
    parts.push(one_line(source, 80));
    parts.join("  ·  ")
}
