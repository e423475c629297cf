//! A picture of palette indices, and its PNG.

use crate::font::{Font, RgbColour};

/// Rows of palette indices from the top, each from the left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Raster {
    width: u32,
    height: u32,
    indices: Vec<u8>,
}

impl Raster {
    /// A picture of one colour.
    pub fn new(width: u32, height: u32, index: u8) -> Self {
        Self { width, height, indices: vec![index; width as usize * height as usize] }
    }
    /// The indices, row by row.
    pub fn into_indices(self) -> Vec<u8> {
        self.indices
    }
    /// Colours one pixel; nothing happens outside.
    pub fn set(&mut self, x: i64, y: i64, index: u8) {
        let (Ok(x), Ok(y)) = (u32::try_from(x), u32::try_from(y)) else { return };
        if x < self.width && y < self.height {
            self.indices[y as usize * self.width as usize + x as usize] = index;
        }
    }
    /// Draws a line of text with its top left corner at (x, y), each pixel of the font `size` pixels wide and high.
    pub fn text(&mut self, font: &Font, text: &str, (x, y): (i64, i64), size: u32, index: u8) {
        let size = i64::from(size);
        for (column, row) in font.layout(text).pixels() {
            for dot in 0..size * size {
                let (across, down) = (dot % size, dot / size);
                self.set(x + i64::from(column) * size + across, y + i64::from(row) * size + down, index);
            }
        }
    }

    /// The picture as a PNG with this palette; `Err` says in words why there is none.
    pub fn to_png(&self, palette: &[RgbColour]) -> Result<Vec<u8>, String> {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width, self.height);
        encoder.set_color(png::ColorType::Indexed);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_palette(palette.concat());
        let written = encoder.write_header().and_then(|mut writer| {
            writer.write_image_data(&self.indices)?;
            writer.finish()
        });
        written.map(|()| bytes).map_err(|why| format!("the filmstrip cannot be written as PNG: {why}"))
    }
}
