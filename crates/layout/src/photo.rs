//! One photo of the repair: JPEG or PNG in, upright pixels of a bounded size out, without
//! the place and time that cameras write into a file.

use std::io::Cursor;

use image::{
    DynamicImage, ExtendedColorType, ImageDecoder, ImageFormat, ImageReader, Limits,
    codecs::jpeg::JpegEncoder,
};

use crate::pixel_rows::PixelRows;

/// Most pixels to a side of a file: cameras of telephones have 200 megapixels at most.
const MOST_FILE_SIDE: u32 = 20_000;
/// Memory that reading a file may take, bytes: 85 megapixels.
const MOST_MEMORY: u64 = 256 << 20;
/// Quality of the JPEG that is kept, of 100: its blocks do not show on paper.
const QUALITY: u8 = 82;

/// Why a photo cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PhotoError {
    /// The file is too large.
    #[error("it has {bytes} bytes, more than 20 MB: save it smaller")]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// Neither of the two formats.
    #[error("it is neither JPEG nor PNG: save it as one of them")]
    OtherFormat,
    /// Damaged, or with more pixels than are read.
    #[error("it cannot be read as JPEG or PNG ({cause}): save it anew, or smaller")]
    Unreadable {
        /// What the reading library said.
        cause: String,
    },
}

/// A photo for the second page of the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo(PixelRows);

impl Photo {
    /// Most bytes of a file.
    pub const MOST_BYTES: u64 = 20 << 20;
    /// Most pixels to a side that a photo is kept in: 200 to the inch of a page.
    pub const MOST_SIDE: u32 = 1_600;

    /// Reads a JPEG or PNG file, turns it upright as its camera says, and makes it smaller
    /// where it has more than [`Photo::MOST_SIDE`] pixels to a side.
    ///
    /// A photo may come from anybody, and a library may fail on one that is made to do
    /// harm. A program calls this in a process of its own, with limits, and takes the
    /// result over with [`Photo::from_rgb`].
    ///
    /// # Errors
    /// [`PhotoError`] for a file of more than [`Photo::MOST_BYTES`], what is neither JPEG
    /// nor PNG, and one that cannot be read within its bounds.
    pub fn read(bytes: &[u8]) -> Result<Self, PhotoError> {
        if bytes.len() as u64 > Self::MOST_BYTES {
            return Err(PhotoError::TooLarge { bytes: bytes.len() });
        }
        let format = image::guess_format(bytes).map_err(|_| PhotoError::OtherFormat)?;
        if !matches!(format, ImageFormat::Jpeg | ImageFormat::Png) {
            return Err(PhotoError::OtherFormat);
        }
        let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
        let mut limits = Limits::default();
        limits.max_image_width = Some(MOST_FILE_SIDE);
        limits.max_image_height = Some(MOST_FILE_SIDE);
        limits.max_alloc = Some(MOST_MEMORY);
        reader.limits(limits);
        let mut decoder = reader.into_decoder().map_err(unreadable)?;
        let upright = decoder.orientation().map_err(unreadable)?;
        let mut picture = DynamicImage::from_decoder(decoder).map_err(unreadable)?;
        if picture.width().max(picture.height()) > Self::MOST_SIDE {
            picture = picture.thumbnail(Self::MOST_SIDE, Self::MOST_SIDE);
        }
        picture.apply_orientation(upright);
        let (width, height) = (picture.width(), picture.height());
        let rgba = picture.into_rgba8();
        let rgb = rgba.pixels().flat_map(|pixel| {
            let [r, g, b, opacity] = pixel.0.map(u16::from);
            let on_white = |c: u16| (c * opacity + 255 * (255 - opacity)) / 255;
            [r, g, b].map(|c| u8::try_from(on_white(c)).unwrap_or(u8::MAX))
        });
        let rgb: Vec<u8> = rgb.collect();
        Self::from_rgb(width, height, &rgb).ok_or(PhotoError::Unreadable {
            cause: "it has no pixels".into(),
        })
    }

    /// A photo that is read already: red, green and blue of each pixel, row by row. `None`
    /// when it has no pixels, more than [`Photo::MOST_SIDE`] to a side, or not three bytes
    /// for each.
    #[must_use]
    pub fn from_rgb(width: u32, height: u32, rgb: &[u8]) -> Option<Self> {
        PixelRows::new((width, height), rgb, (Self::MOST_SIDE, Self::MOST_SIDE)).map(Self)
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

    /// The photo as a JPEG file, with nothing in it but the picture.
    ///
    /// # Errors
    /// [`PhotoError::Unreadable`] when it cannot be written as one.
    pub fn jpeg(&self) -> Result<Vec<u8>, PhotoError> {
        let mut out = Vec::new();
        let (width, height, rgb) = self.rgb();
        JpegEncoder::new_with_quality(&mut out, QUALITY)
            .encode(rgb, width, height, ExtendedColorType::Rgb8)
            .map_err(unreadable)?;
        Ok(out)
    }
}

/// With what the library says, which may repeat bytes of the picture.
#[expect(clippy::needless_pass_by_value, reason = "given to map_err")]
fn unreadable(cause: image::ImageError) -> PhotoError {
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let cause = cause.to_string().chars().map(plain).take(200).collect();
    PhotoError::Unreadable { cause }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four colours, one to a quarter: red, green, blue, white.
    fn quarters(width: u32, height: u32) -> Vec<u8> {
        let mut rgb = Vec::new();
        for y in 0..height {
            for x in 0..width {
                rgb.extend(match (2 * x < width, 2 * y < height) {
                    (true, true) => [220, 20, 20],
                    (false, true) => [20, 200, 20],
                    (true, false) => [20, 20, 220],
                    (false, false) => [250, 250, 250],
                });
            }
        }
        rgb
    }

    fn corner(photo: &Photo, right: bool, below: bool) -> [u8; 3] {
        let (width, height, rgb) = photo.rgb();
        let (x, y) = (
            u32::from(right) * (width - 1),
            u32::from(below) * (height - 1),
        );
        let at = 3 * (y * width + x) as usize;
        [rgb[at], rgb[at + 1], rgb[at + 2]]
    }

    fn is_near(found: [u8; 3], wanted: [u8; 3]) -> bool {
        found.iter().zip(wanted).all(|(a, b)| a.abs_diff(b) < 30)
    }

    #[test]
    fn a_photo_is_made_smaller_and_keeps_its_colours() {
        let png = crate::png_file::encode(&quarters(3_200, 800), (3_200, 800), None).unwrap();
        let photo = Photo::read(&png).unwrap();
        assert_eq!(photo.size(), (1_600.0, 400.0));
        assert_eq!(corner(&photo, false, false), [220, 20, 20]);
        // as a JPEG file and back
        let again = Photo::read(&photo.jpeg().unwrap()).unwrap();
        assert_eq!(again.size(), photo.size());
        for (right, below, colour) in [
            (false, false, [220, 20, 20]),
            (true, false, [20, 200, 20]),
            (false, true, [20, 20, 220]),
            (true, true, [250, 250, 250]),
        ] {
            assert!(
                is_near(corner(&again, right, below), colour),
                "{right} {below}"
            );
        }
    }

    /// Exif 2.32, tag 0x0112: 6 is to be turned a quarter to the right.
    #[test]
    fn a_photo_is_turned_as_its_camera_says_and_says_nothing_of_place_and_time() {
        let photo = Photo::from_rgb(40, 20, &quarters(40, 20)).unwrap();
        let jpeg = photo.jpeg().unwrap();
        let exif: &[u8] = &[
            0xFF, 0xE1, 0, 34, b'E', b'x', b'i', b'f', 0, 0, b'M', b'M', 0, 42, 0, 0, 0, 8, 0, 1,
            0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0,
        ];
        let turned = [&jpeg[..2], exif, &jpeg[2..]].concat();
        let read = Photo::read(&turned).unwrap();
        assert_eq!(read.size(), (20.0, 40.0));
        // what was below on the left is above on the left
        assert!(is_near(corner(&read, false, false), [20, 20, 220]));
        let kept = read.jpeg().unwrap();
        assert!(!kept.windows(4).any(|w| w == b"Exif"));
    }

    #[test]
    fn what_is_no_photo_is_refused() {
        assert!(matches!(
            Photo::read(b"GIF89a"),
            Err(PhotoError::OtherFormat)
        ));
        assert!(matches!(Photo::read(b""), Err(PhotoError::OtherFormat)));
        let jpeg = Photo::from_rgb(40, 20, &quarters(40, 20))
            .unwrap()
            .jpeg()
            .unwrap();
        let why = Photo::read(&jpeg[..40]).unwrap_err().to_string();
        assert!(why.contains("save it anew"), "{why}");
        let large = vec![0xFF; 20 * 1024 * 1024 + 1];
        assert!(matches!(
            Photo::read(&large),
            Err(PhotoError::TooLarge { .. })
        ));
        // a header that promises more pixels than are read
        let mut png = crate::png_file::encode(&quarters(4, 4), (4, 4), None).unwrap();
        png[16..20].copy_from_slice(&60_000_u32.to_be_bytes());
        assert!(matches!(
            Photo::read(&png),
            Err(PhotoError::Unreadable { .. })
        ));
        assert!(Photo::from_rgb(1_601, 1, &[0; 3 * 1_601]).is_none());
        assert!(Photo::from_rgb(2, 2, &[0; 11]).is_none());
    }
}
