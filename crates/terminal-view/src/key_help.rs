//! What the keys do: the line at the bottom, and the list on the page with everything.

use vacuum::MarkKind;
use wording::{Voice, mark_kind_words, say};

use crate::{
    app::Mode,
    picture::Picture,
    text::{self, Lines, add},
};

/// Every key with what it does.
pub(crate) fn all(voice: &Voice) -> [(char, String); 12] {
    let mark = |kind| mark_kind_words(voice, kind);
    [
        ('o', say!(voice, "screen-opened-to-pump")),
        ('s', mark(MarkKind::PumpSideShut)),
        ('p', mark(MarkKind::PumpStopped)),
        ('m', say!(voice, "screen-manifold-shut")),
        ('n', mark(MarkKind::NitrogenBreak)),
        ('t', mark(MarkKind::Throttled)),
        ('b', mark(MarkKind::BallastOpened)),
        ('h', mark(MarkKind::HeatApplied)),
        ('u', say!(voice, "screen-take-back")),
        ('r', say!(voice, "screen-type-remark")),
        ('i', say!(voice, "screen-this-page")),
        ('q', say!(voice, "screen-stop-asks")),
    ]
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
        Mode::AskedToStop => {
            let question = say!(voice, "screen-ask-stop");
            lines.push((text::shortened(&question, width), theme.alarm()));
        }
        Mode::Watching | Mode::Info | Mode::Code => {
            if let Some(answer) = picture.app.answer() {
                lines.push((text::shortened(answer, width), theme.strong()));
            }
            let mut keys = match picture.scrub {
                Some(_) => say!(voice, "screen-keys-back"),
                None => say!(voice, "screen-keys"),
            };
            if picture.app.page.is_some() {
                keys += &format!(" {}", say!(voice, "screen-key-page"));
            }
            add(&mut lines, &keys, width, theme.bar());
        }
    }
    lines
}
