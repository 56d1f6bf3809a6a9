//! The photo of somebody's job, JPEG or PNG.
//!
//! Input: the bytes of the picture.
//!
//! Promises: a picture of a bounded size or one line of words; the same picture every time;
//! what is read here is taken over unchanged by another process, and written as a JPEG that
//! reads back at the same size.
//!
//! The program reads photos in a process with limits, because the libraries may panic on a
//! picture made for it. Here such a panic is a finding.

use report::Photo;

/// Longest file looked at; what makes files larger is more of the same.
const MOST_BYTES: usize = 16_384;

/// Checks one input.
pub fn check(data: &[u8]) {
    let data = &data[..data.len().min(MOST_BYTES)];
    match Photo::read(data) {
        Ok(photo) => {
            let (width, height, rgb) = photo.rgb();
            assert!(width <= Photo::MOST_SIDE && height <= Photo::MOST_SIDE);
            let taken = Photo::from_rgb(width, height, rgb);
            assert_eq!(taken.as_ref(), Some(&photo), "not taken over");
            let written = photo.jpeg().and_then(|jpeg| Photo::read(&jpeg));
            let size = written.as_ref().map(|p| (p.rgb().0, p.rgb().1)).ok();
            assert_eq!(size, Some((width, height)), "not written");
            assert_eq!(Photo::read(data).ok(), Some(photo), "another picture");
        }
        Err(error) => {
            let said = error.to_string();
            assert!(!said.is_empty() && !said.contains('\n'), "{said:?}");
        }
    }
}
