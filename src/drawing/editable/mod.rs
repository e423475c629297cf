//! A PNG whose pixels can be changed: colour type, palette and all other chunks stay as they are.

mod chunk;
mod sample;

use crate::source::LIMITS;
use chunk::{PngChunk, chunks};
use sample::Samples;
use std::io::Cursor;

/// Red, green, blue and opacity, 0 to 65535 each; values of fewer bits are spread over the whole range.
pub type Colour16 = [u16; 4];

/// A PNG as chunks and samples. An interlaced one is written without interlace.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EditablePng {
    width: u32,
    height: u32,
    /// The chunks in their order, one `IDAT` in place of all.
    chunks: Vec<PngChunk>,
    samples: Samples,
}

/// Bytes that the decoder may take: those of the largest picture at its greatest depth, and its tables.
const MOST_DECODING_BYTES: usize = 160 << 20;

impl EditablePng {
    /// Reads a PNG of any colour type and depth (W3C PNG specification §11.2.1); `Err` says why not.
    pub fn read(bytes: &[u8]) -> Result<Self, String> {
        let limits = png::Limits { bytes: MOST_DECODING_BYTES };
        let mut decoder = png::Decoder::new_with_limits(Cursor::new(bytes), limits);
        decoder.set_transformations(png::Transformations::IDENTITY);
        let mut reader = decoder.read_info().map_err(|error| error.to_string())?;
        let info = reader.info();
        let (width, height) = (info.width, info.height);
        let pixels = u64::from(width) * u64::from(height);
        if width.max(height) > LIMITS.picture_side || pixels > LIMITS.picture_pixels {
            return Err(format!("it is {width}×{height} pixels, which is too large"));
        }
        let size = reader.output_buffer_size().ok_or("it is too large")?;
        let mut rows = vec![0; size];
        let mut samples = Samples::of(reader.info());
        let frame = reader.next_frame(&mut rows).map_err(|error| error.to_string())?;
        rows.truncate(frame.buffer_size());
        samples.rows = rows;
        Ok(Self { width, height, chunks: chunks(bytes)?, samples })
    }

    /// Width in pixels.
    pub fn width(&self) -> u32 {
        self.width
    }
    /// Height in pixels.
    pub fn height(&self) -> u32 {
        self.height
    }

    /// The colour of a pixel; `None` outside.
    pub fn colour(&self, x: u32, y: u32) -> Option<Colour16> {
        (x < self.width && y < self.height).then(|| self.samples.colour(self.width, x, y))
    }

    /// Gives a pixel a colour, or the nearest that the file's colour type can hold. A palette takes in a new colour while it has
    /// fewer than 256. Pixels outside are left alone.
    pub fn set(&mut self, x: u32, y: u32, colour: Colour16) {
        if x < self.width && y < self.height && self.samples.colour(self.width, x, y) != colour {
            self.samples.set((self.width, self.height), (x, y), colour);
        }
    }

    /// Adds rows below, or takes rows off, until there are `height`; new rows have one colour.
    pub fn resize(&mut self, height: u32, colour: Colour16) {
        let before = std::mem::replace(&mut self.height, height);
        let row = self.samples.row_bytes(self.width);
        self.samples.rows.resize(row * height as usize, 0);
        for y in before..height {
            (0..self.width).for_each(|x| self.set(x, y, colour));
        }
    }

    /// The file's bytes.
    pub fn write(&self) -> Result<Vec<u8>, String> {
        let fresh = chunks(&self.encoded().map_err(|error| error.to_string())?)?;
        Ok(chunk::joined(&self.chunks, &fresh, self.samples.palette_grew()))
    }

    /// The pixels as a PNG of their own, from which header, palette and data are taken.
    fn encoded(&self) -> Result<Vec<u8>, png::EncodingError> {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width, self.height);
        encoder.set_color(self.samples.kind);
        encoder.set_depth(self.samples.depth);
        if let Some(palette) = self.samples.palette_bytes() {
            encoder.set_palette(palette);
        }
        if let Some(transparency) = self.samples.transparency_bytes() {
            encoder.set_trns(transparency);
        }
        let mut writer = encoder.write_header()?;
        writer.write_image_data(&self.samples.rows)?;
        writer.finish()?;
        Ok(bytes)
    }
}
