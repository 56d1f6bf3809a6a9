//! A shop's logo: PNG or SVG in, pixels of a bounded size out.

mod error;
mod svg;

pub use error::LogoError;

use resvg::tiny_skia::{Color, FilterQuality, Pixmap, PixmapPaint, Transform};

use crate::{pixel_rows::PixelRows, png_file};

/// Most bytes of a logo file.
const MOST_BYTES: usize = Logo::MOST_BYTES as usize;
/// Most pixels to a side of a logo file.
const MOST_SIDE: u32 = 4096;
/// Pixels that it is kept in, at most: 300 to the inch of the room it gets.
const KEPT: (f32, f32) = (400.0, 121.0);
/// What a PNG file begins with.
const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

/// A logo for the head of the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Logo(PixelRows);

impl Logo {
    /// Most bytes of a logo file.
    pub const MOST_BYTES: u64 = 1 << 20;
    /// Most pixels across and down that a logo is kept in.
    pub const MOST_PIXELS: (u32, u32) = (400, 121);

    /// Reads a PNG or SVG file.
    ///
    /// A logo may come from anybody, and the libraries that draw it may fail on one
    /// that is made to do harm. A program calls this in a process of its own, with
    /// limits, and takes the result over with [`Logo::from_rgb`].
    ///
    /// Of SVG, shapes with plain colours and gradients are drawn. Text, pictures,
    /// filters, masks, patterns, anything named outside the file and compressed files
    /// are refused.
    ///
    /// ```
    /// use layout::Logo;
    ///
    /// let svg = br##"<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20">
    ///     <rect width="40" height="20" fill="#123456"/></svg>"##;
    /// assert!(Logo::read(svg).is_ok());
    /// assert!(Logo::read(b"no picture").is_err());
    /// ```
    ///
    /// # Errors
    /// [`LogoError`] for a file of more than 1 MB, a picture of more than 4,096
    /// pixels to a side, what is neither PNG nor SVG, and an SVG picture with
    /// something in it that is not drawn.
    pub fn read(bytes: &[u8]) -> Result<Self, LogoError> {
        if bytes.len() > MOST_BYTES {
            return Err(LogoError::TooLarge { bytes: bytes.len() });
        }
        let drawn = if bytes.starts_with(PNG) {
            from_png(bytes)?
        } else {
            from_svg(bytes)?
        };
        let pixels = drawn.data().chunks_exact(4);
        // nothing shines through: it was drawn on white
        let rgb = pixels.flat_map(|p| [p[0], p[1], p[2]]).collect();
        let size = (drawn.width(), drawn.height());
        Ok(Self(PixelRows::drawn(size, rgb)))
    }

    /// A logo that is drawn already: red, green and blue of each pixel, row by row.
    /// `None` when it has no pixels, more than [`Logo::MOST_PIXELS`], or not three
    /// bytes for each.
    #[must_use]
    pub fn from_rgb(width: u32, height: u32, rgb: &[u8]) -> Option<Self> {
        PixelRows::new((width, height), rgb, Self::MOST_PIXELS).map(Self)
    }

    /// Width, height, and red, green and blue of each pixel, row by row.
    #[must_use]
    pub fn rgb(&self) -> (u32, u32, &[u8]) {
        self.0.parts()
    }

    /// Width and height, pixels.
    pub fn size(&self) -> (f64, f64) {
        self.0.size()
    }

    /// Red, green, blue and opacity, row by row, with width and height.
    pub fn rgba(&self) -> (Vec<u8>, u32, u32) {
        let (width, height, rgb) = self.rgb();
        let pixels = rgb.chunks_exact(3);
        let rgba = pixels.flat_map(|p| [p[0], p[1], p[2], u8::MAX]).collect();
        (rgba, width, height)
    }

    /// The logo as a PNG file.
    pub fn png(&self) -> Result<Vec<u8>, png::EncodingError> {
        let (width, height, rgb) = self.rgb();
        png_file::encode(rgb, (width, height), None)
    }
}

/// How much a picture of this size shrinks, or an SVG one grows.
fn factor(width: f32, height: f32) -> f32 {
    (KEPT.0 / width).min(KEPT.1 / height)
}

fn paper(width: f32, height: f32) -> Result<Pixmap, LogoError> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at most 400"
    )]
    let whole = |side: f32| side.round().max(1.0) as u32;
    let (width, height) = (whole(width), whole(height));
    let mut paper = Pixmap::new(width, height).ok_or(LogoError::Dimensions { width, height })?;
    paper.fill(Color::WHITE);
    Ok(paper)
}

fn from_png(bytes: &[u8]) -> Result<Pixmap, LogoError> {
    let unreadable = |e: png::DecodingError| LogoError::unreadable(&e);
    let limits = png::Limits {
        bytes: 4 * 4 * MOST_SIDE as usize * MOST_SIDE as usize,
    };
    let mut decoder = png::Decoder::new_with_limits(std::io::Cursor::new(bytes), limits);
    decoder.set_transformations(png::Transformations::ALPHA | png::Transformations::STRIP_16);
    let mut reader = decoder.read_info().map_err(unreadable)?;
    let (width, height) = reader.info().size();
    let dimensions = || LogoError::Dimensions { width, height };
    if width > MOST_SIDE || height > MOST_SIDE {
        return Err(dimensions());
    }
    let mut raw = vec![0; reader.output_buffer_size().ok_or_else(dimensions)?];
    let frame = reader.next_frame(&mut raw).map_err(unreadable)?;
    let channels = frame.color_type.samples();
    let mut source = Pixmap::new(width, height).ok_or_else(dimensions)?;
    for (pixel, sample) in source
        .pixels_mut()
        .iter_mut()
        .zip(raw.chunks_exact(channels))
    {
        let (r, g, b, a) = match *sample {
            [r, g, b, a] => (r, g, b, a),
            [grey, a] => (grey, grey, grey, a),
            [r, g, b] => (r, g, b, u8::MAX),
            [grey] => (grey, grey, grey, u8::MAX),
            _ => continue,
        };
        *pixel = resvg::tiny_skia::ColorU8::from_rgba(r, g, b, a).premultiply();
    }
    // of the largest picture both together would be 128 MB
    drop(raw);
    shrunk(source)
}

/// Halves a picture until it nearly fits, then fits it, on white.
fn shrunk(mut source: Pixmap) -> Result<Pixmap, LogoError> {
    loop {
        #[expect(clippy::cast_precision_loss, reason = "at most 4096")]
        let (width, height) = (source.width() as f32, source.height() as f32);
        let by = factor(width, height).min(1.0);
        let last = by > 0.5;
        let step = by.max(0.5);
        let mut smaller = paper(width * step, height * step)?;
        let smooth = PixmapPaint {
            quality: FilterQuality::Bilinear,
            ..PixmapPaint::default()
        };
        let scale = Transform::from_scale(step, step);
        smaller.draw_pixmap(0, 0, source.as_ref(), &smooth, scale, None);
        if last {
            return Ok(smaller);
        }
        source = smaller;
    }
}

fn from_svg(bytes: &[u8]) -> Result<Pixmap, LogoError> {
    let tree = svg::read(bytes)?;
    let size = tree.size();
    let by = factor(size.width(), size.height());
    let mut drawn = paper(size.width() * by, size.height() * by)?;
    resvg::render(&tree, Transform::from_scale(by, by), &mut drawn.as_mut());
    Ok(drawn)
}

#[cfg(test)]
mod tests;
