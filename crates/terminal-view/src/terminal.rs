//! Taking hold of a terminal and giving it back, whatever happens.

use std::{
    io::{self, Write},
    sync::atomic::{AtomicBool, Ordering},
};

use ratatui::{
    Terminal, TerminalOptions, Viewport,
    backend::CrosstermBackend,
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

/// A terminal in full-screen mode; given back when dropped.
pub(crate) struct Screen {
    terminal: Fixed,
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
        let terminal = fixed(size).inspect_err(|_| leave())?;
        Ok(Self {
            terminal,
            size,
            lost: false,
        })
    }

    /// Follows the window; true if it changed.
    pub(crate) fn follow(&mut self) -> io::Result<bool> {
        let Some(size) = size().filter(|s| *s != self.size) else {
            return Ok(false);
        };
        self.size = size;
        self.terminal.resize(Rect::new(0, 0, size.0, size.1))?;
        Ok(true)
    }

    /// Draws what has changed.
    pub(crate) fn draw(
        &mut self,
        draw: impl FnOnce(Rect, &mut ratatui::buffer::Buffer),
    ) -> io::Result<()> {
        self.terminal.draw(|frame| {
            let area = frame.area();
            draw(area, frame.buffer_mut());
        })?;
        Ok(())
    }

    /// Takes it again after somebody else had it, and draws anew from nothing.
    pub(crate) fn show(&mut self) -> io::Result<()> {
        enter()?;
        execute!(io::stdout(), Clear(ClearType::All))?;
        // one that remembers nothing: the library's own way asks the terminal where its
        // cursor is, and reads the answer from our keyboard
        self.terminal = fixed(self.size)?;
        Ok(())
    }

    /// The terminal went away.
    pub(crate) fn lose(&mut self) {
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

type Fixed = Terminal<CrosstermBackend<io::BufWriter<io::Stdout>>>;

/// A terminal whose size is asked for here, not by running a helper program.
fn fixed(size: (u16, u16)) -> io::Result<Fixed> {
    let backend = CrosstermBackend::new(io::BufWriter::new(io::stdout()));
    let viewport = Viewport::Fixed(Rect::new(0, 0, size.0, size.1));
    Terminal::with_options(backend, TerminalOptions { viewport })
}

fn enter() -> io::Result<()> {
    enable_raw_mode()?;
    UP.store(true, Ordering::SeqCst);
    execute!(io::stdout(), EnterAlternateScreen, Hide).inspect_err(|_| leave())
}

/// Gives the terminal back; harmless when it has been given back already.
pub(crate) fn leave() {
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
