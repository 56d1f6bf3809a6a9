//! `dryhold show`: a finished run in the same view, forwards and backwards.

use std::{
    path::PathBuf,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

use analyser::{Analyser, Settings};
use clap::Args;
use run_record::{ImportOptions, RunHeader, Source};

use super::{
    app::{App, Mode},
    choice::{Surroundings, ViewKind},
    draw::{self, Picture, Scrub},
    keyboard::{self, Input},
    keys::Key,
    terminal::{self, Screen},
    theme::Theme,
};
use crate::{
    arguments::{ImportArguments, JudgingArguments},
    judged::{self, Draw, Judged},
    outcome::{Failure, Outcome},
    watch::{Curve, Frame, feed::Feed},
};

/// Moments of a run that can be looked at.
const MOMENTS: usize = 400;
/// A leap is so many of them.
const LEAP: usize = MOMENTS / 10;
/// Playing goes on by one in so long.
const PLAY: Duration = Duration::from_millis(100);

#[derive(Debug, Args)]
pub(crate) struct ShowArguments {
    /// Run folder, trace file or CSV file
    path: PathBuf,
    #[command(flatten)]
    import: ImportArguments,
    #[command(flatten)]
    judging: JudgingArguments,
}

/// Shows a finished run until `q`.
pub(crate) fn run(arguments: &ShowArguments) -> Result<Outcome, Failure> {
    let (kind, _) = ViewKind::choose(None, ViewKind::Full, Surroundings::now());
    if kind != ViewKind::Full {
        return Err(Failure::usage(
            "show needs a terminal of at least 60 columns and 20 rows; dryhold review prints the \
             same in words, dryhold report draws it",
        ));
    }
    let import = arguments.import.options()?;
    let judged = judged::judge(&arguments.path, &import, &arguments.judging, Draw::Yes)?;
    let settings = arguments.judging.settings(
        judged.header.as_ref().map(|h| &h.job),
        judged.header.as_ref().and_then(|h| h.criteria.as_ref()),
    )?;
    let moments = Moments::default();
    let gone = Arc::new(AtomicBool::new(false));
    let walk = Walk {
        path: arguments.path.clone(),
        import,
        settings,
        header: judged.header.clone(),
        curve: Arc::new(Curve::of(&judged.trace, 1)),
        rows: judged.summary.rows,
        moments: moments.clone(),
        gone: Arc::clone(&gone),
    };
    let walking = std::thread::spawn(move || walk.go());
    let shown = show(&judged, &moments);
    gone.store(true, Ordering::SeqCst);
    let walked = walking.join().unwrap_or(Ok(()));
    shown.map_err(Failure::other)?;
    walked?;
    Ok(Outcome::Done)
}

/// The moments gone through so far.
type Moments = Arc<Mutex<Vec<Frame>>>;

/// Goes through the record once, as it was recorded.
struct Walk {
    path: PathBuf,
    import: ImportOptions,
    settings: Settings,
    header: Option<RunHeader>,
    curve: Arc<Curve>,
    rows: u64,
    moments: Moments,
    gone: Arc<AtomicBool>,
}

impl Walk {
    fn go(self) -> Result<(), Failure> {
        let mut source = Source::open(&self.path, &self.import)?;
        let mut feed = Feed::new(self.header.as_ref(), &self.settings.criteria);
        feed.name(&self.path, source.started_utc().map(|t| t.to_rfc3339()));
        feed.look_back(self.rows);
        let mut analyser = Analyser::new(self.settings.clone());
        let (from_s, to_s) = self.curve.extent_s;
        let step_s = (to_s - from_s) / MOMENTS as f64;
        let mut count = 0;
        while let Some(entry) = source.next_entry()? {
            if self.gone.load(Ordering::SeqCst) {
                return Ok(());
            }
            // several at once where nothing was recorded for long
            while count < MOMENTS && entry.elapsed_s() > from_s + step_s * (count + 1) as f64 {
                self.keep(&mut analyser, &mut feed);
                count += 1;
            }
            analyser.push(&entry);
            feed.entry(&entry);
        }
        while count <= MOMENTS {
            self.keep(&mut analyser, &mut feed);
            count += 1;
        }
        Ok(())
    }

    fn keep(&self, analyser: &mut Analyser, feed: &mut Feed) {
        analyser.tidy();
        feed.live(&analyser.live());
        let mut frame = feed.frame(Instant::now());
        frame.history = Arc::clone(&self.curve);
        let moments = self.moments.lock();
        moments.unwrap_or_else(PoisonError::into_inner).push(frame);
    }
}

/// Which moment is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Place {
    at: usize,
    /// At the end of what has been gone through, wherever that is.
    follows: bool,
    playing: bool,
}

impl Place {
    /// Moves; `last` is the last moment there is. False for a key that means nothing.
    fn key(&mut self, key: Key, last: usize) -> bool {
        let (at, playing) = match key {
            Key::Left => (self.at.saturating_sub(1), false),
            Key::Right => (self.at + 1, false),
            Key::PageUp => (self.at.saturating_sub(LEAP), false),
            Key::PageDown => (self.at + LEAP, false),
            Key::Home => (0, false),
            Key::End => (last, false),
            // from the end it plays from the start
            Key::Char(' ') if !self.playing && self.at >= last => (0, true),
            Key::Char(' ') => (self.at, !self.playing),
            _ => return false,
        };
        self.at = at.min(last);
        self.playing = playing;
        self.follows = key == Key::End;
        true
    }

    /// Time goes by.
    fn tick(&mut self, last: usize) {
        if self.follows {
            self.at = last;
        }
        if self.playing {
            self.at = (self.at + 1).min(last);
            self.playing = self.at < MOMENTS;
        }
    }
}

fn show(judged: &Judged, moments: &Moments) -> std::io::Result<()> {
    let theme = Theme::of(|name| std::env::var(name).ok());
    terminal::give_back_on_panic("");
    let mut screen = Screen::take()?;
    let (_sender, inputs) = keyboard::start();
    let mut app = App::default();
    let mut place = Place {
        at: 0,
        follows: true,
        playing: false,
    };
    let mut shown = None;
    loop {
        let input = inputs.recv_timeout(PLAY);
        let (frame, last) = {
            let moments = moments.lock().unwrap_or_else(PoisonError::into_inner);
            let last = moments.len().saturating_sub(1);
            if let Ok(Input::Key(key)) = input {
                match (&app.mode, key) {
                    (Mode::Info, Key::Interrupt) | (Mode::Watching, Key::Interrupt) => break,
                    (Mode::Info, _) => app.mode = Mode::Watching,
                    (_, Key::Char('q') | Key::Escape) => break,
                    (_, Key::Char('i' | '?')) => app.mode = Mode::Info,
                    (_, key) => {
                        place.key(key, last);
                    }
                }
            } else {
                place.tick(last);
            }
            (moments.get(place.at).cloned(), last)
        };
        let look = (place, last, app.mode.clone());
        let changed = screen.follow()? || shown.as_ref() != Some(&look);
        let Some(frame) = frame.filter(|_| changed) else {
            continue;
        };
        let (from_s, to_s) = judged.trace.extent_s().unwrap_or_default();
        let picture = Picture {
            frame: &frame,
            app: &app,
            theme,
            since_s: 0.0,
            scrub: Some(Scrub {
                at_s: from_s + (to_s - from_s) * place.at as f64 / MOMENTS as f64,
                ready: last as f64 / MOMENTS as f64,
                playing: place.playing,
            }),
        };
        screen.draw(|area, buffer| draw::draw(&picture, area, buffer))?;
        shown = Some(look);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_move_through_the_run_and_stay_inside() {
        let mut place = Place {
            at: 0,
            follows: true,
            playing: false,
        };
        place.tick(MOMENTS);
        assert_eq!(place.at, MOMENTS, "a finished run begins at its end");
        for (key, at) in [
            (Key::Right, MOMENTS),
            (Key::Left, MOMENTS - 1),
            (Key::PageUp, MOMENTS - 1 - LEAP),
            (Key::Home, 0),
            (Key::Left, 0),
            (Key::PageDown, LEAP),
            (Key::End, MOMENTS),
        ] {
            assert!(place.key(key, MOMENTS));
            assert_eq!(place.at, at, "{key:?}");
        }
        assert!(
            !place.key(Key::Char('s'), MOMENTS),
            "nothing is stamped here"
        );
    }

    #[test]
    fn it_plays_from_the_start_to_the_end_and_stops() {
        let mut place = Place {
            at: MOMENTS,
            follows: false,
            playing: false,
        };
        place.key(Key::Char(' '), MOMENTS);
        assert_eq!((place.at, place.playing), (0, true));
        for _ in 0..MOMENTS + 5 {
            place.tick(MOMENTS);
        }
        assert_eq!((place.at, place.playing), (MOMENTS, false));
    }
}
