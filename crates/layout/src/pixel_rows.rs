//! A picture from others as plain pixels.

use std::sync::Arc;

/// Red, green and blue of each pixel on white paper, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PixelRows {
    width: u32,
    height: u32,
    rgb: Arc<[u8]>,
}

impl PixelRows {
    /// `None` when there are no pixels, more than `most` across and down, or not three bytes
    /// for each.
    pub(crate) fn new(
        (width, height): (u32, u32),
        rgb: impl Into<Arc<[u8]>>,
        most: (u32, u32),
    ) -> Option<Self> {
        let rgb = rgb.into();
        let fits = (1..=most.0).contains(&width)
            && (1..=most.1).contains(&height)
            && rgb.len() == 3 * width as usize * height as usize;
        fits.then_some(Self { width, height, rgb })
    }

    /// Of a picture that was drawn here, whose size is known to fit.
    pub(crate) fn drawn((width, height): (u32, u32), rgb: Arc<[u8]>) -> Self {
        Self { width, height, rgb }
    }

    /// Width, height, and the bytes.
    pub(crate) fn parts(&self) -> (u32, u32, &[u8]) {
        (self.width, self.height, &self.rgb)
    }

    /// Width and height, pixels.
    pub(crate) fn size(&self) -> (f64, f64) {
        (f64::from(self.width), f64::from(self.height))
    }
}
