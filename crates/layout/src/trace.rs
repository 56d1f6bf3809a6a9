use vacuum::{Entry, Mark, Pressure, Reading, ReadingState, Sensed};

/// Most time bins kept; drawing never needs more than a few per pixel.
const MAX_BINS: usize = 4000;
/// Most stretches without a measurement kept apart.
const MAX_SPANS: usize = 256;
/// Most marks kept.
const MAX_MARKS: usize = 500;
/// First width of a bin, s: a power of two, so that doubling stays exact.
const FIRST_WIDTH_S: f64 = 1.0 / 128.0;

/// The measurements of one stretch of time, reduced to what a picture shows: micron, or what
/// [`Trace::push_value`] took in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bin {
    slot: i64,
    /// Time of the first measurement, s.
    pub first_s: f64,
    /// Time of the last measurement, s.
    pub last_s: f64,
    /// First measurement, micron.
    pub first_micron: f64,
    /// Last measurement, micron.
    pub last_micron: f64,
    /// Lowest measurement, micron.
    pub min_micron: f64,
    /// Highest measurement, micron.
    pub max_micron: f64,
    /// True when the lowest came before the highest.
    pub min_first: bool,
    /// True when the line must not be drawn from the bin before to this one.
    pub broken_before: bool,
}

impl Bin {
    fn new(slot: i64, at_s: f64, micron: f64, broken_before: bool) -> Self {
        Self {
            slot,
            first_s: at_s,
            last_s: at_s,
            first_micron: micron,
            last_micron: micron,
            min_micron: micron,
            max_micron: micron,
            min_first: true,
            broken_before,
        }
    }

    fn add(&mut self, at_s: f64, micron: f64) {
        self.last_s = at_s;
        self.last_micron = micron;
        if micron < self.min_micron {
            self.min_micron = micron;
            self.min_first = false;
        }
        if micron > self.max_micron {
            self.max_micron = micron;
            self.min_first = true;
        }
    }

    /// Takes in the bin that follows.
    pub fn absorb(&mut self, next: &Self) {
        let next_has_min = next.min_micron < self.min_micron;
        let next_has_max = next.max_micron > self.max_micron;
        self.min_first = match (next_has_min, next_has_max) {
            (true, true) => next.min_first,
            (true, false) => false,
            (false, true) => true,
            (false, false) => self.min_first,
        };
        self.min_micron = self.min_micron.min(next.min_micron);
        self.max_micron = self.max_micron.max(next.max_micron);
        self.last_s = next.last_s;
        self.last_micron = next.last_micron;
    }
}

/// A stretch in which the gauge gave no measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Why: over, under, fault or gap.
    pub state: ReadingState,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// The bound the gauge gave (over or under range), micron.
    pub bound_micron: Option<f64>,
}

/// A run in bounded memory, for drawing.
///
/// Keeps first, last, lowest and highest of at most 4,000 time bins: whatever
/// the length of the run, no peak is lost, only its exact instant. The line is
/// broken where the gauge was over range, faulty or silent. About 0.4 MB at most.
///
/// ```
/// use vacuum::{Entry, Pressure, Reading};
///
/// let micron = |value| Pressure::from_micron(value);
/// let entries = [
///     Entry::Reading(Reading::measured(0.0, micron(480.0)?)),
///     Entry::Reading(Reading::measured(0.5, micron(470.0)?)),
/// ];
/// let trace: layout::Trace = entries.iter().collect();
/// assert_eq!((trace.readings(), trace.extent_s()), (2, Some((0.0, 0.5))));
/// # Ok::<(), vacuum::PressureError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Trace {
    bins: Vec<Bin>,
    bin_width_s: f64,
    spans: Vec<Span>,
    span_join_s: f64,
    marks: Vec<Mark>,
    marks_dropped: u64,
    readings: u64,
    extent_s: Option<(f64, f64)>,
    state: ReadingState,
}

impl Default for Trace {
    fn default() -> Self {
        Self {
            bins: Vec::new(),
            bin_width_s: FIRST_WIDTH_S,
            spans: Vec::new(),
            span_join_s: 1.0,
            marks: Vec::new(),
            marks_dropped: 0,
            readings: 0,
            extent_s: None,
            state: ReadingState::Ok,
        }
    }
}

impl Trace {
    /// Takes in the next entry. Entries come in order of time; an entry without
    /// a finite time is left out, one that goes back in time counts as now. A mark
    /// that was withdrawn ([`Mark::withdraws`]) is not drawn.
    pub fn push(&mut self, entry: &Entry) {
        let at_s = entry.elapsed_s();
        if !at_s.is_finite() {
            return;
        }
        let before_s = self.extent_s.map(|(_, end)| end);
        let at_s = before_s.map_or(at_s, |end| end.max(at_s));
        let start_s = self.extent_s.map_or(at_s, |(start, _)| start);
        self.extent_s = Some((start_s, at_s));
        match entry {
            Entry::Mark(mark) if mark.withdraws().is_some() => {
                Mark::withdraw_from(mark, &mut self.marks);
            }
            Entry::Mark(mark) if self.marks.len() < MAX_MARKS => self.marks.push(Mark {
                elapsed_s: at_s,
                ..mark.clone()
            }),
            Entry::Mark(_) => self.marks_dropped += 1,
            Entry::Reading(reading) => self.push_reading(reading, at_s, before_s),
        }
    }

    /// Takes in a value that is no pressure, in whatever unit the trace is drawn in; not a
    /// finite one breaks the line. Times as in [`Trace::push`].
    pub fn push_value(&mut self, at_s: f64, value: f64) {
        if !at_s.is_finite() {
            return;
        }
        let at_s = self.extent_s.map_or(at_s, |(_, end)| end.max(at_s));
        let start_s = self.extent_s.map_or(at_s, |(start, _)| start);
        self.extent_s = Some((start_s, at_s));
        self.readings += 1;
        if value.is_finite() {
            self.push_measured(at_s, value, self.state != ReadingState::Ok);
            self.state = ReadingState::Ok;
        } else {
            self.state = ReadingState::Gap;
        }
    }

    fn push_reading(&mut self, reading: &Reading, at_s: f64, before_s: Option<f64>) {
        self.readings += 1;
        let state = reading.state();
        if let Sensed::Measured(pressure) = reading.sensed {
            self.push_measured(at_s, pressure.micron(), self.state != ReadingState::Ok);
        } else {
            let bound = reading.bound().map(Pressure::micron);
            self.push_span(state, at_s, before_s.unwrap_or(at_s), bound);
        }
        self.state = state;
    }

    fn push_measured(&mut self, at_s: f64, micron: f64, broken: bool) {
        #[expect(clippy::cast_possible_truncation, reason = "the cast saturates")]
        let slot = (at_s / self.bin_width_s).floor() as i64;
        match self.bins.last_mut() {
            // a break inside one bin is narrower than a picture can show
            Some(bin) if bin.slot == slot => bin.add(at_s, micron),
            _ => {
                self.bins.push(Bin::new(slot, at_s, micron, broken));
                if self.bins.len() >= MAX_BINS {
                    self.widen_bins();
                }
            }
        }
    }

    /// Doubles the bin width until a quarter of the room is free.
    fn widen_bins(&mut self) {
        while self.bins.len() > MAX_BINS / 4 * 3 {
            self.bin_width_s *= 2.0;
            for bin in &mut self.bins {
                bin.slot >>= 1;
            }
            self.bins.dedup_by(|next, kept| {
                let same = next.slot == kept.slot;
                if same {
                    kept.absorb(next);
                }
                same
            });
        }
    }

    fn push_span(&mut self, state: ReadingState, at_s: f64, before_s: f64, bound: Option<f64>) {
        if let Some(open) = self.spans.last_mut()
            && self.state == state
            && open.state == state
        {
            open.end_s = at_s;
            open.bound_micron = open.bound_micron.or(bound);
            return;
        }
        // a gap row stamps the end of the silence
        let start_s = if state == ReadingState::Gap {
            before_s
        } else {
            at_s
        };
        self.spans.push(Span {
            state,
            start_s,
            end_s: at_s,
            bound_micron: bound,
        });
        if self.spans.len() >= MAX_SPANS {
            self.join_spans();
        }
    }

    /// Joins stretches of one kind that lie close together.
    fn join_spans(&mut self) {
        while self.spans.len() > MAX_SPANS / 4 * 3 {
            self.span_join_s *= 2.0;
            let mut joined: Vec<Span> = Vec::with_capacity(self.spans.len());
            for span in self.spans.drain(..) {
                let near = joined
                    .iter_mut()
                    .rev()
                    .find(|kept| kept.state == span.state)
                    .filter(|kept| span.start_s - kept.end_s <= self.span_join_s);
                match near {
                    Some(kept) => {
                        kept.end_s = kept.end_s.max(span.end_s);
                        kept.bound_micron = kept.bound_micron.or(span.bound_micron);
                    }
                    None => joined.push(span),
                }
            }
            self.spans = joined;
        }
    }

    /// The bins in order of time.
    #[must_use]
    pub fn bins(&self) -> &[Bin] {
        &self.bins
    }

    /// Width of a bin, s.
    #[must_use]
    pub fn bin_width_s(&self) -> f64 {
        self.bin_width_s
    }

    /// Stretches without a measurement, in order of their start.
    #[must_use]
    pub fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// The marks in order of time, the first 500.
    #[must_use]
    pub fn marks(&self) -> &[Mark] {
        &self.marks
    }

    /// Marks beyond the first 500.
    #[must_use]
    pub fn marks_dropped(&self) -> u64 {
        self.marks_dropped
    }

    /// Readings taken in, whatever their state.
    #[must_use]
    pub fn readings(&self) -> u64 {
        self.readings
    }

    /// True unless the record ends over range, faulty or silent.
    #[must_use]
    pub fn ends_measured(&self) -> bool {
        self.state == ReadingState::Ok && !self.bins.is_empty()
    }

    /// Time of the first and the last entry, s; `None` when there is none.
    #[must_use]
    pub fn extent_s(&self) -> Option<(f64, f64)> {
        self.extent_s
    }

    /// Lowest and highest measurement, micron; `None` when there is none.
    #[must_use]
    pub fn range_micron(&self) -> Option<(f64, f64)> {
        self.bins.iter().fold(None, |range, bin| {
            let (low, high) = range.unwrap_or((bin.min_micron, bin.max_micron));
            Some((low.min(bin.min_micron), high.max(bin.max_micron)))
        })
    }
}

impl<'a> FromIterator<&'a Entry> for Trace {
    /// The trace of entries in order of time, as [`Trace::push`] takes them in.
    fn from_iter<T: IntoIterator<Item = &'a Entry>>(entries: T) -> Self {
        let mut trace = Self::default();
        entries.into_iter().for_each(|entry| trace.push(entry));
        trace
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use vacuum::MarkKind;

    fn measured(at_s: f64, micron: f64) -> Entry {
        Entry::Reading(Reading::measured(
            at_s,
            Pressure::from_micron(micron).unwrap(),
        ))
    }

    fn sensed(at_s: f64, sensed: Sensed) -> Entry {
        Entry::Reading(Reading {
            elapsed_s: at_s,
            sensed,
            temperature_c: None,
        })
    }

    #[test]
    fn keeps_every_peak_in_bounded_memory() {
        let mut trace = Trace::default();
        for i in 0..360_000_u32 {
            let micron = match i {
                123_456 => 90_000.0,
                234_567 => 3.0,
                _ => 500.0,
            };
            trace.push(&measured(f64::from(i) * 0.1, micron));
        }
        assert!(trace.bins().len() <= MAX_BINS);
        assert!(trace.bins().len() > MAX_BINS / 3, "detail is kept too");
        let (low, high) = trace.range_micron().unwrap();
        assert!((low - 3.0).abs() < 1e-9 && (high - 90_000.0).abs() < 1e-6);
        let peak = trace.bins().iter().find(|b| b.max_micron > 1000.0).unwrap();
        assert!(peak.first_s <= 12_345.6 && peak.last_s >= 12_345.6);
        assert_eq!(trace.readings(), 360_000);
        assert_eq!(trace.extent_s(), Some((0.0, 359_999.0 * 0.1)));
    }

    #[test]
    fn bins_remember_which_extreme_came_first() {
        let mut bin = Bin::new(0, 0.0, 5.0, false);
        bin.add(1.0, 9.0);
        bin.add(2.0, 1.0);
        assert!(!bin.min_first);
        let mut next = Bin::new(1, 3.0, 0.5, false);
        next.add(4.0, 20.0);
        bin.absorb(&next);
        assert!(bin.min_first);
        assert_eq!((bin.first_micron, bin.last_micron), (5.0, 20.0));
    }

    #[test]
    fn over_range_breaks_the_line_and_is_a_bound() {
        let mut trace = Trace::default();
        let bound = Pressure::from_micron(20_000.0).unwrap();
        trace.push(&sensed(0.0, Sensed::Over(None)));
        trace.push(&sensed(5.0, Sensed::Over(Some(bound))));
        trace.push(&measured(6.0, 19_000.0));
        trace.push(&measured(7.0, 18_000.0));
        trace.push(&sensed(60.0, Sensed::Gap));
        trace.push(&measured(60.1, 900.0));
        assert_eq!(trace.range_micron().map(|r| r.1.round()), Some(19_000.0));
        let [over, gap] = trace.spans() else {
            panic!("two stretches expected")
        };
        assert_eq!((over.start_s, over.end_s), (0.0, 5.0));
        assert_eq!(over.bound_micron.map(f64::round), Some(20_000.0));
        assert_eq!((gap.start_s, gap.end_s), (7.0, 60.0));
        let broken: Vec<bool> = trace.bins().iter().map(|b| b.broken_before).collect();
        assert_eq!(broken, [true, false, true]);
    }

    #[test]
    fn flicker_at_the_range_limit_stays_bounded() {
        let mut trace = Trace::default();
        for i in 0..100_000_u32 {
            let at_s = f64::from(i) * 7.3;
            match i % 4 {
                0 => trace.push(&sensed(at_s, Sensed::Over(None))),
                2 => trace.push(&sensed(at_s, Sensed::Fault)),
                _ => trace.push(&measured(at_s, 700.0)),
            }
        }
        assert!(trace.spans().len() < MAX_SPANS);
        assert!(trace.bins().len() < MAX_BINS);
    }

    #[test]
    fn a_withdrawn_mark_is_not_drawn() {
        let shut = Mark {
            elapsed_s: 12.0,
            kind: MarkKind::PumpSideShut,
            note: String::new(),
        };
        let mut trace = Trace::default();
        trace.push(&Entry::Mark(shut.clone()));
        trace.push(&Entry::Mark(shut.withdrawal(15.0)));
        assert!(trace.marks().is_empty());
        assert_eq!(trace.extent_s(), Some((12.0, 15.0)));
    }

    #[test]
    fn odd_times_and_many_marks_do_no_harm() {
        let mut trace = Trace::default();
        trace.push(&measured(f64::NAN, 1.0));
        trace.push(&measured(10.0, 1.0));
        trace.push(&measured(3.0, 2.0));
        trace.push(&measured(1e300, 2.0));
        for _ in 0..600 {
            trace.push(&Entry::Mark(Mark {
                elapsed_s: 0.0,
                kind: MarkKind::Note,
                note: String::new(),
            }));
        }
        assert_eq!(trace.extent_s(), Some((10.0, 1e300)));
        assert_eq!((trace.marks().len(), trace.marks_dropped()), (500, 100));
    }
}
