//! The second page: all rounds, and what the first page had no room for.

use super::{
    Part, Role, SIDE, Style,
    blocks::{self, LineLimit, WhenCut},
    column::Column,
};
use crate::contents::Contents;

/// LineLimit between blocks, pt.
const APART: f64 = 10.0;
/// Most lines of one sentence.
const LONGEST: usize = 12;

/// What the first page could not hold.
#[derive(Debug, Clone, Copy)]
pub(super) struct Overflow {
    /// Sentences of the notes that it holds whole.
    pub(super) notes: usize,
    /// Rows of the timeline on it.
    pub(super) events: usize,
}

/// Its parts; none when the first page holds it all.
pub(super) fn page(
    contents: &Contents,
    left: Overflow,
    (size, bottom): ((f64, f64), f64),
) -> Vec<Part> {
    let notes_left = left.notes < contents.notes.items.len();
    if contents.rounds.is_none() && !notes_left {
        return Vec::new();
    }
    let mut column = Column::new(1, SIDE, super::ENDS, size.0 - 2.0 * SIDE);
    let mut parts = Vec::new();
    parts.extend(blocks::banner(contents, &mut column).into_iter().flatten());
    parts.push(head(contents, &mut column));
    column.y += APART;
    if let Some(rounds) = &contents.rounds {
        let mut section = Vec::from(column.heading(&rounds.title));
        // a run of very many rounds has its later ones in the record
        let most = rows_that_fit(bottom - column.y);
        let first = rounds.rows.len().saturating_sub(most);
        let ends = [0.08, 0.38, 0.66, 1.0];
        section.push(blocks::table(
            &mut column,
            &rounds.head,
            &rounds.rows[first..],
            (ends, false),
        ));
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
    parts
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
