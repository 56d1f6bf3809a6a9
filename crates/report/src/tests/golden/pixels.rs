//! Pictures as pixels: drawn, kept, compared.

use std::sync::{Arc, LazyLock};

use resvg::{
    tiny_skia::{Color, Pixmap, Transform},
    usvg::{self, fontdb},
};

/// Levels a channel is kept at: 17 apart, so that a stored value is at most 8.5 off.
const LEVELS: u8 = 16;
/// Two pixels differ when some channel is further apart than this: well above what
/// storing costs, well below the 227 between ink and paper.
const STEP: u8 = 24;
/// Most pixels that may differ, of a million. The same machine draws the same pixels;
/// room is left for another processor's rounding at the edges of letters. In a
/// picture of 720 × 407 pixels it is 8 of them.
const MOST_OF_A_MILLION: usize = 30;

/// Red, green, blue, row by row.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pixels {
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) rgb: Vec<u8>,
}

static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    for face in [
        dejavu::sans_condensed::regular(),
        dejavu::sans_condensed::bold(),
    ] {
        fonts.load_font_data(face.to_vec());
    }
    let family = fonts.faces().next().unwrap().families[0].0.clone();
    fonts.set_sans_serif_family(family);
    Arc::new(fonts)
});

impl Pixels {
    /// Draws an SVG picture so many pixels wide, with the fonts of the paper.
    pub(crate) fn draw(svg: &str, width: u32) -> Self {
        let options = usvg::Options {
            fontdb: Arc::clone(&FONTS),
            ..usvg::Options::default()
        };
        let tree = usvg::Tree::from_str(svg, &options).unwrap();
        let scale = f64::from(width) / f64::from(tree.size().width());
        let height = (scale * f64::from(tree.size().height())).round() as u32;
        let mut pixels = Pixmap::new(width, height.max(1)).unwrap();
        pixels.fill(Color::WHITE);
        let scale = Transform::from_scale(scale as f32, scale as f32);
        resvg::render(&tree, scale, &mut pixels.as_mut());
        let rgb = pixels.data().chunks(4).flat_map(|p| &p[..3]);
        Self {
            width,
            height: pixels.height(),
            rgb: rgb.copied().collect(),
        }
    }

    /// Reads what [`Self::file`] wrote.
    pub(crate) fn read(file: &[u8]) -> Result<Self, png::DecodingError> {
        let mut decoder = png::Decoder::new(std::io::Cursor::new(file));
        decoder.set_transformations(png::Transformations::EXPAND);
        let mut reader = decoder.read_info()?;
        let mut rgb = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut rgb)?;
        rgb.truncate(info.buffer_size());
        Ok(Self {
            width: info.width,
            height: info.height,
            rgb,
        })
    }

    /// As a small PNG file: few levels, and a palette where that many colours suffice.
    pub(crate) fn file(&self) -> Vec<u8> {
        let step = 255 / (LEVELS - 1);
        let coarse = |v: u8| (u16::from(v) + u16::from(step) / 2) as u8 / step * step;
        let rgb: Vec<u8> = self
            .rgb
            .iter()
            .map(|v| coarse_or_full(*v, coarse))
            .collect();
        let mut palette: Vec<[u8; 3]> = rgb.chunks(3).map(colour).collect();
        palette.sort_unstable();
        palette.dedup();
        let mut out = Vec::new();
        let mut encoder = png::Encoder::new(&mut out, self.width, self.height);
        encoder.set_compression(png::Compression::High);
        encoder.set_depth(png::BitDepth::Eight);
        if palette.len() <= 256 {
            encoder.set_color(png::ColorType::Indexed);
            encoder.set_palette(palette.concat());
            encoder.set_filter(png::Filter::NoFilter);
            let index = |p: &[u8]| palette.binary_search(&colour(p)).unwrap() as u8;
            let indices: Vec<u8> = rgb.chunks(3).map(index).collect();
            let mut writer = encoder.write_header().unwrap();
            writer.write_image_data(&indices).unwrap();
            writer.finish().unwrap();
        } else {
            encoder.set_color(png::ColorType::Rgb);
            let mut writer = encoder.write_header().unwrap();
            writer.write_image_data(&rgb).unwrap();
            writer.finish().unwrap();
        }
        out
    }

    /// In greys only, of which a file takes less room.
    #[allow(dead_code, reason = "for pages, which the other tests do not draw")]
    pub(crate) fn grey(&self) -> Self {
        let light = |p: &[u8]| {
            // luma of ITU-R BT.601
            let sum = 299 * u32::from(p[0]) + 587 * u32::from(p[1]) + 114 * u32::from(p[2]);
            [((sum + 500) / 1000) as u8; 3]
        };
        let rgb = self.rgb.chunks(3).flat_map(light).collect();
        Self { rgb, ..*self }
    }

    fn at(&self, x: u32, y: u32) -> Option<[u8; 3]> {
        let inside = x < self.width && y < self.height;
        inside.then(|| colour(&self.rgb[3 * (y * self.width + x) as usize..]))
    }

    /// Where the two differ, black on white, and how many pixels do.
    pub(crate) fn differences(&self, other: &Self) -> (Self, usize) {
        let (width, height) = (self.width.max(other.width), self.height.max(other.height));
        let mut count = 0;
        let mut rgb = Vec::new();
        for y in 0..height {
            for x in 0..width {
                let same = match (self.at(x, y), other.at(x, y)) {
                    (Some(a), Some(b)) => (0..3).all(|i| a[i].abs_diff(b[i]) <= STEP),
                    _ => false,
                };
                count += usize::from(!same);
                rgb.extend([if same { 255 } else { 0 }; 3]);
            }
        }
        (Self { width, height, rgb }, count)
    }

    /// True when this looks like the other.
    pub(crate) fn looks_like(&self, other: &Self) -> bool {
        let (all, count) = self.differences(other);
        let pixels = all.rgb.len() / 3;
        count * 1_000_000 <= MOST_OF_A_MILLION * pixels
    }
}

/// White stays white, whatever the levels are.
fn coarse_or_full(v: u8, coarse: impl Fn(u8) -> u8) -> u8 {
    if v > 255 - 255 / (LEVELS - 1) / 2 {
        255
    } else {
        coarse(v)
    }
}

fn colour(p: &[u8]) -> [u8; 3] {
    [p[0], p[1], p[2]]
}
