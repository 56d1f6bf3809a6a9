//! The loss with its interval on one scale with what is allowed.

use findings::{Decay, DecayCriteria, Estimate};
use layout::{
    ReportError, flags,
    font::width_on_screen,
    labels::{self, Flag, FreeSpace},
    picture::{Anchor, Dash, Ink, Picture, Rect, Shape, Stroke, Text},
    plot::{Plot, Series},
    scale::{Axis, Tick, linear_around, ticks_in},
};
use wording::{Voice, say};

use super::{TestSheet, measured};

const WIDTH: f64 = 400.0;
const HEIGHT: f64 = 215.0;
const SIZE: f64 = 10.0;
/// Half the height of the bar, px.
const HALF_BAR: f64 = 6.0;
/// What is allowed is left out of the scale where it is so many times what was found.
const FAR: f64 = 40.0;

/// What stands on the scale.
struct Scale {
    loss: Estimate,
    upper: Option<f64>,
    allowed: Option<f64>,
    /// What is refused, where it is more than what is allowed.
    refused: Option<f64>,
    sight: Option<f64>,
    /// Messages of the heading and of the axis.
    heading: &'static str,
    axis: &'static str,
}

impl Scale {
    /// As throughput where the volume is known, else as a share of the gas.
    fn of(decay: &Decay, criteria: &DecayCriteria) -> Self {
        match decay.loss_pa_m3_per_s {
            Some(loss) => Self {
                loss,
                upper: decay.upper_95_pa_m3_per_s,
                allowed: criteria.allowed_pa_m3_per_s,
                refused: criteria.refused_pa_m3_per_s,
                sight: decay.detection_limit_pa_m3_per_s,
                heading: "test-loss-heading",
                axis: "test-loss-axis",
            },
            None => Self {
                loss: decay.lost_per_hour.scaled(100.0),
                upper: None,
                allowed: None,
                refused: None,
                sight: None,
                heading: "test-criterion-loss",
                axis: "test-loss-axis-share",
            },
        }
    }

    fn axis(&self) -> Axis {
        let seen = [Some(self.loss.high), self.upper, self.sight];
        let most = seen.into_iter().flatten().fold(0.0, f64::max);
        let low = self.loss.low.min(0.0);
        let span = most.max(-low);
        let near = |limit: &f64| *limit < FAR * span;
        let allowed = self.allowed.filter(near).unwrap_or(0.0);
        let refused = self.refused.filter(|r| *r < 2.0 * most.max(allowed));
        let high = most.max(allowed).max(refused.unwrap_or(0.0));
        linear_around(low, 1.02 * high, 5, 1.0)
    }
}

/// Lays the picture out; `None` where nothing was measured.
pub(super) fn picture(sheet: &TestSheet<'_>) -> Result<Option<Picture>, ReportError> {
    Ok(layout(sheet)?.map(|(_, picture)| picture))
}

/// The plot in data coordinates, and the picture with all that lies over it.
pub(crate) fn layout(sheet: &TestSheet<'_>) -> Result<Option<(Plot, Picture)>, ReportError> {
    let Some(decay) = sheet.findings.decay.filter(|_| sheet.is_closed()) else {
        return Ok(None);
    };
    let voice = &sheet.about.voice();
    let scale = Scale::of(&decay, &sheet.findings.criteria);
    let (mut shapes, mut texts) = (Vec::new(), Vec::new());
    texts.push(Text::new(8.0, 13.0, 11.0, say!(voice, scale.heading)).bold());
    let loss = measured::loss(voice, &decay);
    if width_on_screen(&loss, SIZE, false) <= WIDTH - 16.0 {
        texts.push(Text::new(8.0, 28.0, SIZE, loss.clone()));
    }
    let axis = scale.axis();
    let (x0, x1) = (16.0, WIDTH - 16.0);
    let x_of = |value: f64| x0 + axis.fraction(value) * (x1 - x0);
    let placed = labels::flags(
        limits(voice, &scale, &axis, x_of),
        (8.0, WIDTH - 8.0),
        2,
        voice,
    );
    let plot = plot(&scale, axis, Rect::new(x0, 68.0, x1, 170.0));
    let f = plot.frame;
    shapes.extend(plot.shapes("loss")?);
    ticks(voice, &scale, &plot, (&mut shapes, &mut texts));
    let mut room = FreeSpace::of(&plot);
    for flag in &placed {
        room.line((flag.flag.x, f.y0), (flag.flag.x, f.y1));
    }
    bar(voice, &scale, &plot, &mut room, (&mut shapes, &mut texts));
    flags::draw(&plot, &placed, |_| f.y1, (&mut shapes, &mut texts));
    too_much(voice, &scale, &plot, &mut room, &mut texts);
    let picture = Picture {
        width: WIDTH,
        height: HEIGHT,
        title: say!(voice, scale.heading),
        description: loss,
        shapes,
        texts,
    };
    Ok(Some((plot, picture)))
}

/// What is allowed, and what could be seen, as flags.
fn limits(voice: &Voice, scale: &Scale, axis: &Axis, x_of: impl Fn(f64) -> f64) -> Vec<Flag> {
    let named = |id: &'static str, value: Option<f64>, strong: bool| {
        let value = value.filter(|v| axis.holds(*v))?;
        let words = say!(
            voice,
            "labelled",
            name = say!(voice, id),
            text = voice.significant(value, 2)
        );
        Some(Flag::new(x_of(value), words, strong))
    };
    let all = [
        named("test-loss-allowed", scale.allowed, true),
        named("test-loss-sight", scale.sight, false),
    ];
    all.into_iter().flatten().collect()
}

/// The axis runs to the right; the plot knows it as time.
fn plot(scale: &Scale, axis: Axis, frame: Rect) -> Plot {
    let allowed = scale.allowed.filter(|a| axis.holds(*a));
    let refused = scale.refused.or(allowed).unwrap_or(f64::INFINITY);
    let shades = allowed.map(|allowed| {
        vec![
            (allowed, refused.min(axis.high), Ink::HoldTint),
            (refused.min(axis.high), axis.high, Ink::SettleTint),
        ]
    });
    Plot {
        frame,
        time: axis,
        value: Axis::linear(0.0, 1.0),
        grid_time: ticks_in(&axis, 5, 1.0, &Voice::default())
            .iter()
            .map(|t| t.value)
            .collect(),
        grid_value: Vec::new(),
        shades: shades.unwrap_or_default(),
        series: Series {
            pieces: Vec::new(),
            ink: Ink::Curve,
            width: 1.0,
        },
        beside: Vec::new(),
    }
}

fn ticks(
    voice: &Voice,
    scale: &Scale,
    plot: &Plot,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let f = plot.frame;
    let thin = Stroke::new(Ink::Grey, 0.8, Dash::Solid);
    shapes.push(Shape::line((f.x0, f.y1), (f.x1, f.y1), thin));
    let zero = plot.x(0.0);
    let stroke = Stroke::new(Ink::Grey, 1.2, Dash::Solid);
    shapes.push(Shape::line((zero, f.y0), (zero, f.y1), stroke));
    let largest = plot.time.high.abs().max(plot.time.low.abs());
    let mut last: Option<Rect> = None;
    for Tick { value, label } in ticks_in(&plot.time, 5, 1.0, voice) {
        let x = plot.x(value);
        shapes.push(Shape::line((x, f.y1), (x, f.y1 + 3.0), thin));
        let label = match largest < 0.01 && value.abs() > 1e-9 * largest {
            true => Some(voice.significant(value, 2)),
            false => label,
        };
        let Some(label) = label else { continue };
        let text = Text::new(x, f.y1 + 14.0, SIZE, label).anchored(Anchor::Middle);
        // long numbers leave out every other one
        let bounds = text.bounds();
        let fits = bounds.x0 >= 2.0 && bounds.x1 <= WIDTH - 2.0;
        if fits && last.is_none_or(|before| before.x1 + 6.0 < bounds.x0) {
            last = Some(bounds);
            texts.push(text);
        }
    }
    let words = say!(voice, scale.axis);
    let words = layout::text::fit(&words, f.width(), SIZE, true);
    texts.push(Text::new(f.x0, f.y1 + 30.0, SIZE, words).bold());
}

/// The interval as a bar, the value as a line through it, the one-sided limit as a bracket.
fn bar(
    voice: &Voice,
    scale: &Scale,
    plot: &Plot,
    room: &mut FreeSpace,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let f = plot.frame;
    let middle = 0.5 * (f.y0 + f.y1);
    let (from, to) = (plot.x(scale.loss.low), plot.x(scale.loss.high));
    // a narrow interval is seen too
    let widen = (0.5 * (3.0 - (to - from))).max(0.0);
    let rect = Rect::new(
        (from - widen).max(f.x0),
        middle - HALF_BAR,
        (to + widen).min(f.x1),
        middle + HALF_BAR,
    );
    shapes.push(Shape::Block {
        rect,
        fill: Some(Ink::Curve),
        stroke: None,
    });
    room.take(rect.grown(1.0));
    let value = plot.x(scale.loss.value);
    let line = Stroke::new(Ink::Black, 2.0, Dash::Solid);
    let ends = (middle - HALF_BAR - 4.0, middle + HALF_BAR + 4.0);
    shapes.push(Shape::line((value, ends.0), (value, ends.1), line));
    room.line((value, ends.0), (value, ends.1));
    let words = say!(voice, "test-loss-bar");
    let text = Text::new(0.5 * (from + to), middle - HALF_BAR - 8.0, SIZE, words);
    texts.extend(room.settle(text.anchored(Anchor::Middle), 150.0, 40.0));
    let Some(upper) = scale.upper else { return };
    let x = plot.x(upper);
    let (top, bottom) = (middle + HALF_BAR + 3.0, middle + HALF_BAR + 13.0);
    let bracket = Stroke::new(Ink::Black, 1.2, Dash::Solid);
    shapes.push(Shape::Path {
        points: vec![(x - 4.0, bottom), (x, bottom), (x, top)],
        stroke: bracket,
    });
    room.take(Rect::new(x - 4.0, top, x + 1.0, bottom + 1.0));
    let words = say!(voice, "test-loss-upper");
    let text = Text::new(x - 8.0, bottom + 4.0, SIZE, words).anchored(Anchor::End);
    texts.extend(room.settle(text, 250.0, 40.0));
}

/// Names the side of the scale that is too much.
fn too_much(
    voice: &Voice,
    scale: &Scale,
    plot: &Plot,
    room: &mut FreeSpace,
    texts: &mut Vec<Text>,
) {
    let f = plot.frame;
    let Some(allowed) = scale.allowed.filter(|a| plot.time.holds(*a)) else {
        return;
    };
    let from = plot.x(allowed);
    let text = Text::new(
        0.5 * (from + f.x1),
        f.y1 - 6.0,
        SIZE,
        say!(voice, "test-loss-too-much"),
    )
    .anchored(Anchor::Middle)
    .ink(Ink::Grey);
    let slack = 0.5 * (f.x1 - from - text.width()) - 3.0;
    if slack >= 0.0 {
        texts.extend(room.settle(text, slack, 80.0));
    }
}
