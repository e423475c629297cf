//! A PNG picture as ink: each pixel lit, dark, clear or half-grey by a stated threshold; every colour type of PNG is read.

use super::Limits;
use image::{ImageDecoder, ImageReader};
use std::io::Cursor;

/// Bytes that the decoder may take: eight for each pixel of the largest picture, and its tables.
const MOST_DECODING_BYTES: u64 = 160 << 20;

/// A pixel of a picture, for a display with only lit and dark pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PixelInk {
    /// Lightness from 0 (black) to 255 (white), rounded from 0.2126 R + 0.7152 G + 0.0722 B (ITU-R BT.709 weights).
    pub lightness: u8,
    /// Opacity from 0 (clear) to 255.
    pub opacity: u8,
    /// The colour as read, for guides in a stated colour.
    pub colour: [u8; 3],
}

/// A picture as read; rows from the top, pixels from the left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourcePicture {
    width: u32,
    height: u32,
    inks: Vec<PixelInk>,
    /// Milliseconds of each picture of an animation, which stand side by side from the left; one 0 for a still picture.
    delays: Vec<u32>,
}

impl SourcePicture {
    /// Reads a PNG of any colour type and depth (1-bit, grey, palette, RGB, RGBA); `Err` says why not, in words.
    pub fn from_png(bytes: &[u8], limits: Limits) -> Result<Self, String> {
        let mut of_decoder = image::Limits::default();
        of_decoder.max_alloc = Some(MOST_DECODING_BYTES);
        let mut reader = ImageReader::with_format(Cursor::new(bytes), image::ImageFormat::Png);
        reader.limits(of_decoder);
        let decoder = reader.into_decoder().map_err(|error| error.to_string())?;
        let (width, height) = decoder.dimensions();
        Self::check_size(width, height, 1, limits)?;
        let image = image::DynamicImage::from_decoder(decoder).map_err(|error| error.to_string())?;
        Ok(Self::from_rgba(width, height, image.to_rgba8().as_raw()))
    }

    /// Returns whether a number of pictures of this size is within the limits.
    pub(super) fn check_size(width: u32, height: u32, count: u64, limits: Limits) -> Result<(), String> {
        let side = limits.picture_side;
        if width > side || height > side {
            return Err(format!("it is {width}×{height} pixels; the limit is {side}×{side}"));
        }
        let pixels = u64::from(width) * u64::from(height) * count;
        if pixels > limits.picture_pixels {
            return Err(format!("it has {pixels} pixels in total; the limit is {}", limits.picture_pixels));
        }
        if pixels > limits.all_pixels {
            let all = super::LIMITS.all_pixels;
            return Err(format!("this picture takes the pictures of the show beyond {all} pixels in total"));
        }
        Ok(())
    }

    /// A picture from rows of red, green, blue, opacity; missing bytes count as clear black.
    pub fn from_rgba(width: u32, height: u32, rgba: &[u8]) -> Self {
        let mut inks: Vec<PixelInk> =
            rgba.chunks_exact(4).map(|pixel| ink(pixel[0], pixel[1], pixel[2], pixel[3])).collect();
        inks.resize(width as usize * height as usize, ink(0, 0, 0, 0));
        Self { width, height, inks, delays: vec![0] }
    }

    /// An animation of pictures of equal height, side by side, each shown for the same number of milliseconds.
    pub(super) fn side_by_side(pictures: &[(Self, u32)]) -> Self {
        let height = pictures.iter().map(|(picture, _)| picture.height).max().unwrap_or(0);
        let width = pictures.iter().map(|(picture, _)| picture.width).sum();
        let clear = ink(0, 0, 0, 0);
        let row = |y: u32| {
            pictures
                .iter()
                .flat_map(move |(picture, _)| (0..picture.width).map(move |x| picture.ink(x, y).unwrap_or(clear)))
        };
        let inks = (0..height).flat_map(row).collect();
        Self { width, height, inks, delays: pictures.iter().map(|(_, delay)| *delay).collect() }
    }

    /// Width in pixels.
    pub fn width(&self) -> u32 {
        self.width
    }
    /// Height in pixels.
    pub fn height(&self) -> u32 {
        self.height
    }
    /// Milliseconds of each picture of an animation; a single entry for a still picture.
    pub fn delays(&self) -> &[u32] {
        &self.delays
    }
    /// Width of one picture of an animation; the whole width for a still picture.
    pub fn frame_width(&self) -> u32 {
        self.width / crate::whole::limited::<u32, usize>(self.delays.len()).max(1)
    }
    /// The pixel at column `x`, row `y`; `None` outside.
    pub fn ink(&self, x: u32, y: u32) -> Option<PixelInk> {
        (x < self.width && y < self.height).then(|| self.inks[(y * self.width + x) as usize])
    }
}

impl PixelInk {
    /// The ink of red, green, blue and opacity.
    pub fn of([red, green, blue, opacity]: [u8; 4]) -> Self {
        let weighted = 2126 * u32::from(red) + 7152 * u32::from(green) + 722 * u32::from(blue);
        // The weights add up to 10,000, so that the mean is a byte.
        let lightness = u8::try_from((weighted + 5000) / 10_000).unwrap_or(u8::MAX);
        PixelInk { lightness, opacity, colour: [red, green, blue] }
    }
}

fn ink(red: u8, green: u8, blue: u8, opacity: u8) -> PixelInk {
    PixelInk::of([red, green, blue, opacity])
}
