//! What lies over the measured line: limits, isolation, marks, stalls, holds,
//! fitted rises, stretches without a measurement, and their labels.

use findings::{Hold, RiseCurve, RiseKind, Stall};
use vacuum::ReadingState;
use wording::{Shown, say};

use super::{beside, canvas::Canvas};
use crate::Sheet;
use layout::{
    Span,
    labels::{FreeSpace, PlacedFlag, SIZE, spread},
    picture::{Anchor, Dash, Ink, Rect, Shape, Stroke, Text},
    plot::Plot,
};

/// Most stalls and stretches that get a label; more would only cover the curve.
const MANY: usize = 16;

pub(super) fn draw(
    sheet: &Sheet<'_>,
    plot: &Plot,
    placed: &[PlacedFlag],
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let mut canvas = Canvas {
        voice: sheet.voice(),
        plot,
        room: FreeSpace::of(plot),
        shapes,
        texts,
    };
    let holds: Vec<&Hold> = sheet
        .findings
        .rounds
        .iter()
        .filter_map(|r| r.hold.as_ref())
        .collect();
    beside::draw(&mut canvas);
    canvas.limits(sheet);
    for hold in &holds {
        let x = plot.x(hold.isolated_at_s);
        canvas.room.line((x, plot.frame.y0), (x, plot.frame.y1));
        if let Some(curve) = drawn_rise(hold) {
            canvas.fit(curve);
        }
    }
    let room = &canvas.room;
    let top_at = |x: f64| room.curve_top(x, x);
    layout::flags::draw(plot, placed, top_at, (canvas.shapes, canvas.texts));
    let spans = shown_spans(sheet);
    for span in &spans {
        canvas.span(span);
    }
    let stalls = sheet
        .findings
        .rounds
        .iter()
        .filter_map(|r| r.pulldown.as_ref())
        .flat_map(|p| &p.stalls);
    for stall in stalls.take(MANY) {
        canvas.stall(stall);
    }
    canvas.range_label(&spans);
    beside::label(&mut canvas, sheet);
    for (i, hold) in holds.iter().enumerate().take(MANY) {
        canvas.hold_label(hold, (holds.len() > 1).then_some(i + 1));
    }
    if let Some(curve) = sheet.findings.judged_hold().and_then(drawn_rise) {
        canvas.fit_label(curve);
    }
}

/// Stretches without a measurement: those of the record and gaps found by the
/// analyser that the record does not mention.
fn shown_spans(sheet: &Sheet<'_>) -> Vec<Span> {
    let mut spans = sheet.trace.spans().to_vec();
    for gap in &sheet.findings.data.gaps {
        let known = spans
            .iter()
            .any(|s| s.start_s <= gap.end_s + 0.01 && gap.start_s <= s.end_s + 0.01);
        if !known {
            spans.push(Span {
                state: ReadingState::Gap,
                start_s: gap.start_s,
                end_s: gap.end_s,
                bound_micron: None,
            });
        }
        if spans.len() > 300 {
            break;
        }
    }
    // the longest matter most when there are too many
    spans.sort_by(|a, b| (b.end_s - b.start_s).total_cmp(&(a.end_s - a.start_s)));
    spans.truncate(MANY);
    spans.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    spans
}

impl Canvas<'_> {
    /// Target and ceiling as lines with their values in the gutter, and the
    /// last value beside them.
    fn limits(&mut self, sheet: &Sheet<'_>) {
        let f = self.plot.frame;
        let criteria = &sheet.findings.criteria;
        let (target, ceiling) = (criteria.target_micron, criteria.ceiling_micron);
        let same = (ceiling / target - 1.0).abs() < 0.01;
        let voice = self.voice;
        let mut labels = Vec::new();
        let id = if same {
            "curve-both-limits"
        } else {
            "curve-target"
        };
        labels.push((target, say!(voice, id), Some(Dash::Long)));
        if !same {
            labels.push((ceiling, say!(voice, "curve-ceiling"), Some(Dash::Mixed)));
        }
        if let Some(bin) = sheet.trace.bins().last() {
            let id = if sheet.trace.ends_measured() {
                "curve-last-reading"
            } else {
                "curve-last-measurement"
            };
            labels.push((bin.last_micron, say!(voice, id), None));
        }
        let others = beside::last_readings(sheet).into_iter();
        labels.extend(others.map(|(p, words)| (p, words, None)));
        let wanted: Vec<f64> = labels.iter().map(|(p, ..)| self.plot.y(*p)).collect();
        // another unit has micron on a line of its own
        let third = if voice.has_both() { 13.0 } else { 0.0 };
        let heights = vec![28.0 + third; labels.len()];
        let centres = spread(&wanted, &heights, f.y0 - 4.0, f.y1 + 4.0);
        for (((value, words, dash), y), centre) in labels.iter().zip(wanted).zip(centres) {
            if let Some(dash) = dash {
                let stroke = Stroke::new(Ink::Black, 1.0, *dash);
                self.shapes.push(Shape::line((f.x0, y), (f.x1, y), stroke));
                self.room.line((f.x0, y), (f.x1, y));
            }
            let leader = Stroke::new(Ink::Grey, 0.7, Dash::Solid);
            self.shapes
                .push(Shape::line((f.x1 + 1.0, y), (f.x1 + 8.0, centre), leader));
            let Shown { chosen, micron } = if dash.is_some() {
                voice.limit_shown(*value)
            } else {
                voice.pressure_shown(*value)
            };
            let (x, y) = (f.x1 + 11.0, centre - 0.5 * third);
            self.texts
                .push(Text::new(x, y - 2.0, SIZE, words.clone()).ink(Ink::Grey));
            self.texts.push(Text::new(x, y + 11.0, SIZE, chosen).bold());
            self.texts
                .extend(micron.map(|micron| Text::new(x, y + 24.0, SIZE, micron)));
        }
    }

    /// The fitted rise, dashed over the hold.
    fn fit(&mut self, curve: &RiseCurve) {
        let points = fit_points(curve, |t, p| (self.plot.x(t), self.plot.y(p)));
        for pair in points.windows(2) {
            self.room.line(pair[0], pair[1]);
        }
        self.shapes.push(Shape::Path {
            points,
            stroke: FIT,
        });
    }

    fn fit_label(&mut self, curve: &RiseCurve) {
        let middle_s = 0.5 * (curve.origin_s + curve.end_s);
        let (x, y) = (
            self.plot.x(middle_s),
            self.plot.y(curve.at_micron(middle_s)),
        );
        let text = Text::new(x, y - 8.0, SIZE, say!(self.voice, "curve-fit"))
            .anchored(Anchor::Middle)
            .ink(Ink::Fit);
        self.texts.extend(self.room.settle(text, 140.0, 90.0));
    }

    /// A bracket under or over a stall, with its kind.
    fn stall(&mut self, stall: &Stall) {
        const TICK: f64 = 5.0;
        let f = self.plot.frame;
        let (x0, x1) = (self.plot.x(stall.start_s), self.plot.x(stall.end_s));
        let x1 = x1.max(x0 + 5.0).min(f.x1);
        let level = self.plot.y(stall.level_micron);
        let (top, bottom) = self.room.curve_span(x0, x1).unwrap_or((level, level));
        // over it, unless it begins or ends on a slope high above its level
        let below = level - top > bottom - level + 24.0 && bottom + 28.0 < f.y1;
        let (y, away) = if below {
            ((bottom + 7.0).min(f.y1 - 8.0), 1.0)
        } else {
            ((top - 7.0).max(f.y0 + 4.0), -1.0)
        };
        let tick = y - away * TICK;
        self.shapes.push(Shape::Path {
            points: vec![(x0, tick), (x0, y), (x1, y), (x1, tick)],
            stroke: Stroke::new(Ink::Black, 1.1, Dash::Solid),
        });
        self.room
            .take(Rect::new(x0, y.min(tick) - 1.0, x1, y.max(tick)));
        let voice = &{ self.voice };
        let kind = wording::stall_words(voice, stall.kind);
        let level = wording::stall_level(voice, stall);
        let baseline = if below { y + 13.0 } else { y - 5.0 };
        let attempts = [
            (
                say!(voice, "curve-stall", kind = &kind, level = level),
                70.0,
                40.0,
            ),
            (kind.clone(), 120.0, 120.0),
            (kind, 420.0, 300.0),
        ];
        for (words, reach_x, reach_y) in attempts {
            let text = Text::new(0.5 * (x0 + x1), baseline, SIZE, words).anchored(Anchor::Middle);
            // words in two units are long: not across a line
            let settled = if voice.has_both() && reach_x < 100.0 {
                self.room.settle_clear(&text, reach_x, reach_y)
            } else {
                self.room.settle(text, reach_x, reach_y)
            };
            if let Some(text) = settled {
                self.leader((0.5 * (x0 + x1), y), &text);
                self.texts.push(text);
                return;
            }
        }
    }

    /// Names the shading, inside it where there is more than one.
    fn hold_label(&mut self, hold: &Hold, number: Option<usize>) {
        let (x0, x1) = (self.plot.x(hold.isolated_at_s), self.plot.x(hold.end_s));
        let voice = &self.voice;
        let time = voice.held(hold.duration_s);
        let attempts = match number {
            None => vec![say!(voice, "curve-hold", time = time)],
            Some(n) => vec![
                say!(voice, "curve-hold-number-time", number = n, time = time),
                say!(voice, "curve-hold-number", number = n),
                n.to_string(),
            ],
        };
        for words in attempts {
            let text = Text::new(0.5 * (x0 + x1), self.plot.frame.y0 + 14.0, SIZE, words)
                .anchored(Anchor::Middle)
                .bold();
            let slack = 0.5 * (x1 - x0 - text.width()) - 3.0;
            let reach_x = if number.is_some() { slack } else { 200.0 };
            if reach_x < 0.0 {
                continue;
            }
            if let Some(text) = self.room.settle(text, reach_x, 120.0) {
                self.texts.push(text);
                return;
            }
        }
    }

    /// A stretch without a measurement.
    fn span(&mut self, span: &Span) {
        let f = self.plot.frame;
        let (x0, x1) = (self.plot.x(span.start_s), self.plot.x(span.end_s));
        let x1 = x1.max(x0 + 2.0);
        match span.state {
            ReadingState::Over | ReadingState::Under => self.bound(span, x0, x1),
            ReadingState::Gap | ReadingState::Fault | ReadingState::Ok => {
                let dotted = Stroke::new(Ink::Grey, 0.9, Dash::Dotted);
                for x in [x0, x1] {
                    self.shapes.push(Shape::line((x, f.y0), (x, f.y1), dotted));
                    self.room.line((x, f.y0), (x, f.y1));
                }
                let id = if span.state == ReadingState::Fault {
                    "curve-fault"
                } else {
                    "curve-no-readings"
                };
                let time = self.voice.duration(span.end_s - span.start_s);
                let words = say!(self.voice, id, time = time);
                let text =
                    Text::new(0.5 * (x0 + x1), f.y1 - 10.0, SIZE, words).anchored(Anchor::Middle);
                self.texts.extend(self.room.settle(text, 120.0, 80.0));
            }
        }
    }

    /// Over or under range: a heavy bar at the bound with arrows away from what
    /// was measured, so that it cannot be read as a value.
    fn bound(&mut self, span: &Span, x0: f64, x1: f64) {
        let (y, away) = self.edge_of_range(span);
        let heavy = Stroke::new(Ink::Black, 2.0, Dash::Short);
        self.shapes.push(Shape::line((x0, y), (x1, y), heavy));
        let thin = Stroke::new(Ink::Black, 0.9, Dash::Solid);
        let mut x = x0 + 6.0;
        while x < x1 - 3.0 {
            let tip = y + away * 7.0;
            let wing = y + away * 3.5;
            self.shapes.push(Shape::Path {
                points: vec![(x - 3.0, wing), (x, tip), (x + 3.0, wing)],
                stroke: thin,
            });
            x += 26.0;
        }
        self.room.take(Rect::new(
            x0,
            y.min(y + away * 7.0) - 1.0,
            x1,
            y.max(y + away * 7.0) + 1.0,
        ));
    }

    /// Where the bound of the gauge's range lies, px, and which way is beyond it.
    fn edge_of_range(&self, span: &Span) -> (f64, f64) {
        let f = self.plot.frame;
        let (edge, away) = match span.state {
            ReadingState::Over => (f.y0 + 8.0, -1.0),
            _ => (f.y1 - 8.0, 1.0),
        };
        let y = span.bound_micron.map_or(edge, |p| self.plot.y(p));
        (y.clamp(f.y0 + 8.0, f.y1 - 8.0), away)
    }

    /// Names the longest bar of each side of the gauge's range.
    fn range_label(&mut self, spans: &[Span]) {
        let voice = self.voice;
        for (state, short, long) in [
            (ReadingState::Over, "curve-over", "curve-over-bound"),
            (ReadingState::Under, "curve-under", "curve-under-bound"),
        ] {
            let length = |s: &&Span| s.end_s - s.start_s;
            let bars = spans.iter().filter(|s| s.state == state);
            let longest = bars.max_by(|a, b| length(a).total_cmp(&length(b)));
            let Some(span) = longest else {
                continue;
            };
            let (y, away) = self.edge_of_range(span);
            let (x0, x1) = (self.plot.x(span.start_s), self.plot.x(span.end_s));
            let at = |words| Text::new(x0 + 2.0, y - away * 15.0, SIZE, words);
            let full = span
                .bound_micron
                .map(|p| at(say!(voice, long, bound = voice.limit(p))))
                .and_then(|text| self.room.settle_clear(&text, 60.0, 60.0));
            let text = full.or_else(|| self.room.settle(at(say!(voice, short)), 160.0, 120.0));
            if let Some(text) = text {
                self.leader((0.5 * (x0 + x1), y), &text);
                self.texts.push(text);
            }
        }
    }
}

/// How a fitted rise is drawn: gaps wide enough to see the readings under it.
pub(crate) const FIT: Stroke = Stroke::new(Ink::Fit, 1.6, Dash::Sparse);

/// The fitted rise of a hold, if there is a rise at all.
pub(crate) fn drawn_rise(hold: &Hold) -> Option<&RiseCurve> {
    let curve = hold.rise.curve.as_ref();
    curve.filter(|_| hold.rise.kind != RiseKind::None)
}

/// Points along the fitted rise.
pub(crate) fn fit_points(
    curve: &RiseCurve,
    place: impl Fn(f64, f64) -> (f64, f64),
) -> Vec<(f64, f64)> {
    const PARTS: u32 = 80;
    let length = curve.end_s - curve.origin_s;
    (0..=PARTS)
        .map(|i| {
            let t = curve.origin_s + length * f64::from(i) / f64::from(PARTS);
            (t, curve.at_micron(t))
        })
        .filter(|(t, p)| t.is_finite() && p.is_finite())
        .map(|(t, p)| place(t, p))
        .collect()
}
