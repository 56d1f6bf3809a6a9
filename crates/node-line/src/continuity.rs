use crate::{Line, Uptime};

/// How a line follows the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// The first line heard.
    First,
    /// The next reading.
    Next,
    /// This many readings between the two did not arrive.
    Lost(u16),
    /// The node started again: its clock went back.
    Restarted,
    /// The same counter at the same or a later time: a line that came twice, or
    /// exactly 65536 readings lost.
    Repeated,
}

/// Finds missing lines and restarts from counter and clock of the lines that arrived.
///
/// More than 65535 readings lost in a row (over an hour at ten a second) are
/// counted modulo 65536.
///
/// ```
/// use node_line::{Continuity, Step, decode};
///
/// let mut continuity = Continuity::new();
/// let mut step = |text: &[u8]| decode(text).map(|line| continuity.follow(&line));
/// assert_eq!(step(b"N1 417 208.500 501.2 micron 23.1 ok 3BFB"), Ok(Step::First));
/// assert_eq!(step(b"N1 420 210.000 0.500 Torr - ok 6F12"), Ok(Step::Lost(2)));
/// assert_eq!(step(b"N1 2 1.000 17546 micron 21.4 ok CE7E"), Ok(Step::Restarted));
/// ```
#[derive(Debug, Clone, Default)]
pub struct Continuity {
    last: Option<(u16, Uptime)>,
}

impl Continuity {
    /// Nothing heard yet.
    #[must_use]
    pub const fn new() -> Self {
        Self { last: None }
    }

    /// Takes the next whole line.
    pub fn follow(&mut self, line: &Line) -> Step {
        let last = self.last.replace((line.sequence, line.uptime));
        let Some((sequence, uptime)) = last else {
            return Step::First;
        };
        if line.uptime < uptime {
            return Step::Restarted;
        }
        match line.sequence.wrapping_sub(sequence) {
            0 => Step::Repeated,
            1 => Step::Next,
            ahead => Step::Lost(ahead - 1),
        }
    }
}
