//! Verdict, reason and identity above a picture that stands alone, and the bar over invented
//! data.

use findings::Verdict;
use wording::{Voice, say};

use crate::{
    font::width_on_screen,
    form::Form,
    picture::{Anchor, Dash, Ink, Rect, Shape, Stroke, Text},
    text::{fit, wrap_evenly},
};

const MARGIN: f64 = 16.0;

/// What stands above a picture that stands alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// In which words.
    pub voice: Voice,
    /// True where a bar says that the data are invented.
    pub invented: bool,
    /// For the look of the verdict; what it says is in words.
    pub verdict: Verdict,
    /// True for a pass by the rule that must not look like a plain one.
    pub reserved: bool,
    /// The verdict in few words.
    pub verdict_words: String,
    /// What stands against a pass, a sentence.
    pub reserve: Option<String>,
    /// Its reason, one sentence.
    pub reason: String,
    /// What was measured, in sentences.
    pub details: Vec<String>,
    /// Which run this is and who judged it.
    pub identity: String,
}

/// Writes the header of a picture of this form; returns where it ends, px from the top.
pub fn write(
    head: &Head,
    form: Form,
    picture_width: f64,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) -> f64 {
    let mut y = 4.0;
    if form != Form::Standalone {
        return y;
    }
    if head.invented {
        y = banner(&head.voice, picture_width, (shapes, texts));
    }
    standalone(head, y + 8.0, picture_width, (shapes, texts))
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
    head: &Head,
    top: f64,
    picture_width: f64,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) -> f64 {
    let box_right = verdict_box(head, top, (shapes, texts));
    let left = box_right + 14.0;
    let room = picture_width - left - MARGIN;
    let mut y = top + 13.0;
    if let Some(reserve) = &head.reserve {
        for line in wrap_evenly(reserve, room, 15.0, true, 2) {
            texts.push(Text::new(left, y, 15.0, line).bold());
            y += 19.0;
        }
    }
    for line in wrap_evenly(&head.reason, room, 13.0, true, 2) {
        texts.push(Text::new(left, y, 13.0, line).bold());
        y += 17.0;
    }
    for sentence in &head.details {
        for line in wrap_evenly(sentence, room, 11.5, false, 3) {
            texts.push(Text::new(left, y, 11.5, line));
            y += 15.0;
        }
    }
    let identity = fit(&head.identity, room, 10.0, false);
    texts.push(Text::new(left, y, 10.0, identity).ink(Ink::Grey));
    y.max(top + 34.0) + 10.0
}

/// Verdict in words in a box whose frame differs too: pass plain, pass by
/// the rule with long dashes, fail filled, not proven with short ones. Returns the right edge.
fn verdict_box(head: &Head, top: f64, (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>)) -> f64 {
    const SIZE: f64 = 20.0;
    let words = head.verdict_words.clone();
    let right = MARGIN + width_on_screen(&words, SIZE, true) + 24.0;
    let (fill, ink, dash) = match head.verdict {
        Verdict::Pass if head.reserved => (None, Ink::Black, Dash::Long),
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
