//! Colours of pixels as a PNG file.

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
