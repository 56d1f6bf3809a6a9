//! What the keys do: the line at the bottom, and the list on the page with everything.

use vacuum::MarkKind;
use watch::keys::mark_of_key;
use wording::{Voice, mark_words, say};

use crate::{
    app::Mode,
    picture::Picture,
    text::{self, Lines, add},
};

/// The keys that stamp in this run, each with its act.
pub(crate) fn stamping(voice: &Voice, stamps: &str) -> impl Iterator<Item = (char, String)> {
    stamps.chars().filter_map(|key| {
        let (kind, note) = mark_of_key(key)?;
        let act = match kind {
            MarkKind::ValveOpened => say!(voice, "screen-opened-to-pump"),
            _ => mark_words(voice, kind, note),
        };
        Some((key, act))
    })
}

/// Every key with what it does.
pub(crate) fn all(voice: &Voice, stamps: &str) -> Vec<(char, String)> {
    let others = [
        ('u', "screen-take-back"),
        ('r', "screen-type-remark"),
        ('i', "screen-this-page"),
        ('q', "screen-stop-asks"),
    ];
    let others = others.map(|(key, id)| (key, say!(voice, id)));
    stamping(voice, stamps).chain(others).collect()
}

/// The bottom: what keys do now.
pub(crate) fn line(picture: &Picture<'_>, width: usize) -> Lines {
    let theme = picture.theme;
    let voice = picture.voice();
    let mut lines = Lines::new();
    match &picture.app.mode {
        Mode::Typing(typed) => {
            let label = say!(voice, "screen-remark");
            // a blank before what is typed, the cursor and a blank behind it
            let room = width.saturating_sub(text::width(&label) + 3);
            let from = text::width(typed).saturating_sub(room);
            let shown: String = typed.chars().skip(from).collect();
            lines.push((format!("{label} {shown}_"), theme.strong()));
            lines.push((say!(voice, "screen-remark-keys"), theme.bar()));
        }
        Mode::Asked(question, _) => {
            add(&mut lines, question, width, theme.alarm());
            let answers = say!(voice, "question-answer-key");
            add(&mut lines, &answers, width, theme.bar());
        }
        Mode::Watching | Mode::Info | Mode::Code => {
            if let Some(answer) = picture.app.answer() {
                add(&mut lines, answer, width, theme.strong());
            }
            let mut keys = match picture.scrub {
                Some(_) => say!(voice, "screen-keys-back"),
                None if picture.frame.now.stamps.contains('e') => {
                    say!(voice, "screen-keys-pressure")
                }
                None => {
                    let offered = picture.frame.now.stamps.contains('m');
                    let manifold = match offered {
                        true => format!("{} ", say!(voice, "screen-key-manifold")),
                        false => String::new(),
                    };
                    say!(voice, "screen-keys", manifold = manifold)
                }
            };
            if picture.app.page.is_some() {
                keys += &format!(" {}", say!(voice, "screen-key-page"));
            }
            if picture.app.far {
                keys += &format!(" {}", say!(voice, "screen-key-leave"));
            }
            add(&mut lines, &keys, width, theme.bar());
        }
    }
    lines
}
