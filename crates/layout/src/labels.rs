//! Where labels go, so that none covers another or the curve.
//!
//! Three places: a band of flags above the plot (marks, isolation), a gutter to
//! its right (values of level lines), and free room inside it (stalls, holds).

use wording::{Voice, say};

use crate::{
    font::width_on_screen,
    picture::{Rect, Text},
    plot::{Plot, Series},
    text,
};

/// Font size of labels.
pub const SIZE: f64 = 11.0;
/// Height of a row of labels.
pub const ROW: f64 = 15.0;

/// A label that belongs to an instant.
#[derive(Debug, Clone, PartialEq)]
pub struct Flag {
    /// Position of the instant, px.
    pub x: f64,
    /// What it says.
    pub words: String,
    /// Isolation: drawn heavier, named first when merged.
    pub strong: bool,
    /// Acts that the words name.
    pub named: usize,
    /// Acts in all.
    pub acts: usize,
}

impl Flag {
    /// A flag for one act.
    pub fn new(x: f64, words: impl Into<String>, strong: bool) -> Self {
        Self {
            x,
            words: words.into(),
            strong,
            named: 1,
            acts: 1,
        }
    }

    /// The words, shortened to fit, and how many acts they leave out.
    fn fitted(&self, max_px: f64, voice: &Voice) -> String {
        let tail = match self.acts - self.named {
            0 => String::new(),
            more => format!(" {}", say!(voice, "curve-more-acts", acts = more)),
        };
        let room = max_px - width_on_screen(&tail, SIZE, self.strong);
        text::fit(&self.words, room, SIZE, self.strong) + &tail
    }
}

/// A flag with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedFlag {
    /// Which flag.
    pub flag: Flag,
    /// The words to write.
    pub words: String,
    /// Left end of the words, px.
    pub text_x: f64,
    /// Row, 0 nearest the plot.
    pub row: usize,
    width: f64,
}

impl PlacedFlag {
    fn span(&self) -> (f64, f64) {
        (self.text_x - 3.0, self.text_x + self.width + 5.0)
    }

    /// True when two flags cannot stand as they are: words on words, or the
    /// leader of one through the words of the other.
    fn clashes(&self, other: &Self) -> bool {
        let (a, b) = (self.span(), other.span());
        let through = |x: f64, span: (f64, f64)| x > span.0 && x < span.1;
        match self.row.cmp(&other.row) {
            std::cmp::Ordering::Equal => a.0 < b.1 && b.0 < a.1,
            std::cmp::Ordering::Less => through(other.flag.x, a),
            std::cmp::Ordering::Greater => through(self.flag.x, b),
        }
    }
}

/// Longest text of a flag, px.
const FLAG_MAX: f64 = 290.0;
/// Flags nearer than this merge at once, px.
const SAME_INSTANT: f64 = 3.0;
/// More flags than this are merged before placing is tried.
const MANY: usize = 30;

/// Puts flags in at most `rows` rows between `left` and `right`; neighbours
/// that find no place are merged ("… +2 more").
pub fn flags(
    mut flags: Vec<Flag>,
    (left, right): (f64, f64),
    rows: usize,
    voice: &Voice,
) -> Vec<PlacedFlag> {
    flags.sort_by(|a, b| a.x.total_cmp(&b.x));
    while flags.len() > 1 && (flags.len() > MANY || closest(&flags).1 < SAME_INSTANT) {
        merge_closest(&mut flags);
    }
    loop {
        if let Some(placed) = try_flags(&flags, (left, right), rows, voice) {
            return placed;
        }
        if flags.len() < 2 {
            return Vec::new();
        }
        merge_closest(&mut flags);
    }
}

fn closest(flags: &[Flag]) -> (usize, f64) {
    flags
        .windows(2)
        .enumerate()
        .map(|(i, pair)| (i, pair[1].x - pair[0].x))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((0, f64::INFINITY))
}

fn merge_closest(flags: &mut Vec<Flag>) {
    let (i, _) = closest(flags);
    let second = flags.remove(i + 1);
    let first = &mut flags[i];
    let both = format!("{}, {}", first.words, second.words);
    let all_named = first.acts == first.named && second.acts == second.named;
    first.acts += second.acts;
    if all_named && first.words != second.words && width_on_screen(&both, SIZE, false) < FLAG_MAX {
        first.words = both;
        first.named += second.named;
    } else if second.strong && !first.strong {
        first.words = second.words;
        first.named = second.named;
    }
    if second.strong && !first.strong {
        first.x = second.x;
    }
    first.strong |= second.strong;
}

fn try_flags(
    flags: &[Flag],
    (left, right): (f64, f64),
    rows: usize,
    voice: &Voice,
) -> Option<Vec<PlacedFlag>> {
    let mut placed: Vec<PlacedFlag> = Vec::with_capacity(flags.len());
    for flag in flags.iter().rev() {
        let words = flag.fitted((right - left).min(FLAG_MAX + 60.0), voice);
        let width = width_on_screen(&words, SIZE, flag.strong);
        let candidate = |row: usize| PlacedFlag {
            flag: flag.clone(),
            words: words.clone(),
            text_x: (flag.x + 4.0).min(right - width).max(left),
            row,
            width,
        };
        let free = (0..rows)
            .map(candidate)
            .find(|c| !placed.iter().any(|other| c.clashes(other)))?;
        placed.push(free);
    }
    placed.reverse();
    Some(placed)
}

/// Moves labels of given heights apart, keeping them between `top` and
/// `bottom` and near where they want to be (their centres): a label yields to
/// those above it, all yield to the bottom.
/// Returns the centres in the order given.
pub fn spread(wanted: &[f64], heights: &[f64], top: f64, bottom: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    let mut centres = wanted.to_vec();
    let mut edge = top;
    for i in &order {
        centres[*i] = centres[*i].max(edge + 0.5 * heights[*i]);
        edge = centres[*i] + 0.5 * heights[*i];
    }
    let mut edge = bottom;
    for i in order.iter().rev() {
        centres[*i] = centres[*i].min(edge - 0.5 * heights[*i]);
        edge = centres[*i] - 0.5 * heights[*i];
    }
    centres
}

/// Highest and lowest point of a curve in each column of one pixel, px.
type Columns = Vec<(f64, f64)>;

/// What already stands in the plot.
#[derive(Debug, Clone, Default)]
pub struct FreeSpace {
    frame: Option<Rect>,
    /// Highest and lowest point of the curve in each column of one pixel.
    curve: Columns,
    /// The same of the curves beside it, each by itself.
    beside: Vec<Columns>,
    /// Lines that words should rather not cross.
    lines: Vec<Rect>,
    /// Words and brackets.
    taken: Vec<Rect>,
}

impl FreeSpace {
    /// The room left by the measured lines of `plot`.
    pub fn of(plot: &Plot) -> Self {
        Self {
            frame: Some(plot.frame),
            curve: drawn(plot, &plot.series),
            beside: plot.beside.iter().map(|s| drawn(plot, s)).collect(),
            ..Self::default()
        }
    }

    /// A line that words avoid when they can.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64)) {
        steps(from, to, &mut self.lines);
    }

    /// A box that words always avoid.
    pub fn take(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// Highest point of the curve between two positions, px; the plot's bottom
    /// when it is not there.
    pub fn curve_top(&self, x0: f64, x1: f64) -> f64 {
        let bottom = self.frame.map_or(0.0, |f| f.y1);
        let columns = stretch(&self.curve, x0, x1).iter();
        columns.map(|(top, _)| *top).fold(bottom, f64::min)
    }

    /// Highest and lowest point of the curve between two positions, px.
    pub fn curve_span(&self, x0: f64, x1: f64) -> Option<(f64, f64)> {
        let drawn = stretch(&self.curve, x0, x1)
            .iter()
            .filter(|(top, _)| top.is_finite());
        drawn.copied().reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    }

    /// True when a curve passes through the box.
    pub fn curve_crosses(&self, rect: &Rect) -> bool {
        let through = |curve: &Columns| {
            stretch(curve, rect.x0, rect.x1)
                .iter()
                .any(|(top, bottom)| *top < rect.y1 && *bottom > rect.y0)
        };
        through(&self.curve) || self.beside.iter().any(through)
    }

    fn is_free(&self, rect: &Rect, strict: bool) -> bool {
        let hits = |list: &[Rect]| list.iter().any(|r| r.overlaps(rect));
        let outside = self.frame.is_some_and(|f| !f.contains(rect));
        let on_line = strict && hits(&self.lines);
        !(outside || on_line || hits(&self.taken) || self.curve_crosses(rect))
    }

    /// Moves `text` to the free place nearest to where it stands, and takes
    /// that place; `None` when there is none in reach.
    pub fn settle(&mut self, text: Text, reach_x: f64, reach_y: f64) -> Option<Text> {
        for strict in [true, false] {
            if let Some(found) = self.nearest(&text, (reach_x, reach_y), strict) {
                self.take(found.bounds().grown(2.0));
                return Some(found);
            }
        }
        None
    }

    /// Like [`Self::settle`], but only where no line runs through the words.
    pub fn settle_clear(&mut self, text: &Text, reach_x: f64, reach_y: f64) -> Option<Text> {
        let found = self.nearest(text, (reach_x, reach_y), true)?;
        self.take(found.bounds().grown(2.0));
        Some(found)
    }

    fn nearest(&self, text: &Text, (reach_x, reach_y): (f64, f64), strict: bool) -> Option<Text> {
        const STEP_X: f64 = 9.0;
        const STEP_Y: f64 = 6.0;
        let bounds = text.bounds();
        let mut best: Option<(f64, Text)> = None;
        let (nx, ny) = (whole_steps(reach_x, STEP_X), whole_steps(reach_y, STEP_Y));
        for iy in -ny..=ny {
            for ix in -nx..=nx {
                let (dx, dy) = (f64::from(ix) * STEP_X, f64::from(iy) * STEP_Y);
                // sideways is cheaper to follow with the eye than up and down
                let cost = dx.abs() * 0.8 + dy.abs() + if iy > 0 { 4.0 } else { 0.0 };
                if best.as_ref().is_some_and(|(b, _)| *b <= cost) {
                    continue;
                }
                if self.is_free(&bounds.moved(dx, dy).grown(2.0), strict) {
                    let mut moved = text.clone();
                    moved.x += dx;
                    moved.y += dy;
                    best = Some((cost, moved));
                }
            }
        }
        best.map(|(_, text)| text)
    }
}

/// The columns that a line of the plot passes through.
fn drawn(plot: &Plot, series: &Series) -> Columns {
    let empty = (f64::INFINITY, f64::NEG_INFINITY);
    let mut curve = vec![empty; column(plot.frame.x1) + 2];
    for piece in &series.pieces {
        let mut last: Option<(f64, f64)> = None;
        for (t, p) in piece {
            let point = (plot.x(*t), plot.y(*p));
            add_line(&mut curve, last.unwrap_or(point), point);
            last = Some(point);
        }
    }
    curve
}

fn add_line(curve: &mut Columns, from: (f64, f64), to: (f64, f64)) {
    let slope = (to.1 - from.1) / (to.0 - from.0).max(1e-9);
    let y_at = |x: f64| from.1 + slope * (x.clamp(from.0, to.0) - from.0);
    for c in column(from.0)..=column(to.0) {
        #[expect(clippy::cast_precision_loss, reason = "pixel columns are few")]
        let left = c as f64;
        let (mut a, mut b) = (y_at(left), y_at(left + 1.0));
        if column(from.0) == column(to.0) {
            (a, b) = (from.1, to.1);
        }
        if let Some((top, bottom)) = curve.get_mut(c) {
            *top = top.min(a.min(b));
            *bottom = bottom.max(a.max(b));
        }
    }
}

fn stretch(curve: &Columns, x0: f64, x1: f64) -> &[(f64, f64)] {
    let end = (column(x1) + 1).min(curve.len());
    curve.get(column(x0).min(end)..end).unwrap_or(&[])
}

/// The column of one pixel that holds `x`.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the size of a picture"
)]
fn column(x: f64) -> usize {
    x.clamp(0.0, 10_000.0) as usize
}

#[expect(clippy::cast_possible_truncation, reason = "a few dozen steps")]
fn whole_steps(reach: f64, step: f64) -> i32 {
    (reach / step).clamp(0.0, 120.0) as i32
}

/// Boxes along a line, none wider than a few pixels unless it is flat.
fn steps(from: (f64, f64), to: (f64, f64), out: &mut Vec<Rect>) {
    const THICK: f64 = 1.0;
    let longest = (to.0 - from.0).abs().min((to.1 - from.1).abs());
    let parts = whole_steps(longest, 6.0).max(0) + 1;
    for i in 0..parts {
        let at = |k: i32| {
            let f = f64::from(k) / f64::from(parts);
            (from.0 + f * (to.0 - from.0), from.1 + f * (to.1 - from.1))
        };
        let (a, b) = (at(i), at(i + 1));
        out.push(Rect::new(
            a.0.min(b.0) - THICK,
            a.1.min(b.1) - THICK,
            a.0.max(b.0) + THICK,
            a.1.max(b.1) + THICK,
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flag(x: f64, words: &str) -> Flag {
        Flag::new(x, words, false)
    }

    #[test]
    fn flags_never_clash_however_many() {
        for n in [1, 2, 5, 12, 40, 200, 500_u32] {
            for spread in [900.0, 200.0, 30.0] {
                let input: Vec<Flag> = (0..n)
                    .map(|i| {
                        let x = 60.0 + spread * f64::from((i * 7919) % 101) / 101.0;
                        flag(
                            x,
                            ["pump stopped", "nitrogen break", "heat applied: gently"]
                                [i as usize % 3],
                        )
                    })
                    .collect();
                let placed = flags(input, (60.0, 950.0), 5, &Voice::default());
                assert!(!placed.is_empty());
                for (i, a) in placed.iter().enumerate() {
                    assert!(a.text_x >= 60.0 && a.text_x + a.width <= 950.0 + 1e-9);
                    assert!(
                        placed[i + 1..].iter().all(|b| !a.clashes(b)),
                        "{n} {spread}"
                    );
                }
                let told: usize = placed.iter().map(|p| p.flag.acts).sum();
                assert_eq!(told, n as usize, "no act is lost");
                for p in &placed {
                    let named = 1 + p.flag.words.matches(", ").count();
                    assert_eq!(p.flag.named, named, "{}", p.words);
                    let more = p.flag.acts - named;
                    assert!(more == 0 || p.words.ends_with(&format!("+{more} more")));
                }
            }
        }
    }

    #[test]
    fn a_merged_flag_names_the_isolation() {
        let mut strong = flag(101.0, "pump-side valve shut");
        strong.strong = true;
        let placed = flags(
            vec![
                flag(100.0, "a note that is rather long and goes on"),
                strong,
            ],
            (60.0, 950.0),
            5,
            &Voice::default(),
        );
        assert_eq!(placed.len(), 1);
        assert!(placed[0].words.starts_with("pump-side valve shut +1 more"));
    }

    #[test]
    fn spread_keeps_order_distance_and_bounds() {
        let centres = spread(&[50.0, 52.0, 51.0, 300.0], &[14.0; 4], 40.0, 305.0);
        assert_eq!(centres, [50.0, 78.0, 64.0, 298.0]);
        let low = spread(&[299.0, 300.0], &[14.0; 2], 40.0, 305.0);
        assert_eq!(low, [284.0, 298.0]);
    }

    #[test]
    fn settled_words_keep_clear_of_lines_and_each_other() {
        let mut room = FreeSpace {
            frame: Some(Rect::new(0.0, 0.0, 400.0, 200.0)),
            ..FreeSpace::default()
        };
        room.line((0.0, 100.0), (400.0, 100.0));
        let first = room.settle(Text::new(100.0, 100.0, SIZE, "hold"), 90.0, 90.0);
        let second = room.settle(Text::new(100.0, 100.0, SIZE, "hold"), 90.0, 90.0);
        let (first, second) = (first.unwrap().bounds(), second.unwrap().bounds());
        assert!(!first.overlaps(&second));
        assert!(first.y1 < 99.0 || first.y0 > 101.0);
        assert!(second.y1 < 99.0 || second.y0 > 101.0);
    }
}
