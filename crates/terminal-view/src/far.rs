//! A recording on the whole screen of a terminal somewhere else: of somebody who looks at a
//! recording that goes on without a terminal of its own, or on another one.

use std::io::{self, Read, Write};

use tokio::sync::mpsc::UnboundedSender;
use watch::{Act, Watch};

use crate::{
    app::App,
    code::PageCode,
    full::{self, trouble},
    keyboard,
    terminal::FarScreen,
    theme::Theme,
};

/// A terminal somewhere else.
pub struct FarTerminal<R, W, S, V> {
    /// What is typed there; its end is the end of the look.
    pub keys: R,
    /// Where to draw.
    pub screen: W,
    /// Columns and rows, as they are now.
    pub size: S,
    /// A variable of its environment.
    pub var: V,
}

/// Shows a recording there until it ends or the person leaves; what is typed there is asked
/// of the recorder as from any view. To be called on a thread of its own.
///
/// # Errors
/// When nothing can be drawn there any more.
pub fn show_far<R, W, S, V>(
    watch: Watch,
    asks: &UnboundedSender<Act>,
    page: Option<PageCode>,
    far: FarTerminal<R, W, S, V>,
) -> io::Result<()>
where
    R: Read + Send + 'static,
    W: Write + Clone,
    S: Fn() -> (u16, u16),
    V: Fn(&str) -> Option<String>,
{
    let FarTerminal {
        keys,
        screen,
        size,
        var,
    } = far;
    let why = trouble(|| {
        let (_sender, inputs) = keyboard::start_far(keys);
        let app = App::far(page);
        let mut screen = FarScreen::take(screen, size)?;
        full::show(watch, &inputs, asks, (&mut screen, Theme::of(var), app))
    });
    why.map_or(Ok(()), |why| Err(io::Error::other(why)))
}
