//! The bar over invented data, tables, lists, lines to sign on, the code.

use qrcode::{EcLevel, QrCode};

use super::{
    Drawn, Part, Role, Style,
    column::{Column, fitted, wrap},
};
use crate::{
    contents::Contents,
    parts::{List, ListItem, Sentences, Signature, Timeline},
    picture::{Dash, Ink, Rect},
};

/// Widest share of a column that names of entries take.
const NAMES: f64 = 0.42;
/// LineLimit between a name and its value, pt.
const GAP: f64 = 6.0;
/// Where sentences begin, right of their bullet, pt.
const INDENT: f64 = 6.0;

/// The bar over demonstration data.
pub(super) fn banner(contents: &Contents, column: &mut Column) -> Option<[Part; 2]> {
    contents.banner.as_deref().map(|words| bar(words, column))
}

/// A bar with words in it.
pub(super) fn bar(words: &str, column: &mut Column) -> [Part; 2] {
    let style = Style::HEADING.white();
    let bar = Rect::new(
        column.x,
        column.y,
        column.right(),
        column.y + style.leading + 2.6,
    );
    let block = Drawn::Block {
        rect: bar,
        fill: Some(Ink::Black),
        frame: None,
    };
    column.y += 1.3;
    let x = column.x + 0.5 * (column.width - style.width(words));
    let line = Drawn::Line(column.line(x, words.to_owned(), style));
    column.y = bar.y1 + 3.0;
    [
        Part::Ornament(column.page, vec![block]),
        Part::Group(Role::Paragraph, vec![Part::Leaf(column.page, vec![line])]),
    ]
}

/// Names and values under a heading; a value runs over `most` lines at most.
pub(super) fn list(column: &mut Column, list: &List, most: usize) -> Part {
    let names = list.entries.iter().map(|e| Style::BODY.width(&e.name));
    let name_width = names.fold(0.0, f64::max).min(NAMES * column.width) + GAP;
    let mut parts = Vec::from(column.heading(&list.title));
    let mut items = Vec::new();
    for entry in &list.entries {
        items.push(item(column, entry, name_width, most));
    }
    parts.push(Part::Group(Role::List, items));
    Part::Group(Role::Section, parts)
}

fn item(column: &mut Column, entry: &ListItem, name_width: f64, most: usize) -> Part {
    let most = if entry.long { most.max(2) } else { most };
    let style = if entry.absent {
        Style::BODY.grey()
    } else {
        Style::BODY
    };
    pair(
        column,
        (&entry.name, &entry.value),
        (name_width, style),
        most,
    )
}

/// A grey name and what stands beside it.
fn pair(
    column: &mut Column,
    (name, value): (&str, &str),
    (name_width, style): (f64, Style),
    most: usize,
) -> Part {
    let grey = Style::BODY.grey();
    let shown = fitted(name, grey, name_width - 0.5 * GAP);
    let label = Drawn::Line(column.line(column.x, shown, grey));
    let mut values = Column::new(
        column.page,
        column.x + name_width,
        column.y,
        column.width - name_width,
    );
    let (body, _) = values.text(value, style, most);
    column.y = values.y.max(column.y + style.leading);
    Part::Group(
        Role::Item,
        vec![
            Part::Group(Role::Label, vec![Part::Leaf(column.page, vec![label])]),
            Part::Group(Role::Body, vec![body]),
        ],
    )
}

/// Events from `from` on, at most `rows` of them with the line that says how many
/// more there are; gives how many are shown.
pub(super) fn timeline(
    column: &mut Column,
    timeline: &Timeline,
    (from, rows): (usize, usize),
    title: &str,
) -> (Part, usize) {
    let left = &timeline.rows[from.min(timeline.rows.len())..];
    let shown = if left.len() > rows {
        rows.saturating_sub(1)
    } else {
        left.len()
    };
    let mut parts = Vec::from(column.heading(title));
    let widest = left.iter().take(shown).map(|r| Style::BODY.width(&r.0));
    let name_width = widest.fold(20.0, f64::max) + GAP;
    let mut items: Vec<Part> = left[..shown]
        .iter()
        .map(|(at, words)| pair(column, (at, words), (name_width, Style::BODY), 1))
        .collect();
    if shown < left.len() {
        let more = timeline.more(left.len() - shown);
        let mut indented = Column::new(
            column.page,
            column.x + name_width,
            column.y,
            column.width - name_width,
        );
        let (leaf, _) = indented.text(&more, Style::BODY.grey(), 1);
        column.y = indented.y;
        let body = Part::Group(Role::Body, vec![leaf]);
        items.push(Part::Group(Role::Item, vec![body]));
    }
    parts.push(Part::Group(Role::List, items));
    (Part::Group(Role::Section, parts), shown)
}

/// How much of a list of sentences there is room for.
#[derive(Debug, Clone, Copy)]
pub(super) struct LineLimit {
    /// Lines of all of them.
    pub(super) lines: usize,
    /// Lines of the first one, and of each other.
    pub(super) each: (usize, usize),
}

/// What the last line says of sentences that are missing or cut.
#[derive(Debug, Clone, Copy)]
pub(super) enum WhenCut {
    /// None is missing.
    Nothing,
    /// They are on this page of the document.
    Overleaf { page: usize },
    /// How many there are, and where.
    HowMany,
}

/// Sentences with bullets from `from` on; gives how many are there whole, up to
/// the first that is not.
pub(super) fn sentences(
    column: &mut Column,
    sentences: &Sentences,
    (from, limit, when_cut): (usize, LineLimit, WhenCut),
    title: &str,
) -> (Part, usize) {
    let style = Style::BODY;
    let mut parts = Vec::from(column.heading(title));
    let (mut items, mut used, mut whole, mut any_cut) = (Vec::new(), 0, from, false);
    let all = &sentences.items;
    let mut shown = from;
    for (i, sentence) in all.iter().enumerate().skip(from) {
        let rest = limit.lines.saturating_sub(used);
        // the last line is kept for how many more there are
        let rest = if i + 1 < all.len() {
            rest.saturating_sub(1)
        } else {
            rest
        };
        let most = if i == from {
            limit.each.0
        } else {
            limit.each.1
        }
        .min(rest);
        if most == 0 {
            break;
        }
        let mut indented = Column::new(
            column.page,
            column.x + INDENT,
            column.y,
            column.width - INDENT,
        );
        let (leaf, cut) = indented.text(sentence, style, most);
        items.push(bullet(column));
        items.push(Part::Group(
            Role::Item,
            vec![Part::Group(Role::Body, vec![leaf])],
        ));
        used += lines_of(indented.y - column.y, style);
        column.y = indented.y;
        shown = i + 1;
        any_cut |= cut;
        if !any_cut {
            whole = shown;
        }
    }
    let note = match when_cut {
        WhenCut::Nothing => None,
        WhenCut::Overleaf { page } => (whole < all.len()).then(|| sentences.overleaf(page)),
        WhenCut::HowMany => (shown < all.len()).then(|| sentences.more(all.len() - shown)),
    };
    if let Some(note) = note {
        let mut indented = column.clone();
        indented.x += INDENT;
        let (leaf, _) = indented.text(&note, style.grey(), 1);
        column.y = indented.y;
        let body = Part::Group(Role::Body, vec![leaf]);
        items.push(Part::Group(Role::Item, vec![body]));
    }
    parts.push(Part::Group(Role::List, items));
    (Part::Group(Role::Section, parts), whole)
}

fn bullet(column: &Column) -> Part {
    square(column, Style::BODY)
}

/// The square before a line of a list.
pub(super) fn square(column: &Column, style: Style) -> Part {
    let middle = column.y + 0.5 * style.leading;
    let square = Drawn::Block {
        rect: Rect::new(column.x + 0.6, middle - 1.1, column.x + 2.8, middle + 1.1),
        fill: Some(Ink::Grey),
        frame: None,
    };
    Part::Ornament(column.page, vec![square])
}

fn lines_of(height: f64, style: Style) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a page has some hundred lines"
    )]
    let lines = (height / style.leading).round().max(0.0) as usize;
    lines
}

/// A table; the columns end at these fractions of its width, and the last one is
/// set in bold where `verdict` is set.
pub(super) fn table<const N: usize>(
    column: &mut Column,
    head: &[String; N],
    rows: &[[String; N]],
    (ends, verdict): ([f64; N], bool),
) -> Part {
    let bold = Style::BODY.bold();
    let ends = roomy_ends(column.width, head, rows, ends);
    let mut parts = vec![row(column, head, &ends, |_| (true, true, bold))];
    parts.push(rule_below(column, Ink::Black, 0.7));
    for (i, cells) in rows.iter().enumerate() {
        let of = |at: usize| match at {
            0 => (true, false, Style::BODY),
            at if at + 1 == N && verdict => (false, false, bold),
            _ => (false, false, Style::BODY),
        };
        parts.push(row(column, cells, &ends, of));
        if i + 1 < rows.len() {
            parts.push(rule_below(column, Ink::Faint, 0.5));
        }
    }
    Part::Group(Role::Table, parts)
}

/// Ends of columns, moved so that no word of the first and of the last column is broken.
fn roomy_ends<const N: usize>(
    width: f64,
    head: &[String; N],
    rows: &[[String; N]],
    mut ends: [f64; N],
) -> [f64; N] {
    let widest = |at: usize| {
        let cells = std::iter::once(&head[at]).chain(rows.iter().map(|cells| &cells[at]));
        let words = cells.flat_map(|cell| cell.split_whitespace());
        let bold = Style::BODY.bold();
        words.map(|w| bold.width(w)).fold(0.0, f64::max)
    };
    // a cell that somebody typed may hold one endless word
    let share = |at: usize, gap: f64| ((widest(at) + gap + 0.5) / width).min(0.25);
    ends[0] = ends[0].max(share(0, GAP));
    if N > 2 {
        ends[N - 2] = ends[N - 2].min(1.0 - share(N - 1, 0.0));
        ends[N - 2] = ends[N - 2].max(ends[N - 3] + 0.05);
    }
    ends
}

/// One row; `of` says of a column whether its cell is a head, and of a column.
fn row(
    column: &mut Column,
    cells: &[String],
    ends: &[f64],
    of: impl Fn(usize) -> (bool, bool, Style),
) -> Part {
    let mut bottom = column.y;
    let mut start = 0.0;
    let mut parts = Vec::new();
    for (at, (cell, end)) in cells.iter().zip(ends).enumerate() {
        let (head, of_column, style) = of(at);
        let mut within = column.within(start, *end);
        within.width -= if *end < 1.0 { GAP } else { 0.0 };
        let (leaf, _) = within.text(cell, style, 2);
        bottom = bottom.max(within.y);
        let role = if head {
            Role::HeadCell { of_column }
        } else {
            Role::Cell
        };
        parts.push(Part::Group(role, vec![leaf]));
        start = *end;
    }
    column.y = bottom;
    Part::Group(Role::Row, parts)
}

fn rule_below(column: &mut Column, ink: Ink, width: f64) -> Part {
    column.y += 0.5;
    let rule = Drawn::rule(column.x, column.right(), column.y, ink, width);
    column.y += 0.5 + 0.7 * width;
    Part::Ornament(column.page, vec![rule])
}

/// Lines to sign on, side by side.
pub(super) fn signatures(column: &mut Column, signatures: &[Signature]) -> Vec<Part> {
    const SHARES: [f64; 4] = [0.27, 0.22, 0.33, 0.18];
    let base = column.y + 20.0;
    let mut from = 0.0;
    let mut parts = Vec::new();
    for (signature, share) in signatures.iter().zip(SHARES) {
        let mut place = column.within(from, from + share);
        place.width -= 10.0;
        from += share;
        parts.push(Part::Ornament(
            column.page,
            vec![Drawn::rule(place.x, place.right(), base, Ink::Black, 0.6)],
        ));
        let mut leaves = Vec::new();
        if !signature.known.is_empty() {
            place.y = base - Style::SIGNED.leading - 1.0;
            leaves.push(place.text(&signature.known, Style::SIGNED, 1).0);
        }
        place.y = base + 1.0;
        leaves.push(place.text(&signature.label, Style::SMALL, 1).0);
        parts.push(Part::Group(Role::Paragraph, leaves));
    }
    column.y = base + 1.0 + Style::SMALL.leading;
    parts
}

/// Words in a box that differs with the verdict, and how wide the box is.
pub(super) fn boxed(
    column: &Column,
    words: &str,
    style: Style,
    (fill, dash): (Option<Ink>, Dash),
) -> (Part, Part, f64) {
    let width = style.width(words) + 22.0;
    let height = style.leading + 6.0;
    let frame = Drawn::Block {
        rect: Rect::new(
            column.x + 0.7,
            column.y + 0.7,
            column.x + width - 0.7,
            column.y + height - 0.7,
        ),
        fill,
        frame: Some((Ink::Black, 1.4, dash)),
    };
    let mut inner = column.clone();
    inner.y += 3.0;
    let line = inner.line(column.x + 11.0, words.to_owned(), style);
    (
        Part::Ornament(column.page, vec![frame]),
        Part::Leaf(column.page, vec![Drawn::Line(line)]),
        width,
    )
}

/// A text set against the right edge, in one line.
pub(super) fn flush_right(column: &mut Column, words: &str, style: Style) -> Part {
    let words = fitted(words, style, column.width);
    let x = column.right() - style.width(&words);
    let line = column.line(x, words, style);
    column.y += style.leading;
    Part::Leaf(column.page, vec![Drawn::Line(line)])
}

/// The code of a digest in a square of this side, its quiet zone included; `None`
/// for what no code holds.
pub(super) fn code(column: &Column, figures: &str, alt: &str, side: f64) -> Option<Part> {
    let (dark, modules) = modules(figures)?;
    #[expect(clippy::cast_precision_loss, reason = "a code has under 200 modules")]
    let module = side / (modules + 2 * QUIET) as f64;
    #[expect(clippy::cast_precision_loss, reason = "four")]
    let quiet = QUIET as f64 * module;
    let rect = Rect::new(column.x, column.y, column.x + side, column.y + side).grown(-quiet);
    let code = Part::Leaf(column.page, vec![Drawn::Code { dark, rect }]);
    Some(Part::Group(Role::Figure(alt.to_owned()), vec![code]))
}

/// Light modules around a code (ISO/IEC 18004 asks for four).
pub const QUIET: usize = 4;

/// Dark modules row by row, and how many there are to a side.
pub fn modules(figures: &str) -> Option<(Vec<bool>, usize)> {
    let code = QrCode::with_error_correction_level(figures.as_bytes(), EcLevel::M).ok()?;
    let dark = code.to_colors().into_iter();
    let dark = dark.map(|c| c == qrcode::Color::Dark).collect();
    Some((dark, code.width()))
}

/// Lines a text needs in a column of this width.
pub(super) fn height(words: &str, style: Style, width: f64, most: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a few lines")]
    let lines = wrap(words, style, width, most).lines.len() as f64;
    lines * style.leading
}
