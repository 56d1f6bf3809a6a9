//! A notice for a wall: headings with lists below them, in letters to be read from a step
//! away.

use vacuum::Paper;
use wording::RigSection;

use super::{Drawn, ENDS, Part, Role, SIDE, Style, Typeset, blocks, column::Column};
use crate::picture::{Dash, Ink, Rect};

/// Between sections, pt.
const APART: f64 = 9.0;
/// Between a frame and what is in it, pt.
const PADDING: f64 = 6.0;
/// Where lines begin, right of their square, pt.
const INDENT: f64 = 9.0;
/// Most lines of one sentence.
const LONGEST: usize = 12;

/// What a notice says.
#[derive(Debug, Clone, Copy)]
pub struct Notice<'a> {
    /// Code of its language.
    pub language: &'a str,
    /// Paper it is set for.
    pub paper: Paper,
    /// Words of a bar above all, where there is one.
    pub banner: Option<&'a str>,
    /// Its heading.
    pub title: &'a str,
    /// What it is made from, and when.
    pub as_of: &'a str,
    /// What it says; what needs doing stands in a frame.
    pub sections: &'a [RigSection],
    /// The day it is of, RFC 3339 in UTC.
    pub dated_utc: Option<&'a str>,
    /// Name and version of the program.
    pub made_by: &'a str,
}

/// Sets it, on as many pages as it takes.
#[must_use]
pub fn notice(notice: &Notice<'_>) -> Typeset {
    let size = super::size(notice.paper);
    let mut page = Page {
        column: Column::new(0, SIDE, ENDS, size.0 - 2.0 * SIDE),
        bottom: size.1 - ENDS,
        parts: Vec::new(),
    };
    page.top(notice);
    for section in notice.sections {
        page.section(section);
    }
    Typeset {
        size,
        pages: page.column.page + 1,
        parts: page.parts,
    }
}

/// What is set so far.
struct Page {
    column: Column,
    bottom: f64,
    parts: Vec<Part>,
}

impl Page {
    fn top(&mut self, notice: &Notice<'_>) {
        if let Some(words) = notice.banner {
            self.parts.extend(blocks::bar(words, &mut self.column));
        }
        let (title, _) = self.column.text(notice.title, Style::TITLE, 2);
        let heading = Role::Heading(1, notice.title.to_owned());
        self.parts.push(Part::Group(heading, vec![title]));
        let (as_of, _) = self.column.text(notice.as_of, Style::BODY.grey(), 2);
        self.parts.push(Part::Group(Role::Paragraph, vec![as_of]));
        self.column.y += APART;
    }

    /// Begins a page where there is no room for so much.
    fn make_room(&mut self, height: f64) {
        if self.column.y + height > self.bottom {
            let column = &self.column;
            self.column = Column::new(column.page + 1, column.x, ENDS, column.width);
        }
    }

    fn section(&mut self, section: &RigSection) {
        let first = section.parts.first();
        let heading = Style::WALL.leading + 6.0;
        self.make_room(heading + first.map_or(0.0, |p| height(p, self.column.width)));
        let framed = section.is_todo;
        let outer = (self.column.x, self.column.width);
        let (page, from) = (self.column.page, self.column.y);
        if framed {
            self.column.x += PADDING;
            self.column.width -= 2.0 * PADDING;
            self.column.y += PADDING;
        }
        let mut set = Vec::from(self.column.heading(&section.title));
        self.column.y += 2.0;
        for part in &section.parts {
            self.make_room(height(part, self.column.width));
            self.part(part, &mut set);
        }
        (self.column.x, self.column.width) = outer;
        if framed && self.column.page == page {
            self.column.y += PADDING;
            let rect = Rect::new(outer.0, from, outer.0 + outer.1, self.column.y);
            let frame = Drawn::Block {
                rect,
                fill: None,
                frame: Some((Ink::Black, 1.4, Dash::Solid)),
            };
            self.parts.push(Part::Ornament(page, vec![frame]));
        }
        self.parts.push(Part::Group(Role::Section, set));
        self.column.y += APART;
    }

    fn part(&mut self, (name, lines): &(Option<String>, Vec<String>), set: &mut Vec<Part>) {
        if let Some(name) = name {
            let (leaf, _) = self.column.text(name, Style::WALL.bold(), 2);
            let heading = Role::Heading(3, name.clone());
            set.push(Part::Group(heading, vec![leaf]));
        }
        let mut items = Vec::new();
        for words in lines {
            let square = blocks::square(&self.column, Style::WALL);
            let mut inner = self.column.clone();
            inner.x += INDENT;
            inner.width -= INDENT;
            let (leaf, _) = inner.text(words, Style::WALL, LONGEST);
            self.column.y = inner.y + 1.0;
            let body = Part::Group(Role::Body, vec![leaf]);
            items.push(Part::Group(Role::Item, vec![square, body]));
        }
        set.push(Part::Group(Role::List, items));
        self.column.y += 3.0;
    }
}

/// Height of a part with its name, pt.
fn height((name, lines): &(Option<String>, Vec<String>), width: f64) -> f64 {
    let of = |words: &String, style, width| blocks::height(words, style, width, LONGEST);
    let name = name.iter().map(|name| of(name, Style::WALL.bold(), width));
    let lines = lines
        .iter()
        .map(|words| of(words, Style::WALL, width - INDENT) + 1.0);
    name.chain(lines).sum::<f64>() + 3.0
}
