//! Paints lines, curves and codes onto the pages.

use krilla::{
    color::rgb,
    geom::{PathBuilder, Point, Rect as Area, Size, Transform},
    image::Image,
    num::NormalizedF32,
    paint::{Fill, LineCap, LineJoin, Stroke as Pen, StrokeDash},
    surface::Surface,
    tagging::{Artifact, ArtifactType, ContentTag},
    text::{Font, GlyphId, KrillaGlyph},
};

use super::tags::Ids;
use crate::{
    font,
    page::{Drawn, Part, TextLine, Typeset},
    picture::{Anchor, Dash, Ink, Picture, Rect, Shape, Stroke, Text},
};

/// Paints; knows the two faces.
pub(super) struct Painter {
    regular: Font,
    bold: Font,
    /// Leaves met so far on the page at hand, whatever page they are on.
    leaf: usize,
}

impl Painter {
    pub(super) fn new() -> Result<Self, String> {
        let open = |bold: bool| {
            Font::new(font::face(bold).bytes.into(), 0)
                .ok_or_else(|| "the font cannot be read".to_owned())
        };
        Ok(Self {
            regular: open(false)?,
            bold: open(true)?,
            leaf: 0,
        })
    }

    /// Paints one page of the sheet.
    pub(super) fn page(
        &mut self,
        surface: &mut Surface<'_>,
        set: &Typeset,
        at: usize,
        ids: &mut Ids,
    ) {
        self.leaf = 0;
        for part in &set.parts {
            self.part(surface, part, at, ids);
        }
    }

    fn part(&mut self, surface: &mut Surface<'_>, part: &Part, at: usize, ids: &mut Ids) {
        match part {
            Part::Group(_, parts) => parts.iter().for_each(|p| self.part(surface, p, at, ids)),
            Part::Leaf(page, drawn) => {
                if *page == at && !drawn.is_empty() {
                    let id = surface.start_tagged(ContentTag::Other);
                    drawn.iter().for_each(|d| self.drawn(surface, d));
                    surface.end_tagged();
                    ids.set(self.leaf, id);
                }
                self.leaf += 1;
            }
            Part::Ornament(page, drawn) => {
                if *page == at {
                    let ornament = Artifact::with_kind(ArtifactType::Layout);
                    surface.start_tagged(ContentTag::Artifact(ornament));
                    drawn.iter().for_each(|d| self.drawn(surface, d));
                    surface.end_tagged();
                }
            }
        }
    }

    fn drawn(&self, surface: &mut Surface<'_>, drawn: &Drawn) {
        match drawn {
            Drawn::Line(line) => self.line(surface, line),
            Drawn::Block { rect, fill, frame } => {
                let frame = frame.map(|(ink, width, dash)| Stroke::new(ink, width, dash));
                block(surface, rect, *fill, frame);
            }
            Drawn::Curve {
                picture,
                x,
                y,
                scale,
            } => {
                #[expect(clippy::cast_possible_truncation, reason = "a scale near one")]
                let scale = *scale as f32;
                let place = Transform::from_row(scale, 0.0, 0.0, scale, short(*x), short(*y));
                surface.push_transform(&place);
                self.picture(surface, picture);
                surface.pop();
            }
            Drawn::Code { dark, rect } => code(surface, dark, rect),
            Drawn::Logo { logo, rect } => {
                let (pixels, width, height) = logo.rgba();
                place_image(surface, Image::from_rgba8(pixels, width, height), rect);
            }
            Drawn::Photo { photo, rect } => {
                // a photo as it was written here, which the file takes over as it is
                let jpeg = photo.jpeg().ok();
                let image = jpeg.and_then(|jpeg| Image::from_jpeg(jpeg.into(), false).ok());
                if let Some(image) = image {
                    place_image(surface, image, rect);
                }
            }
        }
    }

    fn line(&self, surface: &mut Surface<'_>, line: &TextLine) {
        surface.set_stroke(None);
        surface.set_fill(Some(filled(line.style.ink)));
        let place = Point::from_xy(short(line.x), short(line.y));
        self.words(
            surface,
            place,
            (&line.words, line.style.bold, line.style.size),
            false,
        );
    }

    /// Words in the fill and pen at hand; as mere shapes where `outlined`.
    fn words(
        &self,
        surface: &mut Surface<'_>,
        place: Point,
        (words, bold, size): (&str, bool, f64),
        outlined: bool,
    ) {
        let face = if bold { &self.bold } else { &self.regular };
        let glyphs: Vec<KrillaGlyph> = font::face(bold)
            .glyphs(words)
            .into_iter()
            .map(|g| KrillaGlyph {
                glyph_id: GlyphId::new(u32::from(g.id)),
                text_range: g.range,
                x_advance: g.advance,
                x_offset: g.shift,
                y_offset: 0.0,
                y_advance: 0.0,
                location: None,
            })
            .collect();
        if !glyphs.is_empty() {
            surface.draw_glyphs(place, &glyphs, face.clone(), words, short(size), outlined);
        }
    }

    fn picture(&self, surface: &mut Surface<'_>, picture: &Picture) {
        for shape in &picture.shapes {
            match shape {
                Shape::Path { points, stroke } => path(surface, points, pen(stroke)),
                Shape::Block { rect, fill, stroke } => block(surface, rect, *fill, *stroke),
                Shape::Area { points, fill } => filled_area(surface, points, *fill),
                Shape::Ring { x, y, radius } => ring(surface, (*x, *y), *radius),
            }
        }
        for text in &picture.texts {
            self.label(surface, text);
        }
    }

    /// Words on a picture, with a thin halo of paper that keeps them readable where
    /// a grid line passes.
    fn label(&self, surface: &mut Surface<'_>, text: &Text) {
        let words = font::face(text.bold).settable(&text.words);
        let width = font::face(text.bold).width(&words, text.size);
        let x = match text.anchor {
            Anchor::Start => text.x,
            Anchor::Middle => text.x - 0.5 * width,
            Anchor::End => text.x - width,
        };
        let place = Point::from_xy(short(x), short(text.y));
        let style = (words.as_str(), text.bold, text.size);
        if text.ink != Ink::White {
            surface.set_fill(None);
            surface.set_stroke(Some(pen(&Stroke::new(Ink::White, 2.5, Dash::Solid))));
            self.words(surface, place, style, true);
        }
        surface.set_stroke(None);
        surface.set_fill(Some(filled(text.ink)));
        self.words(surface, place, style, false);
    }
}

fn place_image(surface: &mut Surface<'_>, image: Image, rect: &Rect) {
    let place = Transform::from_translate(short(rect.x0), short(rect.y0));
    surface.push_transform(&place);
    if let Some(size) = Size::from_wh(short(rect.width()), short(rect.height())) {
        surface.draw_image(image, size);
    }
    surface.pop();
}

fn through(points: &[(f64, f64)]) -> PathBuilder {
    let mut builder = PathBuilder::new();
    for (i, (x, y)) in points.iter().enumerate() {
        if i == 0 {
            builder.move_to(short(*x), short(*y));
        } else {
            builder.line_to(short(*x), short(*y));
        }
    }
    builder
}

fn filled_area(surface: &mut Surface<'_>, points: &[(f64, f64)], fill: Ink) {
    let mut builder = through(points);
    builder.close();
    if let Some(path) = builder.finish() {
        surface.set_fill(Some(filled(fill)));
        surface.set_stroke(None);
        surface.draw_path(&path);
    }
}

fn path(surface: &mut Surface<'_>, points: &[(f64, f64)], pen: Pen) {
    let builder = through(points);
    if let Some(path) = builder.finish() {
        surface.set_fill(None);
        surface.set_stroke(Some(pen));
        surface.draw_path(&path);
    }
}

fn block(surface: &mut Surface<'_>, rect: &Rect, fill: Option<Ink>, frame: Option<Stroke>) {
    if rect.width() <= 0.0 || rect.height() <= 0.0 {
        if let Some(frame) = frame {
            path(
                surface,
                &[(rect.x0, rect.y0), (rect.x1, rect.y1)],
                pen(&frame),
            );
        }
        return;
    }
    let Some(area) = area(rect) else { return };
    let mut builder = PathBuilder::new();
    builder.push_rect(area);
    if let Some(path) = builder.finish() {
        surface.set_fill(fill.map(filled));
        surface.set_stroke(frame.as_ref().map(pen));
        surface.draw_path(&path);
    }
}

fn ring(surface: &mut Surface<'_>, (x, y): (f64, f64), radius: f64) {
    // four curves come within 0.03 % of a circle
    const BEND: f64 = 0.552_284_75;
    let (r, b) = (radius, BEND * radius);
    let mut builder = PathBuilder::new();
    let at = |dx: f64, dy: f64| (short(x + dx), short(y + dy));
    let start = at(r, 0.0);
    builder.move_to(start.0, start.1);
    for (one, two, end) in [
        (at(r, b), at(b, r), at(0.0, r)),
        (at(-b, r), at(-r, b), at(-r, 0.0)),
        (at(-r, -b), at(-b, -r), at(0.0, -r)),
        (at(b, -r), at(r, -b), at(r, 0.0)),
    ] {
        builder.cubic_to(one.0, one.1, two.0, two.1, end.0, end.1);
    }
    builder.close();
    if let Some(path) = builder.finish() {
        surface.set_fill(Some(filled(Ink::White)));
        surface.set_stroke(Some(pen(&Stroke::new(Ink::Black, 1.2, Dash::Solid))));
        surface.draw_path(&path);
    }
}

/// Dark modules, those that touch in a row as one rectangle.
fn code(surface: &mut Surface<'_>, dark: &[bool], rect: &Rect) {
    let side = dark.len().isqrt();
    #[expect(clippy::cast_precision_loss, reason = "a code has under 200 modules")]
    let module = rect.width() / side as f64;
    let mut builder = PathBuilder::new();
    for (row, modules) in dark.chunks(side.max(1)).enumerate() {
        let mut from = 0;
        for run in modules.chunk_by(|a, b| a == b) {
            let to = from + run.len();
            if run[0] {
                #[expect(clippy::cast_precision_loss, reason = "a code has under 200 modules")]
                let (x0, x1, y) = (from as f64, to as f64, row as f64);
                let dark = Rect::new(
                    rect.x0 + x0 * module,
                    rect.y0 + y * module,
                    rect.x0 + x1 * module,
                    rect.y0 + (y + 1.0) * module,
                );
                if let Some(area) = area(&dark) {
                    builder.push_rect(area);
                }
            }
            from = to;
        }
    }
    if let Some(path) = builder.finish() {
        surface.set_stroke(None);
        surface.set_fill(Some(Fill {
            paint: rgb::Color::new(0, 0, 0).into(),
            ..Fill::default()
        }));
        surface.draw_path(&path);
    }
}

fn area(rect: &Rect) -> Option<Area> {
    Area::from_ltrb(
        short(rect.x0),
        short(rect.y0),
        short(rect.x1),
        short(rect.y1),
    )
}

fn filled(ink: Ink) -> Fill {
    Fill {
        paint: colour(ink).into(),
        ..Fill::default()
    }
}

fn colour(ink: Ink) -> rgb::Color {
    let (r, g, b) = ink.rgb();
    rgb::Color::new(r, g, b)
}

fn pen(stroke: &Stroke) -> Pen {
    let dashes = stroke.dash.lengths();
    let solid = dashes.is_empty();
    Pen {
        paint: colour(stroke.ink).into(),
        width: short(stroke.width),
        line_cap: if solid { LineCap::Round } else { LineCap::Butt },
        line_join: LineJoin::Round,
        opacity: NormalizedF32::ONE,
        dash: (!solid).then(|| StrokeDash {
            array: dashes.to_vec(),
            offset: 0.0,
        }),
        ..Pen::default()
    }
}

/// A coordinate to a hundredth: finer than any printer, and shorter to write.
fn short(value: f64) -> f32 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a page has some hundred points"
    )]
    let value = ((value * 100.0).round() / 100.0) as f32;
    value
}
