//! The person at the program, and where marks come from: asked for by a person through a
//! view, or given with a time on the gauge's own clock.

use std::{future::Future, pin::Pin};

use tokio::sync::mpsc::UnboundedReceiver;
use vacuum::Mark;
use watch::Act;

/// What has to be said to the person at the program past every view, and when that person
/// gives up.
pub trait Operator: Send + Sync {
    /// Says that something is wrong with what was recorded.
    fn warn(&self, words: &str);

    /// Says that the recorder stands still; a view that shows that itself need not be
    /// spoken over.
    fn stands_still(&self, words: &str);

    /// Says something that is good to know.
    fn tell(&self, words: &str);

    /// Completes when the person gives up waiting for a disk that takes nothing.
    fn gives_up(&self) -> Pin<Box<dyn Future<Output = ()> + '_>>;
}

/// Marks that carry a time on the judged gauge's own clock, as a simulated technician
/// stamps them.
pub trait TimedMarks {
    /// Those up to this moment of the gauge's clock, s, that were not given before; their
    /// `elapsed_s` is on that clock.
    fn due(&mut self, gauge_s: f64) -> Vec<Mark>;
}

/// Where marks come from.
#[derive(Default)]
pub struct Marks<'a> {
    /// Asked for by a person.
    acts: Option<UnboundedReceiver<Act>>,
    timed: Option<Box<dyn TimedMarks + 'a>>,
}

impl<'a> Marks<'a> {
    /// Those a person asks for.
    pub fn asked_for(acts: UnboundedReceiver<Act>) -> Self {
        Self {
            acts: Some(acts),
            timed: None,
        }
    }

    /// The same, and marks on the gauge's clock beside them.
    #[must_use]
    pub fn with_timed(self, timed: Box<dyn TimedMarks + 'a>) -> Self {
        Self {
            timed: Some(timed),
            ..self
        }
    }

    /// The next thing asked for; never completes where nobody asks.
    pub(crate) async fn asked(&mut self) -> Option<Act> {
        let Some(acts) = &mut self.acts else {
            return std::future::pending().await;
        };
        acts.recv().await
    }

    /// What was asked for and waits to be done.
    pub(crate) fn already_asked(&mut self) -> Option<Act> {
        self.acts.as_mut()?.try_recv().ok()
    }

    /// Timed marks up to a moment on the gauge's clock, s.
    pub(crate) fn due(&mut self, gauge_s: f64) -> Vec<Mark> {
        let timed = self.timed.as_mut();
        timed.map_or_else(Vec::new, |timed| timed.due(gauge_s))
    }
}
