//! Which view there is.

use console::in_foreground;

use crate::{draw::SMALLEST, terminal};

/// What shows a recording.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ViewKind {
    /// The whole screen.
    Full,
    /// One line kept up to date; keys need Enter.
    Line,
    /// A whole sentence for each thing that happens, nothing redrawn; keys need Enter.
    Spoken,
    /// Nothing.
    Off,
}

/// What is known of the terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Surroundings {
    /// Keyboard and screen are one, and this program's for now.
    pub terminal: bool,
    /// It understands more than letters.
    pub smart: bool,
    /// Columns and rows.
    pub size: Option<(u16, u16)>,
}

impl Surroundings {
    /// As they are.
    pub fn now() -> Self {
        use std::io::IsTerminal;
        let term = std::env::var("TERM").unwrap_or_default();
        Self {
            terminal: std::io::stdout().is_terminal()
                && std::io::stdin().is_terminal()
                && in_foreground(),
            smart: !matches!(term.as_str(), "" | "dumb"),
            size: terminal::size(),
        }
    }
}

impl ViewKind {
    /// What is shown, and what to say where it is not what was asked for.
    pub fn choose(
        asked: Option<Self>,
        usual: Self,
        around: Surroundings,
    ) -> (Self, Option<String>) {
        let wanted = asked.unwrap_or(usual);
        if wanted != Self::Full {
            return (wanted, None);
        }
        let (columns, rows) = SMALLEST;
        let fits = |(w, h): (u16, u16)| w >= columns && h >= rows;
        let why = match around {
            _ if cfg!(not(unix)) => "on this system".to_owned(),
            Surroundings {
                terminal: false, ..
            } => "without a terminal".to_owned(),
            Surroundings { smart: false, .. } => "on a terminal of this kind (TERM)".to_owned(),
            Surroundings { size, .. } if !size.is_some_and(fits) => {
                format!("below {columns} columns and {rows} rows")
            }
            _ => return (Self::Full, None),
        };
        // who asked for nothing misses nothing
        let told = asked.map(|_| format!("there is no full view {why}; one line is shown"));
        (Self::Line, told)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_full_view_needs_a_terminal_that_can_show_it() {
        let good = Surroundings {
            terminal: true,
            smart: true,
            size: Some((60, 20)),
        };
        let choose = |asked, around| {
            let (kind, told) = ViewKind::choose(asked, ViewKind::Full, around);
            (kind, told.is_some())
        };
        assert_eq!(choose(None, good), (ViewKind::Full, false));
        for around in [
            Surroundings {
                terminal: false,
                ..good
            },
            Surroundings {
                smart: false,
                ..good
            },
            Surroundings {
                size: Some((59, 20)),
                ..good
            },
            Surroundings {
                size: Some((60, 19)),
                ..good
            },
            Surroundings { size: None, ..good },
        ] {
            assert_eq!(choose(None, around), (ViewKind::Line, false));
            assert_eq!(choose(Some(ViewKind::Full), around), (ViewKind::Line, true));
            assert_eq!(
                choose(Some(ViewKind::Spoken), around),
                (ViewKind::Spoken, false)
            );
        }
    }
}
