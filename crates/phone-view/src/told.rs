//! What is said of a page where it was started.

use crate::{address::code_for_camera, key::Grade, server::Page};

/// A line to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Told {
    /// Words.
    Words(String),
    /// A line drawn with sequences for the terminal.
    Drawn(String),
}

impl Page {
    /// Where it is, for whom, and what to compare; empty while this computer is in no
    /// network. `in_network`: others than this computer may come; `stamps`: marks can be
    /// stamped from it; `colours`: the terminal has colours.
    #[must_use]
    pub fn told(&self, in_network: bool, stamps: bool, colours: bool) -> Vec<Told> {
        let grade = match stamps {
            true => Grade::Mark,
            false => Grade::View,
        };
        let addresses = self.addresses(grade);
        let Some(first) = addresses.first() else {
            return Vec::new();
        };
        let words = |words: &str| Told::Words(words.to_owned());
        let mut all = vec![Told::Words(format!("Page: {first}"))];
        if in_network {
            let others = addresses[1..].iter();
            all.extend(others.map(|other| Told::Words(format!("  or: {other}"))));
            for line in code_for_camera(first, !colours).unwrap_or_default().lines() {
                // black on white, whatever the terminal's own colours are
                all.push(match colours {
                    true => Told::Drawn(format!("\x1b[38;5;16;48;5;231m{line}\x1b[0m")),
                    false => words(line),
                });
            }
            all.push(words(match stamps {
                true => "Whoever has this address and is in the network can stamp marks.",
                false => "Whoever has this address and is in the network can look on.",
            }));
        }
        if stamps {
            let look_on = self.addresses(Grade::View).into_iter();
            all.extend(look_on.map(|a| Told::Words(format!("To look on only: {a}"))));
        }
        if let Some(fingerprint) = self.fingerprint() {
            all.push(words(
                "The page is encrypted. The browser warns once, for nobody vouches for its \
                 certificate.",
            ));
            all.push(words(
                "Look at the certificate there; go on only if its SHA-256 fingerprint is this one:",
            ));
            all.push(Told::Words(format!("  {fingerprint}")));
        }
        all.push(words(match stamps {
            true => "Marks can be stamped from the page; the record says from which device.",
            false => "The page only shows; --view-marks lets it stamp marks.",
        }));
        all
    }
}
