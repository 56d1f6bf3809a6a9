//! What of SVG a logo may hold.
//!
//! The library that draws knows far more: other pictures, files by their path,
//! filters over the whole sheet, shapes that repeat shapes that repeat shapes. A logo
//! needs none of that, and whoever made it may have put it there to do harm. So a
//! logo is looked at before that library sees it: known elements only, no more of
//! them than a logo needs (repetitions counted), nothing from outside the file.

use std::collections::HashMap;

use resvg::usvg::{self, roxmltree};
use roxmltree::{Document, Node, NodeId, ParsingOptions};

use super::error::LogoError;

/// Most elements that are drawn, each repetition counted.
const MOST_ELEMENTS: usize = 20_000;
/// Most elements inside each other, repetitions included.
const DEEPEST: usize = 100;
/// Shortest and longest side of a picture, in its own unit.
const SIDES: std::ops::RangeInclusive<f32> = 0.1..=1e6;

/// Largest number in the outline of a shape. The library cuts an arc into the more pieces
/// the larger its radius is, without end.
const LARGEST: f64 = 1e6;
/// Most dashes of all strokes. A logo has some hundred; a line that is far longer than its
/// dashes would fill the memory.
const MOST_DASHES: f64 = 10_000.0;

const NAMESPACE: &str = "http://www.w3.org/2000/svg";

/// Elements that are drawn, hold others or say something about them.
const KNOWN: [&str; 22] = [
    "a",
    "circle",
    "clipPath",
    "defs",
    "desc",
    "ellipse",
    "g",
    "line",
    "linearGradient",
    "metadata",
    "path",
    "polygon",
    "polyline",
    "radialGradient",
    "rect",
    "stop",
    "style",
    "svg",
    "symbol",
    "title",
    "use",
    "view",
];

/// Reads an SVG picture that holds nothing but what a logo needs.
pub(super) fn read(bytes: &[u8]) -> Result<usvg::Tree, LogoError> {
    if bytes.starts_with(&[0x1f, 0x8b]) {
        return Err(LogoError::NotDrawn {
            what: "compressed data".into(),
            remedy: "save it as plain SVG",
        });
    }
    let text =
        std::str::from_utf8(bytes).map_err(|_| LogoError::unreadable(&"it is not UTF-8 text"))?;
    let options = ParsingOptions {
        allow_dtd: false,
        // texts and attributes are nodes as well
        nodes_limit: 8 * MOST_ELEMENTS as u32,
        ..ParsingOptions::default()
    };
    let document =
        Document::parse_with_options(text, options).map_err(|e| LogoError::unreadable(&e))?;
    check(&document)?;
    let tree = tree(&document).map_err(|e| LogoError::unreadable(&e))?;
    let size = tree.size();
    if !SIDES.contains(&size.width()) || !SIDES.contains(&size.height()) {
        return Err(LogoError::unreadable(
            &"its width and height make no picture",
        ));
    }
    // a length that is no number is too long as well
    if dashes(tree.root()) <= MOST_DASHES {
        Ok(tree)
    } else {
        Err(not_drawn("lines with too many dashes"))
    }
}

/// How many dashes are drawn at most.
fn dashes(group: &usvg::Group) -> f64 {
    let of_node = |node: &usvg::Node| {
        let mut count = match node {
            usvg::Node::Group(group) => dashes(group),
            usvg::Node::Path(path) => dashes_of(path),
            usvg::Node::Image(_) | usvg::Node::Text(_) => 0.0,
        };
        node.subroots(|group| count += dashes(group));
        count
    };
    group.children().iter().map(of_node).sum()
}

fn dashes_of(path: &usvg::Path) -> f64 {
    let pattern = path.stroke().and_then(usvg::Stroke::dasharray);
    let Some(pattern) = pattern.filter(|p| !p.is_empty()) else {
        return 0.0;
    };
    let (mut length, mut from) = (0.0, None);
    // a curve is no longer than the line through its control points
    for to in path.data().points() {
        let (x, y) = (f64::from(to.x), f64::from(to.y));
        if let Some((x_before, y_before)) = from.replace((x, y)) {
            length += f64::hypot(x - x_before, y - y_before);
        }
    }
    let whole: f64 = pattern.iter().copied().map(f64::from).sum();
    // and once more for what closes it
    2.0 * length / whole * pattern.len() as f64
}

/// Hands the picture to the library that draws; no picture inside it is looked for.
pub(super) fn tree(document: &Document<'_>) -> Result<usvg::Tree, usvg::Error> {
    let options = usvg::Options {
        // no picture inside the picture, whatever names it
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    usvg::Tree::from_xmltree(document, &options)
}

fn not_drawn(what: impl Into<String>) -> LogoError {
    LogoError::NotDrawn {
        what: what.into(),
        remedy: "change it into plain shapes, or save the picture as PNG",
    }
}

fn check(document: &Document<'_>) -> Result<(), LogoError> {
    let mut by_id = HashMap::new();
    for node in document.descendants().filter(Node::is_element) {
        check_element(&node)?;
        if let Some(id) = node.attribute("id") {
            by_id.entry(id).or_insert(node);
        }
    }
    let mut count = Count {
        by_id,
        known: HashMap::new(),
    };
    count.of(document.root_element(), DEEPEST).map(drop)
}

fn check_element(node: &Node<'_, '_>) -> Result<(), LogoError> {
    let name = node.tag_name();
    // what other programs keep for themselves is not looked at by anybody; an element
    // without a namespace is drawn
    if name.namespace().is_some_and(|other| other != NAMESPACE) {
        return Ok(());
    }
    if matches!(name.name(), "text" | "tspan" | "textPath" | "tref") {
        return Err(LogoError::NotDrawn {
            what: "text".into(),
            remedy: "change the text into paths, or save the picture as PNG",
        });
    }
    if !KNOWN.contains(&name.name()) {
        let name: String = name.name().chars().take(30).collect();
        return Err(not_drawn(format!("<{name}>")));
    }
    if name.name() == "style" {
        let texts = node.descendants().filter_map(|n| n.text());
        check_style(&texts.collect::<String>())?;
    }
    for attribute in node.attributes() {
        let value = attribute.value().trim();
        match attribute.name() {
            "href" if !value.starts_with('#') => {
                return Err(not_drawn("something from outside the file"));
            }
            "d" if largest(value) > LARGEST => {
                return Err(not_drawn("numbers that are too large for a picture"));
            }
            name => {
                check_property(name, value)?;
                check_style(value)?;
            }
        }
    }
    Ok(())
}

/// The largest number in an outline, its sign left out. Numbers may follow each other
/// without anything between: `1.5.5-2` are three.
fn largest(outline: &str) -> f64 {
    let bytes = outline.as_bytes();
    let digits = |from: usize| {
        let rest = bytes.get(from..).unwrap_or_default();
        from + rest.iter().take_while(|b| b.is_ascii_digit()).count()
    };
    let (mut largest, mut at) = (0.0_f64, 0);
    while at < bytes.len() {
        let mut end = digits(at);
        if bytes.get(end) == Some(&b'.') {
            end = digits(end + 1);
        }
        if end > at && matches!(bytes.get(end), Some(b'e' | b'E')) {
            let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
            let last = digits(end + 1 + sign);
            if last > end + 1 + sign {
                end = last;
            }
        }
        let number = outline.get(at..end).and_then(|n| n.parse().ok());
        largest = largest.max(number.unwrap_or(0.0));
        at = end.max(at + 1);
    }
    largest
}

/// A property, whether it is an attribute or stands in style text.
fn check_property(name: &str, value: &str) -> Result<(), LogoError> {
    let is_heavy = matches!(
        name,
        "filter" | "mask" | "marker" | "marker-start" | "marker-mid" | "marker-end"
    );
    match is_heavy && !value.starts_with("none") {
        true => Err(not_drawn(format!("a {name}"))),
        false => Ok(()),
    }
}

/// Style text, in an attribute or an element.
fn check_style(text: &str) -> Result<(), LogoError> {
    // an escaped letter hides a word from who looks for it
    if text.contains('\\') || text.contains("/*") {
        return Err(not_drawn("escaped or commented style text"));
    }
    let text = text.to_ascii_lowercase();
    if text.contains("@import") || text.contains("@font-face") {
        return Err(not_drawn("something from outside the file"));
    }
    let declarations = text
        .split([';', '{', '}'])
        .filter_map(|d| d.split_once(':'));
    for (name, value) in declarations {
        check_property(name.trim(), value.trim())?;
    }
    for rest in text.split("url(").skip(1) {
        let target = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '"' || c == '\'');
        if !target.starts_with('#') {
            return Err(not_drawn("something from outside the file"));
        }
    }
    Ok(())
}

/// How many elements are drawn in all.
struct Count<'a, 'input> {
    by_id: HashMap<&'a str, Node<'a, 'input>>,
    /// Elements below a node and in what it repeats, the node included.
    known: HashMap<NodeId, usize>,
}

impl<'a, 'input> Count<'a, 'input> {
    /// Counts below a node; `room` is how many may be inside each other from here.
    fn of(&mut self, node: Node<'a, 'input>, room: usize) -> Result<usize, LogoError> {
        let too_many = || not_drawn("shapes that repeat each other without end, or too many");
        if let Some(known) = self.known.get(&node.id()) {
            return Ok(*known);
        }
        let room = room.checked_sub(1).ok_or_else(too_many)?;
        let mut count: usize = 1;
        for child in node.children().filter(Node::is_element) {
            count = count.saturating_add(self.of(child, room)?);
        }
        // a shape, and what cuts it: each is drawn again wherever it is named
        for attribute in node.attributes() {
            let value = attribute.value();
            let target = match attribute.name() {
                "href" if node.tag_name().name() == "use" => value.trim().strip_prefix('#'),
                "clip-path" => in_url(value),
                "style" => value.split("clip-path").nth(1).and_then(in_url),
                _ => None,
            };
            if let Some(target) = target.and_then(|id| self.by_id.get(id)).copied() {
                count = count.saturating_add(self.of(target, room)?);
            }
        }
        if count > MOST_ELEMENTS {
            return Err(too_many());
        }
        self.known.insert(node.id(), count);
        Ok(count)
    }
}

/// The name in `url(#name)`.
fn in_url(value: &str) -> Option<&str> {
    let (_, rest) = value.split_once("url(")?;
    let rest = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '"' || c == '\'');
    let end = rest.find(|c: char| matches!(c, ')' | '"' | '\'') || c.is_whitespace())?;
    rest[..end].strip_prefix('#')
}
