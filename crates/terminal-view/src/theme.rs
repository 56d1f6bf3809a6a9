//! How things look. What is said by colour is said in words as well; without colour
//! bold, underlined and reversed take over.

use ratatui::{
    buffer::Buffer,
    style::{Color, Modifier, Style},
};

/// What this terminal can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Theme {
    /// Colours may be used.
    pub(crate) colour: bool,
    /// Only ASCII signs.
    pub(crate) ascii: bool,
}

impl Theme {
    /// As the environment asks for: `NO_COLOR`, `TERM`, and the character set.
    pub(crate) fn of(var: impl Fn(&str) -> Option<String>) -> Self {
        let set = |name| var(name).filter(|v| !v.is_empty());
        let term = set("TERM").unwrap_or_default();
        let charset = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().find_map(set);
        let utf8 = charset.is_some_and(|c| {
            let c = c.to_lowercase();
            c.contains("utf-8") || c.contains("utf8")
        });
        let old = term.starts_with("vt") || term == "ansi";
        Self {
            colour: set("NO_COLOR").is_none() && !old && !term.ends_with("-m"),
            // the console's fonts have no braille
            ascii: !utf8 || old || term == "linux",
        }
    }

    fn coloured(self, colour: Color, without: Modifier) -> Style {
        match self.colour {
            true => Style::new().fg(colour),
            false => Style::new().add_modifier(without),
        }
    }

    /// A bar across the screen.
    pub(crate) fn bar(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    /// Titles and what is to be seen first.
    pub(crate) fn strong(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    /// What may be overlooked.
    pub(crate) fn faint(self) -> Style {
        self.coloured(Color::DarkGray, Modifier::empty())
    }

    /// Target and what comes next.
    pub(crate) fn accent(self) -> Style {
        self.coloured(Color::Cyan, Modifier::UNDERLINED)
    }

    /// The curve.
    pub(crate) fn curve(self) -> Style {
        self.coloured(Color::Yellow, Modifier::BOLD)
    }

    /// All is well.
    pub(crate) fn good(self) -> Style {
        self.coloured(Color::Green, Modifier::BOLD)
    }

    /// Look here.
    pub(crate) fn alarm(self) -> Style {
        self.coloured(Color::Red, Modifier::REVERSED)
            .add_modifier(Modifier::BOLD)
    }

    /// Takes signs out that the terminal does not have.
    pub(crate) fn finish(self, buffer: &mut Buffer) {
        if !self.ascii {
            return;
        }
        for cell in &mut buffer.content {
            let sign = cell.symbol().chars().next().unwrap_or(' ');
            if sign.is_ascii() {
                continue;
            }
            cell.set_char(match sign {
                '█' => '#',
                '─' | '╌' | '—' | '·' | '−' => '-',
                '│' => '|',
                '…' => '.',
                '▶' => '>',
                '✓' => '+',
                'µ' => 'u',
                '\u{a0}' | '\u{202f}' => ' ',
                '’' => '\'',
                '«' | '»' | '„' | '“' | '”' => '"',
                letter if letter.is_alphabetic() => without_accent(letter),
                '\u{2800}'..='\u{28ff}' => '*',
                _ => '?',
            });
        }
    }
}

/// A letter of the four languages as the terminal has it: without its accent.
const fn without_accent(letter: char) -> char {
    match letter {
        'à' | 'á' | 'â' | 'ä' => 'a',
        'À' | 'Á' | 'Â' | 'Ä' => 'A',
        'ç' => 'c',
        'Ç' => 'C',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'È' | 'É' | 'Ê' | 'Ë' => 'E',
        'í' | 'î' | 'ï' => 'i',
        'Í' | 'Î' | 'Ï' => 'I',
        'ñ' => 'n',
        'Ñ' => 'N',
        'ó' | 'ô' | 'ö' | 'œ' => 'o',
        'Ó' | 'Ô' | 'Ö' | 'Œ' => 'O',
        'ß' => 's',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        'Ù' | 'Ú' | 'Û' | 'Ü' => 'U',
        _ => '?',
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn theme(vars: &[(&str, &str)]) -> (bool, bool) {
        let theme = Theme::of(|name| {
            let found = vars.iter().find(|(n, _)| *n == name);
            found.map(|(_, value)| (*value).to_owned())
        });
        (theme.colour, theme.ascii)
    }

    #[test]
    fn terminals_get_what_they_can_show() {
        let utf8 = ("LANG", "de_DE.UTF-8");
        assert_eq!(theme(&[utf8, ("TERM", "xterm-256color")]), (true, false));
        assert_eq!(
            theme(&[utf8, ("TERM", "xterm"), ("NO_COLOR", "1")]),
            (false, false)
        );
        assert_eq!(
            theme(&[utf8, ("TERM", "xterm"), ("NO_COLOR", "")]),
            (true, false)
        );
        assert_eq!(theme(&[utf8, ("TERM", "vt100")]), (false, true));
        assert_eq!(theme(&[utf8, ("TERM", "linux")]), (true, true));
        assert_eq!(theme(&[("TERM", "xterm")]), (true, true));
        assert_eq!(
            theme(&[("LC_ALL", "C"), utf8, ("TERM", "xterm")]),
            (true, true)
        );
    }
}
