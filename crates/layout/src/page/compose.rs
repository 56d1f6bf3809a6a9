//! The first page: what stands where.

use findings::Verdict;

use super::{
    Drawn, ENDS, Part, Role, SIDE, Style, Typeset,
    blocks::{self, LineLimit, WhenCut},
    column::Column,
    second::{self, Overflow},
    size,
};
use crate::{
    Draft, Form, ReportError,
    contents::Contents,
    picture::{Dash, Ink, Rect},
};

/// LineLimit between blocks, pt.
const APART: f64 = 5.0;
/// LineLimit between columns, as a fraction of the width.
const GUTTER: f64 = 0.024;
/// Side of the code, pt: a module is about half a millimetre.
const CODE: f64 = 62.0;
/// Least height of the curve that notes or rounds may leave it, pt.
const CURVE_LEAST: f64 = 118.0;
/// What cautions may leave it where they are many and long, pt.
const CURVE_SQUEEZED: f64 = 96.0;
/// Most height of the curve, pt.
const CURVE_MOST: f64 = 330.0;
/// Rows of the timeline on the first page.
const TIMELINE_ROWS: usize = 11;
/// Room for the notes on the first page: what they usually get, and what they may get
/// where else a second page would hold little but a few of them.
const NOTES: [LineLimit; 4] = [
    LineLimit {
        lines: 9,
        each: (4, 3),
    },
    LineLimit {
        lines: 12,
        each: (6, 6),
    },
    LineLimit {
        lines: 16,
        each: (8, 8),
    },
    LineLimit {
        lines: 22,
        each: (10, 10),
    },
];
/// LineLimit for the logo, pt.
const LOGO: (f64, f64) = (96.0, 29.0);

/// Sets one test on pages of its own; `before` is how many pages of the document lie before
/// them.
///
/// # Errors
/// [`ReportError::Drawing`] when a picture on it cannot be drawn.
pub fn compose(sheet: &Draft<'_>, before: usize) -> Result<Typeset, ReportError> {
    let contents = &sheet.contents;
    let size = size(sheet.paper);
    let page = Column::new(0, SIDE, ENDS, size.0 - 2.0 * SIDE);
    let bottom = size.1 - ENDS;

    let mut column = page.clone();
    let mut parts = top(sheet, contents, &mut column);
    let curve_top = column.y;

    // the rest is set from the same height and then lowered, once it is known how
    // high the curve can be
    let tight = fitting(sheet, before, &column, bottom)?;
    let needed = tight.bottom - curve_top;
    let curve_height = (bottom - curve_top - needed).clamp(CURVE_SQUEEZED, CURVE_MOST);
    parts.push(curve(sheet, &column, curve_height)?);
    let mut rest = tight.parts;
    // what is left over below a curve that is high enough stays at the foot
    let by = (bottom - needed - curve_top).max(curve_height);
    rest.iter_mut().for_each(|p| p.lower(by));
    parts.extend(rest);

    let (more, pages) = second::pages(sheet, contents, tight.left, (size, bottom));
    parts.extend(more);
    Ok(Typeset { size, pages, parts })
}

/// Which page this is, in the lower margin.
pub(super) fn number(contents: &Contents, at: usize, pages: usize, size: (f64, f64)) -> Part {
    let mut foot = Column::new(at, SIDE, size.1 - ENDS + 6.0, size.0 - 2.0 * SIDE);
    match blocks::flush_right(&mut foot, &contents.page_of(at + 1, pages), Style::SMALL) {
        Part::Leaf(page, drawn) => Part::Ornament(page, drawn),
        other => other,
    }
}

/// Bar, head, verdict, criteria.
fn top(sheet: &Draft<'_>, contents: &Contents, column: &mut Column) -> Vec<Part> {
    let mut parts = Vec::new();
    parts.extend(blocks::banner(contents, column).into_iter().flatten());
    parts.extend(head(sheet, contents, column));
    column.y += APART;
    parts.extend(verdict(contents, column));
    column.y += APART;
    let ends = [0.14, 0.37, 0.91, 1.0];
    let table = &contents.criteria;
    parts.push(blocks::table(
        column,
        &table.head,
        &table.rows,
        (ends, true),
    ));
    column.y += APART;
    parts
}

/// Logo, shop and heading to the left; which run this is to the right.
fn head(sheet: &Draft<'_>, contents: &Contents, column: &mut Column) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut logo_end = 0.0;
    let mut left = column.within(0.0, 0.58);
    if let Some((logo, alt)) = sheet.logo.zip(contents.logo.as_deref()) {
        let (wide, high) = logo.size();
        let scale = (LOGO.0 / wide).min(LOGO.1 / high);
        let rect = Rect::new(left.x, left.y, left.x + wide * scale, left.y + high * scale);
        let figure = Role::Figure(alt.to_owned());
        let drawn = Drawn::Logo {
            logo: logo.clone(),
            rect,
        };
        parts.push(Part::Group(
            figure,
            vec![Part::Leaf(column.page, vec![drawn])],
        ));
        let shift = rect.width() + 8.0;
        left.x += shift;
        left.width -= shift;
        logo_end = rect.y1;
    }
    let mut right = column.within(0.6, 1.0);
    if let Some(shop) = &contents.shop {
        let (leaf, _) = left.text(shop, Style::SHOP, 1);
        parts.push(Part::Group(Role::Paragraph, vec![leaf]));
    }
    let (leaf, _) = left.text(&contents.heading, Style::TITLE, 1);
    parts.push(Part::Group(
        Role::Heading(1, contents.heading.clone()),
        vec![leaf],
    ));
    let lines = [
        (&contents.job, Style::BODY.bold()),
        (&contents.started, Style::BODY),
        (&contents.source, Style::BODY.grey()),
    ];
    let leaves = lines.map(|(words, style)| blocks::flush_right(&mut right, words, style));
    parts.push(Part::Group(Role::Paragraph, Vec::from(leaves)));
    column.y = left.y.max(right.y).max(logo_end);
    parts
}

/// The verdict in large words, in a box of its own for each, with its reason.
fn verdict(contents: &Contents, column: &mut Column) -> Vec<Part> {
    let (style, fill, dash) = match contents.verdict {
        Verdict::Pass if contents.reserved => (Style::VERDICT, None, Dash::Long),
        Verdict::Pass => (Style::VERDICT, None, Dash::Solid),
        Verdict::Fail => (Style::VERDICT.white(), Some(Ink::Black), Dash::Solid),
        Verdict::NotProven => (Style::VERDICT, None, Dash::Short),
    };
    let (frame, words, width) = blocks::boxed(column, &contents.verdict_words, style, (fill, dash));
    let high = style.leading + 6.0;
    let mut beside = column.clone();
    beside.x += width + 11.0;
    beside.width -= width + 11.0;
    // a pass by the rule says what stands against it before its reason
    let lines = if contents.reserved { 5 } else { 3 };
    let needs = blocks::height(&contents.reason, Style::REASON, beside.width, lines);
    beside.y += (0.5 * (high - needs)).max(0.0);
    let (reason, _) = beside.text(&contents.reason, Style::REASON, lines);
    column.y = (column.y + high).max(beside.y);
    vec![frame, Part::Group(Role::Paragraph, vec![words, reason])]
}

fn curve(sheet: &Draft<'_>, column: &Column, height: f64) -> Result<Part, ReportError> {
    const PIXELS: f64 = 800.0;
    let scale = column.width / PIXELS;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "some hundred pixels"
    )]
    let pixels = (height / scale).floor() as u16;
    let picture = (sheet.curve)(Form::OnPaper(pixels))?;
    let alt = format!("{}. {}", picture.title, picture.description);
    let drawn = Drawn::Curve {
        picture: Box::new(picture),
        x: column.x,
        y: column.y,
        scale,
    };
    let leaf = Part::Leaf(column.page, vec![drawn]);
    Ok(Part::Group(Role::Figure(alt), vec![leaf]))
}

/// The lower half with as little left over for a second page as the curve can give room
/// for: with all of the notes, and with the table of rounds where that is all that is left;
/// else as it usually is.
fn fitting(
    sheet: &Draft<'_>,
    before: usize,
    from: &Column,
    bottom: f64,
) -> Result<LowerHalf, ReportError> {
    for room in NOTES {
        let half = lower_half(sheet, before, from, (room, true))?;
        let is_whole = half.left.notes >= sheet.contents.notes.items.len();
        if is_whole && half.bottom + CURVE_LEAST <= bottom {
            return Ok(half);
        }
    }
    lower_half(sheet, before, from, (NOTES[0], false))
}

/// What stands below the curve, set from the column's height.
struct LowerHalf {
    parts: Vec<Part>,
    bottom: f64,
    left: Overflow,
}

fn lower_half(
    sheet: &Draft<'_>,
    before: usize,
    from: &Column,
    (notes, with_rounds): (LineLimit, bool),
) -> Result<LowerHalf, ReportError> {
    let contents = &sheet.contents;
    let mut column = from.clone();
    column.y += APART;
    let mut parts = hold(sheet, &mut column);
    column.y += APART;
    let rounds = contents.rounds.as_ref().filter(|_| with_rounds);
    parts.extend(rounds.map(|rounds| {
        let section = second::rounds(&mut column, rounds, 0);
        column.y += APART;
        section
    }));

    let third = (1.0 - 2.0 * GUTTER) / 3.0;
    let mut three =
        [0.0, 1.0, 2.0].map(|i| column.within(i * (third + GUTTER), i * (third + GUTTER) + third));
    parts.push(blocks::list(&mut three[0], &contents.system, 1));
    parts.push(blocks::list(&mut three[1], &contents.instruments, 1));
    let timeline = &contents.timeline;
    let (part, events) =
        blocks::timeline(&mut three[2], timeline, (0, TIMELINE_ROWS), &timeline.title);
    parts.push(part);
    column.y = three.iter().fold(column.y, |y, c| y.max(c.y)) + APART;

    let half = 0.5 * (1.0 - GUTTER);
    let mut two = [column.within(0.0, half), column.within(half + GUTTER, 1.0)];
    let (part, notes) = blocks::sentences(
        &mut two[0],
        &contents.notes,
        (0, notes, WhenCut::Overleaf { page: before + 2 }),
        &contents.notes.title,
    );
    parts.push(part);
    let room = LineLimit {
        lines: 19,
        each: (4, 3),
    };
    let cautions = &contents.cautions;
    parts.push(
        blocks::sentences(
            &mut two[1],
            cautions,
            (0, room, WhenCut::Nothing),
            &cautions.title,
        )
        .0,
    );
    column.y = two[0].y.max(two[1].y) + APART;

    parts.extend(foot(contents, &mut column));
    Ok(LowerHalf {
        parts,
        bottom: column.y,
        left: Overflow {
            notes,
            events,
            rounds: contents.rounds.is_some() && !with_rounds,
        },
    })
}

/// The close-up and what the rise means, side by side.
fn hold(sheet: &Draft<'_>, column: &mut Column) -> Vec<Part> {
    let contents = &sheet.contents;
    let half = 0.5 * (1.0 - GUTTER);
    let mut left = column.within(0.0, half);
    let mut right = column.within(half + GUTTER, 1.0);
    let close = if let Some(picture) = &sheet.close_up {
        let scale = left.width / picture.width;
        let (x, y) = (left.x, left.y);
        left.y += picture.height * scale;
        let alt = format!("{}. {}", picture.title, picture.description);
        let drawn = Drawn::Curve {
            picture: Box::new(picture.clone()),
            x,
            y,
            scale,
        };
        Part::Group(
            Role::Figure(alt),
            vec![Part::Leaf(column.page, vec![drawn])],
        )
    } else {
        let (leaf, _) = left.text(&contents.no_hold, Style::BODY.grey(), 3);
        Part::Group(Role::Paragraph, vec![leaf])
    };
    let measured = blocks::list(&mut right, &contents.measured, 3);
    column.y = left.y.max(right.y);
    vec![close, measured]
}

/// Lines to sign on, who judged, who decides, and the digest with its code.
fn foot(contents: &Contents, column: &mut Column) -> Vec<Part> {
    let mut place = column.clone();
    let digest = contents.digest.as_ref();
    let code_at = Column::new(column.page, column.right() - CODE, column.y, CODE);
    let code = digest.and_then(|d| blocks::code(&code_at, &d.figures, &d.code_alt, CODE));
    if code.is_some() {
        place.width -= CODE + 6.0;
    }
    let mut parts = blocks::signatures(&mut place, &contents.signatures);
    place.y += 3.0;
    let words = std::iter::once(&contents.foot).chain(digest.map(|d| &d.words));
    for words in words {
        let (leaf, _) = place.text(words, Style::SMALL, 4);
        parts.push(Part::Group(Role::Paragraph, vec![leaf]));
    }
    let code_end = if code.is_some() {
        column.y + CODE
    } else {
        column.y
    };
    parts.extend(code);
    column.y = place.y.max(code_end);
    parts
}
