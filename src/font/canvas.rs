//! A picture in colours on which sheets and proofs are drawn: areas, and text set in a font.

use super::face::Font;
use super::glyph::Glyph;
use crate::whole::limited;
use image::{DynamicImage, ImageFormat, Rgba, RgbaImage};
use std::collections::BTreeSet;
use std::io::Cursor;

/// Red, green and blue.
pub type RgbColour = [u8; 3];

/// A picture in colours; what lies outside is not drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetCanvas {
    image: RgbaImage,
}

/// How one pixel of the display is shown: a square of `lit` pixels every `pitch` pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dot {
    /// Pixels of the picture from one pixel of the display to the next.
    pub pitch: u32,
    /// Pixels of the side of the square.
    pub lit: u32,
}

impl Dot {
    /// Pixel for pixel.
    pub const SINGLE: Dot = Dot { pitch: 1, lit: 1 };

    /// Dots that are `pitch` pixels apart. The gap between them is a fifth of the pitch, as on such displays (rough figure), if it
    /// is at least a pixel.
    pub fn with_gap(pitch: u32) -> Self {
        Dot { pitch: pitch.max(1), lit: (pitch - pitch / 5).max(1) }
    }
}

impl SheetCanvas {
    /// A picture of one colour.
    pub fn new(width: u32, height: u32, colour: RgbColour) -> Self {
        Self { image: RgbaImage::from_pixel(width, height, opaque(colour)) }
    }
    /// A clear picture.
    pub fn clear(width: u32, height: u32) -> Self {
        Self { image: RgbaImage::new(width, height) }
    }
    /// Width in pixels.
    pub fn width(&self) -> u32 {
        self.image.width()
    }
    /// Height in pixels.
    pub fn height(&self) -> u32 {
        self.image.height()
    }

    /// The colour of a pixel; `None` outside.
    #[cfg(test)]
    pub fn get(&self, x: u32, y: u32) -> Option<RgbColour> {
        self.image.get_pixel_checked(x, y).map(|Rgba([red, green, blue, _])| [*red, *green, *blue])
    }

    /// Colours one pixel.
    pub fn set(&mut self, x: i64, y: i64, colour: RgbColour) {
        self.set_rgba(x, y, opaque(colour).0);
    }

    /// Gives one pixel its red, green, blue and opacity.
    pub fn set_rgba(&mut self, x: i64, y: i64, rgba: [u8; 4]) {
        if let (Ok(x), Ok(y)) = (u32::try_from(x), u32::try_from(y))
            && let Some(pixel) = self.image.get_pixel_mut_checked(x, y)
        {
            *pixel = Rgba(rgba);
        }
    }

    /// Colours an area.
    pub fn fill(&mut self, (x, y): (i64, i64), (width, height): (u32, u32), colour: RgbColour) {
        for row in y..y + i64::from(height) {
            for column in x..x + i64::from(width) {
                self.set(column, row, colour);
            }
        }
    }

    /// Colours the outline of an area, one pixel wide, inside it.
    pub fn frame(&mut self, (x, y): (i64, i64), (width, height): (u32, u32), colour: RgbColour) {
        let (right, bottom) = (x + i64::from(width) - 1, y + i64::from(height) - 1);
        self.fill((x, y), (width, 1), colour);
        self.fill((x, bottom), (width, 1), colour);
        self.fill((x, y), (1, height), colour);
        self.fill((right, y), (1, height), colour);
    }

    /// Draws a glyph with its pen at (x, y), where y is the top of the line.
    pub fn glyph(&mut self, glyph: &Glyph, (x, y): (i64, i64), dot: Dot, colour: RgbColour) {
        for (column, row) in glyph.pixels() {
            let at = (x + i64::from(column) * i64::from(dot.pitch), y + i64::from(row) * i64::from(dot.pitch));
            self.fill(at, (dot.lit, dot.lit), colour);
        }
    }

    /// Draws a line of text whose top left corner is (x, y).
    pub fn text(&mut self, font: &Font, text: &str, (x, y): (i64, i64), dot: Dot, colour: RgbColour) {
        for set in font.layout(text).sets {
            self.glyph(set.glyph, (x + i64::from(set.x) * i64::from(dot.pitch), y), dot, colour);
        }
    }

    /// The picture as a PNG, with opacity only where some pixel is not opaque; `None` when it is empty or beyond what PNG
    /// can hold.
    pub fn to_png(&self) -> Option<Vec<u8>> {
        let whole = DynamicImage::ImageRgba8(self.image.clone());
        let all_opaque = self.image.pixels().all(|Rgba([.., opacity])| *opacity == u8::MAX);
        let picture = if all_opaque { DynamicImage::ImageRgb8(whole.into_rgb8()) } else { whole };
        let mut bytes = Cursor::new(Vec::new());
        picture.write_to(&mut bytes, ImageFormat::Png).ok()?;
        Some(bytes.into_inner())
    }

    /// The picture as a PNG of palette indices, with the screen's pixels to the metre if they are given; as [`Canvas::to_png`]
    /// when it has more than 256 colours. Clear pixels count as opaque.
    pub fn to_palette_png(&self, pixels_a_metre: Option<u32>) -> Option<Vec<u8>> {
        let colours: BTreeSet<RgbColour> =
            self.image.pixels().map(|Rgba([red, green, blue, _])| [*red, *green, *blue]).collect();
        if colours.len() > MOST_COLOURS {
            return self.to_png();
        }
        let palette: Vec<RgbColour> = colours.into_iter().collect();
        let index = |colour: RgbColour| limited(palette.binary_search(&colour).unwrap_or(0));
        let indices: Vec<u8> =
            self.image.pixels().map(|Rgba([red, green, blue, _])| index([*red, *green, *blue])).collect();
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width(), self.height());
        encoder.set_color(png::ColorType::Indexed);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_compression(png::Compression::High);
        encoder.set_palette(palette.concat());
        encoder.set_pixel_dims(pixels_a_metre.map(|density| png::PixelDimensions {
            xppu: density,
            yppu: density,
            unit: png::Unit::Meter,
        }));
        let mut writer = encoder.write_header().ok()?;
        writer.write_image_data(&indices).ok()?;
        writer.finish().ok()?;
        Some(bytes)
    }
}

/// The most colours of a palette PNG (W3C PNG specification).
const MOST_COLOURS: usize = 256;

fn opaque([red, green, blue]: RgbColour) -> Rgba<u8> {
    Rgba([red, green, blue, u8::MAX])
}
