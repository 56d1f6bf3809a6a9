//! Taking hold of a terminal and giving it back, whatever happens.

#[cfg(unix)]
use std::sync::{Mutex, PoisonError};
use std::{
    io::{self, Write},
    sync::atomic::{AtomicBool, Ordering},
};

use ratatui::{
    Terminal, TerminalOptions, Viewport,
    backend::CrosstermBackend,
    buffer::Buffer,
    crossterm::{
        cursor::{Hide, Show},
        execute,
        terminal::{
            Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode,
            enable_raw_mode,
        },
    },
    layout::Rect,
};

/// True while a screen of ours is up: what a panic has to clear away.
static UP: AtomicBool = AtomicBool::new(false);

/// How the keyboard worked before its echo was taken.
#[cfg(unix)]
static WITH_ECHO: Mutex<Option<rustix::termios::Termios>> = Mutex::new(None);

/// What a full-screen view draws on.
pub(crate) trait Surface {
    /// Follows the window; true if it changed.
    fn follow(&mut self) -> io::Result<bool>;

    /// Draws what has changed.
    fn draw(&mut self, draw: impl FnOnce(Rect, &mut Buffer)) -> io::Result<()>;

    /// Takes it again after somebody else had it, and draws anew from nothing.
    fn show(&mut self) -> io::Result<()>;

    /// The terminal went away.
    fn lose(&mut self);
}

/// A terminal in full-screen mode; given back when dropped.
pub(crate) struct Screen {
    terminal: Fixed<io::Stdout>,
    size: (u16, u16),
    /// The terminal is gone: there is nothing to give back.
    lost: bool,
}

/// Columns and rows of the terminal.
pub(crate) fn size() -> Option<(u16, u16)> {
    let (width, height) = terminal_size::terminal_size()?;
    Some((width.0, height.0))
}

impl Screen {
    /// Takes hold of the terminal.
    pub(crate) fn take() -> io::Result<Self> {
        let size = size().ok_or(io::ErrorKind::NotConnected)?;
        enter()?;
        let terminal = fixed(io::stdout(), size).inspect_err(|_| leave())?;
        Ok(Self {
            terminal,
            size,
            lost: false,
        })
    }
}

impl Surface for Screen {
    fn follow(&mut self) -> io::Result<bool> {
        let Some(size) = size().filter(|s| *s != self.size) else {
            return Ok(false);
        };
        self.size = size;
        self.terminal.resize(Rect::new(0, 0, size.0, size.1))?;
        Ok(true)
    }

    fn draw(&mut self, draw: impl FnOnce(Rect, &mut Buffer)) -> io::Result<()> {
        draw_on(&mut self.terminal, draw)
    }

    fn show(&mut self) -> io::Result<()> {
        enter()?;
        execute!(io::stdout(), Clear(ClearType::All))?;
        // one that remembers nothing: the library's own way asks the terminal where its
        // cursor is, and reads the answer from our keyboard
        self.terminal = fixed(io::stdout(), self.size)?;
        Ok(())
    }

    fn lose(&mut self) {
        self.lost = true;
        UP.store(false, Ordering::SeqCst);
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        if !self.lost {
            leave();
        }
    }
}

/// A terminal somewhere else, drawn on through a connection; given back when dropped.
pub(crate) struct FarScreen<W: Write + Clone, S: Fn() -> (u16, u16)> {
    terminal: Fixed<W>,
    to: W,
    size: (u16, u16),
    asked_size: S,
}

impl<W: Write + Clone, S: Fn() -> (u16, u16)> FarScreen<W, S> {
    /// Takes hold of it.
    pub(crate) fn take(mut to: W, asked_size: S) -> io::Result<Self> {
        execute!(to, EnterAlternateScreen, Hide)?;
        let size = asked_size();
        Ok(Self {
            terminal: fixed(to.clone(), size)?,
            to,
            size,
            asked_size,
        })
    }
}

impl<W: Write + Clone, S: Fn() -> (u16, u16)> Surface for FarScreen<W, S> {
    fn follow(&mut self) -> io::Result<bool> {
        let size = (self.asked_size)();
        if size == self.size {
            return Ok(false);
        }
        self.size = size;
        self.terminal.resize(Rect::new(0, 0, size.0, size.1))?;
        Ok(true)
    }

    fn draw(&mut self, draw: impl FnOnce(Rect, &mut Buffer)) -> io::Result<()> {
        draw_on(&mut self.terminal, draw)
    }

    fn show(&mut self) -> io::Result<()> {
        execute!(self.to, Clear(ClearType::All))?;
        self.terminal = fixed(self.to.clone(), self.size)?;
        Ok(())
    }

    fn lose(&mut self) {}
}

impl<W: Write + Clone, S: Fn() -> (u16, u16)> Drop for FarScreen<W, S> {
    fn drop(&mut self) {
        // whoever went away has nothing to be given back
        let _ = execute!(self.to, LeaveAlternateScreen, Show);
    }
}

type Fixed<W> = Terminal<CrosstermBackend<io::BufWriter<W>>>;

fn draw_on<W: Write>(
    terminal: &mut Fixed<W>,
    draw: impl FnOnce(Rect, &mut Buffer),
) -> io::Result<()> {
    terminal.draw(|frame| {
        let area = frame.area();
        draw(area, frame.buffer_mut());
    })?;
    Ok(())
}

/// A terminal whose size is asked for here, not by running a helper program.
fn fixed<W: Write>(to: W, size: (u16, u16)) -> io::Result<Fixed<W>> {
    let backend = CrosstermBackend::new(io::BufWriter::new(to));
    let viewport = Viewport::Fixed(Rect::new(0, 0, size.0, size.1));
    Terminal::with_options(backend, TerminalOptions { viewport })
}

fn enter() -> io::Result<()> {
    enable_raw_mode()?;
    UP.store(true, Ordering::SeqCst);
    execute!(io::stdout(), EnterAlternateScreen, Hide).inspect_err(|_| leave())
}

/// The keyboard gives every key at once and the terminal echoes none; Ctrl-C remains a
/// signal.
#[cfg(unix)]
pub(crate) fn without_echo() -> io::Result<()> {
    use rustix::termios::{LocalModes, OptionalActions, SpecialCodeIndex, tcgetattr, tcsetattr};
    let before = tcgetattr(io::stdin())?;
    let mut modes = before.clone();
    modes.local_modes &= !(LocalModes::ICANON | LocalModes::ECHO);
    modes.special_codes[SpecialCodeIndex::VMIN] = 1;
    modes.special_codes[SpecialCodeIndex::VTIME] = 0;
    tcsetattr(io::stdin(), OptionalActions::Now, &modes)?;
    let mut kept = WITH_ECHO.lock().unwrap_or_else(PoisonError::into_inner);
    kept.get_or_insert(before);
    Ok(())
}

/// There is no such keyboard here.
#[cfg(not(unix))]
pub(crate) fn without_echo() -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// The echo as it was.
fn with_echo() {
    #[cfg(unix)]
    {
        use rustix::termios::{OptionalActions, tcsetattr};
        let mut kept = WITH_ECHO.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(before) = kept.take() {
            let _ = tcsetattr(io::stdin(), OptionalActions::Now, &before);
        }
    }
}

/// Gives the terminal back; harmless when it has been given back already.
pub(crate) fn leave() {
    with_echo();
    if UP.swap(false, Ordering::SeqCst) {
        let _ = execute!(io::stdout(), LeaveAlternateScreen, Show);
        let _ = io::stdout().flush();
        let _ = disable_raw_mode();
    }
}

/// True while a screen of ours is up.
pub fn is_up() -> bool {
    UP.load(Ordering::SeqCst)
}

/// Gives back how the keyboard works, without writing anything: the program ends, and
/// whoever draws is stuck.
pub fn give_back_settings() {
    with_echo();
    if UP.swap(false, Ordering::SeqCst) {
        let _ = disable_raw_mode();
    }
}

/// A panic gives the terminal back first. One of the thread `quiet` is told of by
/// whoever started it, and prints nothing itself.
pub(crate) fn give_back_on_panic(quiet: &'static str) {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        leave();
        if std::thread::current().name() != Some(quiet) {
            before(info);
        }
    }));
}
