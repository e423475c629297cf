//! Pictures for the page: bits packed for the script that draws them, and PNG as a data address.

use crate::render::Bitmap;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::write::DeflateEncoder;
use std::io::Write;

/// Rows from the top, each pixel a bit from the left, the first in the highest bit, each row filled up to whole bytes.
pub fn packed(picture: &Bitmap) -> Vec<u8> {
    let row = picture.width().div_ceil(8) as usize;
    let mut bytes = vec![0; row * picture.height() as usize];
    for (x, y) in picture.lit_pixels() {
        bytes[y.unsigned_abs() as usize * row + x.unsigned_abs() as usize / 8] |= 0x80 >> (x % 8);
    }
    bytes
}

/// Pictures of one size, each but the first as its difference from the one before.
pub fn differences<'a>(pictures: impl Iterator<Item = &'a Bitmap>) -> Vec<u8> {
    let mut before: Vec<u8> = Vec::new();
    let mut bytes = Vec::new();
    for picture in pictures {
        let now = packed(picture);
        bytes.extend(now.iter().enumerate().map(|(at, byte)| byte ^ before.get(at).copied().unwrap_or(0)));
        before = now;
    }
    bytes
}

/// The bytes deflated (RFC 1951) and in base 64.
pub fn deflated(bytes: &[u8]) -> Result<String, String> {
    with_effort(bytes, Compression::best())
}

/// As `deflated`, but faster and larger, for a page on the same machine.
pub fn quickly_deflated(bytes: &[u8]) -> Result<String, String> {
    with_effort(bytes, Compression::fast())
}

fn with_effort(bytes: &[u8], effort: Compression) -> Result<String, String> {
    let mut encoder = DeflateEncoder::new(Vec::new(), effort);
    let packed = encoder.write_all(bytes).and_then(|()| encoder.finish());
    packed.map(|packed| STANDARD.encode(packed)).map_err(|why| format!("the frames cannot be packed: {why}"))
}

/// A picture of palette indices as a data address of a PNG.
pub fn png_address(width: u32, height: u32, palette: &[[u8; 3]], indices: &[u8]) -> Result<String, String> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette.concat());
    let written = encoder.write_header().and_then(|mut writer| {
        writer.write_image_data(indices)?;
        writer.finish()
    });
    written.map_err(|why| format!("the map cannot be drawn: {why}"))?;
    Ok(format!("data:image/png;base64,{}", STANDARD.encode(bytes)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Read;

    #[test]
    fn pictures_come_back_from_their_differences() {
        let pictures: Vec<Bitmap> =
            ["#........\n........#\n", "##.......\n........#\n"].map(|text| text.parse().expect("drawn")).into();
        let bytes = differences(pictures.iter());
        assert_eq!(bytes, [0x80, 0, 0, 0x80, 0x40, 0, 0, 0]);
        let packed = STANDARD.decode(deflated(&bytes).expect("packed")).expect("base 64");
        let mut back = Vec::new();
        flate2::read::DeflateDecoder::new(&packed[..]).read_to_end(&mut back).expect("deflated");
        assert_eq!(back, bytes);
    }
}
