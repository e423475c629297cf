//! Animations: the pictures of a GIF, each complete as a viewer would show it, or several PNG files, side by side as one strip.

use super::{Limits, SourcePicture};
use image::AnimationDecoder;
use image::codecs::gif::GifDecoder;
use std::io::Cursor;

/// The most pictures of one animation.
const MOST_PICTURES: u64 = 1000;
/// Milliseconds of a picture whose file gives no time (common practice of viewers).
const USUAL_DELAY: u32 = 100;

/// Whether the pictures of a GIF are within the limits, before any of them is unpacked. A picture's own size counts too: it may
/// be larger than the screen it is shown on (GIF89a §20).
fn check_frames(bytes: &[u8], limits: Limits) -> Result<(), String> {
    let mut options = gif::DecodeOptions::new();
    options.skip_frame_decoding(true);
    let mut decoder = options.read_info(bytes).map_err(|error| error.to_string())?;
    let (width, height) = (u32::from(decoder.width()), u32::from(decoder.height()));
    let mut count = 0;
    while let Some(frame) = decoder.next_frame_info().map_err(|error| error.to_string())? {
        count += 1;
        if count > MOST_PICTURES {
            return Err(format!("it has more than {MOST_PICTURES} pictures"));
        }
        SourcePicture::check_size(width, height, count, limits)?;
        SourcePicture::check_size(frame.width.into(), frame.height.into(), 1, limits)?;
    }
    Ok(())
}

impl SourcePicture {
    /// Reads an animated GIF: what each picture leaves or clears of the one before is done as GIF89a says; `Err` says why not.
    pub fn from_gif(bytes: &[u8], limits: Limits) -> Result<Self, String> {
        check_frames(bytes, limits)?;
        let decoder = GifDecoder::new(Cursor::new(bytes)).map_err(|error| error.to_string())?;
        let mut pictures = Vec::new();
        for frame in decoder.into_frames() {
            let frame = frame.map_err(|error| error.to_string())?;
            let (numerator, denominator) = frame.delay().numer_denom_ms();
            let delay = numerator / denominator.max(1);
            let image = frame.into_buffer();
            let picture = SourcePicture::from_rgba(image.width(), image.height(), image.as_raw());
            pictures.push((picture, if delay == 0 { USUAL_DELAY } else { delay }));
        }
        if pictures.is_empty() {
            return Err("it holds no picture".into());
        }
        Ok(Self::side_by_side(&pictures))
    }

    /// Whether the bytes begin as a GIF does (GIF89a §17).
    pub fn is_gif(bytes: &[u8]) -> bool {
        bytes.starts_with(b"GIF87a") || bytes.starts_with(b"GIF89a")
    }

    /// Pictures of one size as an animation with `delay` milliseconds each; `Err` says which one differs.
    pub fn sequence(pictures: Vec<SourcePicture>, delay: u32) -> Result<Self, String> {
        let size = pictures.first().map(|first| (first.width(), first.height()));
        let Some((width, height)) = size else { return Err("it holds no picture".into()) };
        for (number, picture) in pictures.iter().enumerate() {
            if (picture.width(), picture.height()) != (width, height) {
                let (other_width, other_height) = (picture.width(), picture.height());
                let number = number + 1;
                return Err(format!("picture {number} is {other_width}×{other_height}, the first {width}×{height}"));
            }
        }
        let timed: Vec<(SourcePicture, u32)> = pictures.into_iter().map(|picture| (picture, delay)).collect();
        Ok(Self::side_by_side(&timed))
    }
}
