//! The curve as pixels.

use std::sync::{Arc, LazyLock};

use resvg::{
    tiny_skia::{Color, Pixmap, Transform},
    usvg::{self, fontdb},
};

use crate::{ReportError, Sheet, curve_svg, font};

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

/// Draws the standalone curve.
pub(crate) fn curve(sheet: &Sheet<'_>, size: PngSize) -> Result<Vec<u8>, ReportError> {
    let failed = |cause: String| ReportError::Drawing {
        what: "curve",
        cause,
    };
    let options = usvg::Options {
        fontdb: Arc::clone(&FONTS),
        ..usvg::Options::default()
    };
    let svg = curve_svg(sheet)?;
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
    encode(&rgb, (width, height), per_inch).map_err(|e| failed(e.to_string()))
}

/// Red, green, blue as a PNG file.
pub(crate) fn encode(
    rgb: &[u8],
    (width, height): (u32, u32),
    per_inch: Option<f64>,
) -> Result<Vec<u8>, png::EncodingError> {
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Balanced);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "11,811 for 300 to the inch"
    )]
    let per_metre = |per_inch: f64| (per_inch / 0.0254).round() as u32;
    encoder.set_pixel_dims(per_inch.map(|per_inch| png::PixelDimensions {
        xppu: per_metre(per_inch),
        yppu: per_metre(per_inch),
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(rgb)?;
    writer.finish()?;
    Ok(out)
}
