//! The logo of somebody's claim, PNG or SVG.
//!
//! Input: the bytes of the picture.
//!
//! Promises: a picture of a bounded size or one line of words; the same picture every
//! time; what is drawn here is taken over unchanged by another process.
//!
//! The program draws logos in a process with limits, because the libraries that read
//! them may panic on a picture made for it. Here such a panic is a finding.

use report::Logo;

/// Longest file looked at; what makes files larger is more of the same.
const MOST_BYTES: usize = 16_384;

/// Checks one input.
pub fn check(data: &[u8]) {
    let data = &data[..data.len().min(MOST_BYTES)];
    match Logo::read(data) {
        Ok(logo) => {
            let (width, height, rgb) = logo.rgb();
            assert!(width <= Logo::MOST_PIXELS.0 && height <= Logo::MOST_PIXELS.1);
            let taken = Logo::from_rgb(width, height, rgb);
            assert_eq!(taken.as_ref(), Some(&logo), "not taken over");
            assert_eq!(Logo::read(data).ok(), Some(logo), "another picture");
        }
        Err(error) => {
            let said = error.to_string();
            assert!(!said.is_empty() && !said.contains('\n'), "{said:?}");
        }
    }
}
