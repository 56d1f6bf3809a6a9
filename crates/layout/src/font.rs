//! The two faces of the printed sheet, and how wide letters run, on paper and on a screen.
//!
//! DejaVu Sans Condensed, regular and bold, from the package `dejavu`: embedded,
//! so that paper looks the same on every machine. A shaper measures, so that what
//! is set is what is drawn. A screen has fonts of its own; there the widths are those of
//! the widest font that a picture asks for ([`width_on_screen`]).

use std::{ops::Range, sync::LazyLock};

use rustybuzz::{Direction, UnicodeBuffer, script};

/// Stands for a letter that the faces do not have.
const NO_LETTER: char = '\u{25AF}';

/// One face.
pub struct Face {
    /// The font file.
    pub bytes: &'static [u8],
    shaper: Option<rustybuzz::Face<'static>>,
}

/// A letter in its place; lengths in font sizes.
#[derive(Debug, Clone, PartialEq)]
pub struct Glyph {
    /// Number in the face.
    pub id: u16,
    /// What it writes, bytes of the text.
    pub range: Range<usize>,
    /// How far the next one stands.
    pub advance: f32,
    /// Shift sideways.
    pub shift: f32,
}

static REGULAR: LazyLock<Face> = LazyLock::new(|| Face::new(dejavu::sans_condensed::regular()));
static BOLD: LazyLock<Face> = LazyLock::new(|| Face::new(dejavu::sans_condensed::bold()));

/// The face of a weight.
pub fn face(bold: bool) -> &'static Face {
    if bold { &BOLD } else { &REGULAR }
}

impl Face {
    fn new(bytes: &'static [u8]) -> Self {
        Self {
            bytes,
            shaper: rustybuzz::Face::from_slice(bytes, 0),
        }
    }

    /// Width of one letter on a screen, in font sizes.
    fn on_screen(&self, c: char) -> f64 {
        let advance = self.shaper.as_ref().and_then(|face| {
            let glyph = face.glyph_index(c).filter(|glyph| glyph.0 != 0)?;
            // condensed widths are cut to whole units
            let units = f64::from(face.glyph_hor_advance(glyph)?) + 1.0;
            Some(units / f64::from(face.units_per_em()) / CONDENSED)
        });
        let wider = WIDER.iter().find(|(letters, _)| letters.contains(c));
        let least = wider.map_or(0.0, |(_, thousandths)| f64::from(*thousandths) / 1000.0);
        advance.unwrap_or(UNKNOWN).max(least)
    }

    /// Letters the face has, others as an empty box. Scripts that run from right to
    /// left count as not had: set the wrong way round they would say something else.
    pub fn settable(&self, text: &str) -> String {
        let has = |c: char| {
            let known = self.shaper.as_ref().and_then(|face| face.glyph_index(c));
            known.is_some_and(|glyph| glyph.0 != 0) && !runs_leftwards(c) && !is_private(c)
        };
        text.chars()
            .map(|c| if has(c) { c } else { NO_LETTER })
            .collect()
    }

    /// The letters of a text that is [settable](Face::settable).
    pub fn glyphs(&self, text: &str) -> Vec<Glyph> {
        let Some(face) = &self.shaper else {
            return Vec::new();
        };
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.set_direction(Direction::LeftToRight);
        buffer.set_script(script::LATIN);
        let shaped = rustybuzz::shape(face, &[], buffer);
        let per_em = 1.0 / per_em(face);
        let infos = shaped.glyph_infos();
        let places = infos.iter().zip(shaped.glyph_positions()).enumerate();
        let placed = places.map(|(i, (info, at))| {
            let from = start(info);
            let next = infos[i + 1..].iter().map(start).find(|s| *s > from);
            #[expect(clippy::cast_precision_loss, reason = "font units are small")]
            let of = |units: i32| units as f32 * per_em;
            Glyph {
                id: u16::try_from(info.glyph_id).unwrap_or(0),
                range: from..next.unwrap_or(text.len()),
                advance: of(at.x_advance),
                shift: of(at.x_offset),
            }
        });
        placed.collect()
    }

    /// Width of a settable text, in units of `size`.
    pub fn width(&self, text: &str, size: f64) -> f64 {
        let advances = self.glyphs(text).into_iter();
        advances.map(|g| f64::from(g.advance)).sum::<f64>() * size
    }
}

/// A condensed face has nine tenths of the width of DejaVu Sans.
const CONDENSED: f64 = 0.9;

/// Letters that Liberation Sans has wider than DejaVu Sans, thousandths of the font size:
/// the wider of its regular and bold face (version 2.1, `hmtx` tables). All others are
/// wider in DejaVu Sans.
const WIDER: [(&str, u16); 9] = [
    ("G", 778),
    ("CÇR", 723),
    ("EÈÉÊËKPSYÝÞ", 667),
    ("?¿F", 611),
    ("J_§", 557),
    ("¯", 553),
    ("@", 1016),
    ("Æ", 1000),
    ("\u{202F}", 340),
];

/// Width of a letter that DejaVu Sans does not have, in font sizes: ideographs are square
/// at most, with some air.
const UNKNOWN: f64 = 1.2;

/// Width of `text` on a picture, px, at font size `size_px`: whichever font of the list
/// there the viewer has, it is no wider. The letters of DejaVu Sans, the widest, one after
/// the other; set closer they take less.
pub fn width_on_screen(text: &str, size_px: f64, bold: bool) -> f64 {
    let face = face(bold);
    text.chars().map(|c| face.on_screen(c)).sum::<f64>() * size_px
}

fn per_em(face: &rustybuzz::Face<'_>) -> f32 {
    #[expect(clippy::cast_precision_loss, reason = "font units are small")]
    let units = face.units_per_em() as f32;
    units
}

fn start(info: &rustybuzz::GlyphInfo) -> usize {
    usize::try_from(info.cluster).unwrap_or(0)
}

/// Hebrew, Arabic and their neighbours, and their presentation forms.
fn runs_leftwards(c: char) -> bool {
    matches!(c, '\u{0590}'..='\u{08FF}' | '\u{FB1D}'..='\u{FDFF}' | '\u{FE70}'..='\u{FEFF}')
}

/// Private use: has no meaning on another machine.
fn is_private(c: char) -> bool {
    matches!(c, '\u{E000}'..='\u{F8FF}' | '\u{F0000}'..)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_faces_have_every_sign_that_figures_use() {
        let signs = "µ≤≥±°²³⁰¹⁴⁵⁶⁷⁸⁹⁻−×·“”‘’…–„«»\u{202F}\u{A0}äöüßñéèçœ¿¡€";
        for bold in [false, true] {
            assert_eq!(face(bold).settable(signs), signs);
        }
    }

    #[test]
    fn what_the_faces_lack_is_shown_as_lacking() {
        assert_eq!(face(false).settable("a漢b"), "a\u{25AF}b");
        assert_eq!(face(true).settable("אב"), "\u{25AF}\u{25AF}");
        let lack = face(false).glyphs(&NO_LETTER.to_string());
        assert!(lack.iter().all(|g| g.id != 0), "the box itself is there");
    }

    #[test]
    fn widths_are_those_of_the_font_file() {
        // advances of the hmtx table, read byte by byte with another program:
        // a = 1129, m = 1795 of 2048 units to the em
        let width = face(false).width("am", 2048.0);
        assert!((width - (1129.0 + 1795.0)).abs() < 1e-3, "{width}");
        // "AV" is set closer than its letters are wide
        let apart = face(true).width("A", 1.0) + face(true).width("V", 1.0);
        assert!(face(true).width("AV", 1.0) < apart);
    }

    #[test]
    fn every_byte_of_a_text_belongs_to_a_letter() {
        for text in ["office “2.2 × 10⁻⁶ Pa·m³/s”", "", "ﬁ", "fi"] {
            let glyphs = face(false).glyphs(text);
            let mut at = 0;
            for glyph in &glyphs {
                assert_eq!(glyph.range.start, at, "{text}");
                at = glyph.range.end;
            }
            assert_eq!(at, text.len());
        }
    }

    #[test]
    fn widths_never_fall_below_two_real_fonts() {
        // (text, DejaVu Sans, Liberation Sans) widths at size 1000, measured
        // with fontTools 4 from the fonts' hmtx tables
        let measured = [
            ("pump-side valve shut", 10_793.0, 9_449.3),
            ("1,000,000", 5_089.4, 4_448.8),
            ("Öl schäumt", 5_700.2, 5_057.2),
            ("évacué à 1 234 °C", 9_246.1, 8_238.8),
        ];
        for (text, dejavu, liberation) in measured {
            let ours = width_on_screen(text, 1000.0, false);
            assert!(ours >= dejavu && ours >= liberation, "{text}: {ours}");
            assert!(ours < 1.15 * dejavu, "{text}: {ours} is wasteful");
        }
    }
}
