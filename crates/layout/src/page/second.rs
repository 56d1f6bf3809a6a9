//! The further pages: all rounds, what the first page had no room for, what belongs to the
//! claim, and the photo.

use super::{
    Drawn, Part, Role, SIDE, Style,
    blocks::{self, LineLimit, WhenCut},
    column::Column,
};
use crate::{Draft, Photo, contents::Contents, parts::Table, picture::Rect};

/// LineLimit between blocks, pt.
const APART: f64 = 10.0;
/// Most lines of one sentence.
const LONGEST: usize = 12;
/// Least room for a photo, pt: with less it begins a page.
const LEAST_PHOTO: f64 = 260.0;
/// Most height of a photo, pt.
const MOST_PHOTO: f64 = 520.0;
/// A pixel is not drawn larger than this, pt.
const LARGEST_PIXEL: f64 = 0.75;

/// What the first page could not hold.
#[derive(Debug, Clone, Copy)]
pub(super) struct Overflow {
    /// Sentences of the notes that it holds whole.
    pub(super) notes: usize,
    /// Rows of the timeline on it.
    pub(super) events: usize,
    /// True where the table of rounds is not on it.
    pub(super) rounds: bool,
}

/// Parts of the further pages, and how many pages there are with the first; no parts when
/// the first page holds it all.
pub(super) fn pages(
    sheet: &Draft<'_>,
    contents: &Contents,
    left: Overflow,
    (size, bottom): ((f64, f64), f64),
) -> (Vec<Part>, usize) {
    let photo = sheet.photo.zip(contents.photo.as_deref());
    let notes_left = left.notes < contents.notes.items.len();
    let run = left.rounds || notes_left;
    let claim = !contents.paperwork.entries.is_empty();
    if !run && !claim && photo.is_none() {
        return (Vec::new(), 1);
    }
    let mut parts = Vec::new();
    let mut column = begin(contents, 1, size.0, &mut parts);
    if run {
        parts.extend(of_run(contents, left, &mut column, bottom));
        column.y += APART;
    }
    if claim {
        // it is short; where it does not fit below the rest it begins a page
        if column.y + claim_height(contents) > bottom {
            column = begin(contents, column.page + 1, size.0, &mut parts);
        }
        parts.push(blocks::list(&mut column, &contents.paperwork, 2));
        column.y += APART;
    }
    if let Some((photo, words)) = photo {
        if bottom - column.y < LEAST_PHOTO {
            column = begin(contents, column.page + 1, size.0, &mut parts);
        }
        parts.push(figure(photo, words, &mut column, bottom));
    }
    (parts, column.page + 1)
}

/// Begins a page with the bar and with which run it belongs to.
fn begin(contents: &Contents, page: usize, width: f64, parts: &mut Vec<Part>) -> Column {
    let mut column = Column::new(page, SIDE, super::ENDS, width - 2.0 * SIDE);
    parts.extend(blocks::banner(contents, &mut column).into_iter().flatten());
    parts.push(head(contents, &mut column));
    column.y += APART;
    column
}

/// Most height of the entries of a claim, pt: two lines each below a heading.
fn claim_height(contents: &Contents) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "about ten")]
    let entries = contents.paperwork.entries.len() as f64;
    14.0 + 2.0 * entries * Style::BODY.leading
}

/// The photo with its words below it, as large as there is room.
fn figure(photo: &Photo, words: &str, column: &mut Column, bottom: f64) -> Part {
    let (wide, high) = photo.size();
    let room = bottom - column.y - Style::SMALL.leading - 3.0;
    let scale = (column.width / wide)
        .min(room.min(MOST_PHOTO) / high)
        .min(LARGEST_PIXEL);
    let rect = Rect::new(
        column.x,
        column.y,
        column.x + wide * scale,
        column.y + high * scale,
    );
    let drawn = Drawn::Photo {
        photo: photo.clone(),
        rect,
    };
    let leaf = Part::Leaf(column.page, vec![drawn]);
    let picture = Part::Group(Role::Figure(words.to_owned()), vec![leaf]);
    column.y = rect.y1 + 3.0;
    let (caption, _) = column.text(words, Style::SMALL, 1);
    let caption = Part::Group(Role::Paragraph, vec![caption]);
    Part::Group(Role::Section, vec![picture, caption])
}

/// All rounds, and what the first page had no room for.
fn of_run(contents: &Contents, left: Overflow, column: &mut Column, bottom: f64) -> Vec<Part> {
    let notes_left = left.notes < contents.notes.items.len();
    let mut parts = Vec::new();
    if let Some(rounds) = contents.rounds.as_ref().filter(|_| left.rounds) {
        // a run of very many rounds has its later ones in the record
        let most = rows_that_fit(bottom - column.y);
        let first = rounds.rows.len().saturating_sub(most);
        let mut section = vec![self::rounds(column, rounds, first)];
        if first > 0 {
            let (leaf, _) = column.text(&contents.notes.more(first), Style::BODY.grey(), 1);
            section.push(Part::Group(Role::Paragraph, vec![leaf]));
        }
        parts.push(Part::Group(Role::Section, section));
        column.y += APART;
    }
    let events_left = left.events < contents.timeline.rows.len();
    let mut halves = [column.within(0.0, 0.62), column.within(0.66, 1.0)];
    if notes_left {
        let lines = lines_that_fit(bottom - column.y);
        let room = LineLimit {
            lines,
            each: (LONGEST, LONGEST),
        };
        let title = contents.notes.continued();
        let asked = (left.notes, room, WhenCut::HowMany);
        parts.push(blocks::sentences(&mut halves[0], &contents.notes, asked, &title).0);
    }
    if events_left {
        let rows = lines_that_fit(bottom - column.y);
        let title = contents.timeline.continued();
        let asked = (left.events, rows);
        parts.push(blocks::timeline(&mut halves[1], &contents.timeline, asked, &title).0);
    }
    let lowest = halves.iter().fold(column.y, |y, half| y.max(half.y));
    column.y = lowest;
    parts
}

/// The rounds from `first` on, under their heading.
pub(super) fn rounds(column: &mut Column, rounds: &Table, first: usize) -> Part {
    const ENDS: [f64; 4] = [0.08, 0.38, 0.66, 1.0];
    let mut section = Vec::from(column.heading(&rounds.title));
    let rows = &rounds.rows[first..];
    section.push(blocks::table(column, &rounds.head, rows, (ENDS, false)));
    Part::Group(Role::Section, section)
}

/// Which run this page belongs to.
fn head(contents: &Contents, column: &mut Column) -> Part {
    let words = format!(
        "{}, {}, {}",
        contents.job, contents.started, contents.source
    );
    let (title, _) = column.text(&contents.heading, Style::SHOP, 1);
    let (leaf, _) = column.text(&words, Style::BODY, 1);
    Part::Group(Role::Paragraph, vec![title, leaf])
}

/// Lines of a list below its heading.
fn lines_that_fit(height: f64) -> usize {
    const HEADING: f64 = 14.0;
    whole((height - HEADING) / Style::BODY.leading)
}

/// Rows of two lines below a head, with room kept for the lists.
fn rows_that_fit(height: f64) -> usize {
    whole(0.5 * height / (2.0 * Style::BODY.leading + 1.2))
}

fn whole(count: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a page has some hundred lines"
    )]
    let count = count.max(0.0) as usize;
    count
}
