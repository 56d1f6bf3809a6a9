//! A picture as pixels.

use std::sync::{Arc, LazyLock};

use resvg::{
    tiny_skia::{Color, Pixmap, Transform},
    usvg::{self, fontdb},
};

use crate::{ReportError, font, picture::Picture, png_file, svg};

/// Pixels to the inch of a picture for printing.
const PER_INCH: f64 = 300.0;
/// Width it is printed at, inch: 186 mm, what the sheet gives it on A4.
const PRINTED_INCH: f64 = 186.0 / 25.4;
/// Width of a picture for a message, pixels.
const SMALL: f64 = 1000.0;

/// What a PNG picture is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PngSize {
    /// For printing: 300 pixels to the inch at a width of 186 mm.
    Print,
    /// For a message: 1,000 pixels wide.
    Message,
}

static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    for bold in [false, true] {
        fonts.load_font_data(font::face(bold).bytes.to_vec());
    }
    let family = fonts
        .faces()
        .next()
        .and_then(|face| face.families.first().map(|(name, _)| name.clone()));
    if let Some(family) = family {
        fonts.set_sans_serif_family(family);
    }
    Arc::new(fonts)
});

/// A picture as a PNG file.
///
/// # Errors
/// [`ReportError::Drawing`] when a drawing library fails.
pub fn png(picture: &Picture, size: PngSize) -> Result<Vec<u8>, ReportError> {
    let failed = |cause: String| ReportError::Drawing {
        what: "curve",
        cause,
    };
    let options = usvg::Options {
        fontdb: Arc::clone(&FONTS),
        ..usvg::Options::default()
    };
    let svg = svg::write(picture);
    let tree = usvg::Tree::from_str(&svg, &options).map_err(|e| failed(e.to_string()))?;
    let (width, per_inch) = match size {
        PngSize::Print => (PER_INCH * PRINTED_INCH, Some(PER_INCH)),
        PngSize::Message => (SMALL, None),
    };
    #[expect(clippy::cast_possible_truncation, reason = "some thousand pixels")]
    let scale = width.round() as f32 / tree.size().width();
    let high = (tree.size().height() * scale).round();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "some thousand pixels"
    )]
    let (width, height) = (width.round() as u32, high.max(1.0) as u32);
    let mut pixels =
        Pixmap::new(width, height).ok_or_else(|| failed("it has no size".to_owned()))?;
    pixels.fill(Color::WHITE);
    resvg::render(
        &tree,
        Transform::from_scale(scale, scale),
        &mut pixels.as_mut(),
    );
    // opaque throughout, so what is stored for each pixel is its colour; each is
    // moved forward in place
    let mut rgb = pixels.take();
    let count = rgb.len() / 4;
    for at in 0..count {
        rgb.copy_within(4 * at..4 * at + 3, 3 * at);
    }
    rgb.truncate(3 * count);
    png_file::encode(&rgb, (width, height), per_inch).map_err(|e| failed(e.to_string()))
}
