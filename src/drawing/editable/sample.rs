//! Pixels as a PNG packs them, by colour type and depth (W3C PNG specification §7.2), and the colours that they mean.

use super::Colour16;
use crate::whole::limited;
use png::{BitDepth, ColorType};

const OPAQUE: u16 = u16::MAX;
/// The most colours of a palette (§11.2.2).
const MOST_COLOURS: usize = 256;

/// Packed rows with what gives them their meaning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Samples {
    pub kind: ColorType,
    pub depth: BitDepth,
    /// Rows from the top; each begins with a new byte.
    pub rows: Vec<u8>,
    /// The colours of a palette.
    palette: Vec<[u8; 4]>,
    /// How many of them the file had.
    palette_before: usize,
    /// The grey or colour that counts as clear.
    key: Option<Vec<u16>>,
}

impl Samples {
    /// What the head of a PNG says of its pixels; no rows yet.
    pub fn of(info: &png::Info<'_>) -> Self {
        let transparency = info.trns.as_deref().unwrap_or(&[]);
        let opacity = |index: usize| transparency.get(index).copied().unwrap_or(u8::MAX);
        let colours = info.palette.as_deref().unwrap_or(&[]).chunks_exact(3).enumerate();
        let palette: Vec<[u8; 4]> = match info.color_type {
            ColorType::Indexed => colours.map(|(index, rgb)| [rgb[0], rgb[1], rgb[2], opacity(index)]).collect(),
            _ => Vec::new(),
        };
        let keyed = matches!(info.color_type, ColorType::Grayscale | ColorType::Rgb) && transparency.len() >= 2;
        let key = transparency.chunks_exact(2).map(|two| u16::from_be_bytes([two[0], two[1]])).collect();
        Self {
            kind: info.color_type,
            depth: info.bit_depth,
            rows: Vec::new(),
            palette_before: palette.len(),
            palette,
            key: keyed.then_some(key),
        }
    }

    fn channels(&self) -> usize {
        self.kind.samples()
    }
    fn bits(&self) -> usize {
        self.depth as usize
    }
    /// The highest value of a sample.
    fn highest(&self) -> u32 {
        (1 << self.bits()) - 1
    }
    /// Bytes of a row.
    pub fn row_bytes(&self, width: u32) -> usize {
        (width as usize * self.channels() * self.bits()).div_ceil(8)
    }
    /// Whether the palette took in colours.
    pub fn palette_grew(&self) -> bool {
        self.palette.len() > self.palette_before
    }
    /// The palette as a `PLTE` chunk has it.
    pub fn palette_bytes(&self) -> Option<Vec<u8>> {
        let indexed = self.kind == ColorType::Indexed;
        indexed.then(|| self.palette.iter().flat_map(|[red, green, blue, _]| [*red, *green, *blue]).collect())
    }
    /// What a `tRNS` chunk has.
    pub fn transparency_bytes(&self) -> Option<Vec<u8>> {
        if let Some(key) = &self.key {
            return Some(key.iter().flat_map(|sample| sample.to_be_bytes()).collect());
        }
        let last = self.palette.iter().rposition(|[.., opacity]| *opacity != u8::MAX)?;
        Some(self.palette[..=last].iter().map(|[.., opacity]| *opacity).collect())
    }

    /// One sample of a pixel.
    fn sample(&self, width: u32, (x, y): (u32, u32), channel: usize) -> u16 {
        let row = y as usize * self.row_bytes(width);
        let index = x as usize * self.channels() + channel;
        match self.bits() {
            16 => u16::from_be_bytes([self.rows[row + index * 2], self.rows[row + index * 2 + 1]]),
            bits => {
                let byte = self.rows[row + index * bits / 8];
                u16::from(byte >> (8 - bits - index * bits % 8)) & limited::<u16, u32>(self.highest())
            }
        }
    }

    fn put(&mut self, width: u32, (x, y): (u32, u32), channel: usize, value: u16) {
        let row = y as usize * self.row_bytes(width);
        let index = x as usize * self.channels() + channel;
        match self.bits() {
            16 => self.rows[row + index * 2..row + index * 2 + 2].copy_from_slice(&value.to_be_bytes()),
            bits => {
                let shift = 8 - bits - index * bits % 8;
                let mask = limited::<u8, u32>(self.highest()) << shift;
                let byte = &mut self.rows[row + index * bits / 8];
                *byte = *byte & !mask | limited::<u8, u16>(value) << shift & mask;
            }
        }
    }

    /// A sample spread over 16 bits (§13.12).
    fn spread(&self, value: u16) -> u16 {
        limited(u32::from(value) * u32::from(u16::MAX) / self.highest())
    }
    /// The nearest sample of 16 bits.
    fn narrowed(&self, value: u16) -> u16 {
        let most = u32::from(u16::MAX);
        limited((u64::from(value) * u64::from(self.highest()) + u64::from(most / 2)) / u64::from(most))
    }

    /// The colour of a pixel of the picture.
    pub fn colour(&self, width: u32, x: u32, y: u32) -> Colour16 {
        let raw = |channel| self.sample(width, (x, y), channel);
        let clear = |samples: &[u16]| if self.key.as_deref() == Some(samples) { 0 } else { OPAQUE };
        let wide = |channel| self.spread(raw(channel));
        match self.kind {
            ColorType::Grayscale => [wide(0), wide(0), wide(0), clear(&[raw(0)])],
            ColorType::Rgb => [wide(0), wide(1), wide(2), clear(&[raw(0), raw(1), raw(2)])],
            ColorType::GrayscaleAlpha => [wide(0), wide(0), wide(0), wide(1)],
            ColorType::Rgba => [wide(0), wide(1), wide(2), wide(3)],
            ColorType::Indexed => {
                let entry = self.palette.get(usize::from(raw(0))).copied().unwrap_or([0, 0, 0, u8::MAX]);
                entry.map(|value| u16::from(value) * 257)
            }
        }
    }

    /// Gives a pixel the nearest colour that can be held.
    pub fn set(&mut self, (width, height): (u32, u32), at: (u32, u32), colour: Colour16) {
        let values = match self.kind {
            ColorType::Indexed => vec![self.index_of((width, height), colour.map(|value| (value / 257) as u8))],
            _ => self.samples_of(colour),
        };
        for (channel, value) in values.into_iter().enumerate() {
            self.put(width, at, channel, value);
        }
    }

    fn samples_of(&self, colour: Colour16) -> Vec<u16> {
        let [red, green, blue, opacity] = colour;
        let colours = match self.kind {
            // Weights of ITU-R BT.709, as sheets are read.
            ColorType::Grayscale | ColorType::GrayscaleAlpha => {
                let grey = 2126 * u64::from(red) + 7152 * u64::from(green) + 722 * u64::from(blue);
                vec![limited((grey + 5000) / 10_000)]
            }
            _ => vec![red, green, blue],
        };
        let mut samples: Vec<u16> = colours.into_iter().map(|value| self.narrowed(value)).collect();
        match self.kind {
            ColorType::GrayscaleAlpha | ColorType::Rgba => samples.push(self.narrowed(opacity)),
            _ => match &self.key {
                Some(key) if opacity < OPAQUE / 2 => samples.clone_from(key),
                // The next value, so that an opaque pixel does not become clear.
                Some(key) if *key == samples => {
                    let last = samples.len() - 1;
                    samples[last] = if samples[last] > 0 { samples[last] - 1 } else { 1 };
                }
                _ => {}
            },
        }
        samples
    }

    /// The place of a colour in the palette, which takes it in if it can, with more bits a pixel where that needs them.
    fn index_of(&mut self, (width, height): (u32, u32), colour: [u8; 4]) -> u16 {
        if let Some(known) = self.palette.iter().position(|known| *known == colour) {
            return limited(known);
        }
        if self.palette.len() == MOST_COLOURS {
            let far = |known: &[u8; 4]| -> u32 {
                known.iter().zip(colour).map(|(one, other)| u32::from(one.abs_diff(other)).pow(2)).sum()
            };
            let nearest = self.palette.iter().enumerate().min_by_key(|(_, known)| far(known));
            return nearest.map_or(0, |(index, _)| limited(index));
        }
        self.palette.push(colour);
        if self.palette.len() > 1 << self.bits() {
            self.deepen(width, height);
        }
        limited(self.palette.len() - 1)
    }

    /// Packs all pixels again with twice the bits.
    fn deepen(&mut self, width: u32, height: u32) {
        let depth = match self.depth {
            BitDepth::One => BitDepth::Two,
            BitDepth::Two => BitDepth::Four,
            _ => BitDepth::Eight,
        };
        let mut deeper = Self { depth, rows: Vec::new(), palette: Vec::new(), key: None, ..self.clone() };
        deeper.rows = vec![0; deeper.row_bytes(width) * height as usize];
        for (x, y) in (0..height).flat_map(|y| (0..width).map(move |x| (x, y))) {
            deeper.put(width, (x, y), 0, self.sample(width, (x, y), 0));
        }
        (self.depth, self.rows) = (depth, deeper.rows);
    }
}
