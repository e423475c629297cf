//! BDF 2.1 and 2.2 (Glyph Bitmap Distribution Format, X Consortium and Adobe technote 5005) as written: numbers, names and
//! rows of bits with their places; what they mean for a font is decided elsewhere.

mod glyph;
mod lines;
mod parse;
mod properties;
#[cfg(test)]
mod tests;

pub use parse::parse_bdf;

use super::{Placed, Reader};
use crate::diag::{Findings, Place, Span};
use std::path::Path;

/// Bytes of one BDF file: the largest real ones, with all of Unicode's Basic Multilingual Plane, take about ten million.
const MOST_BYTES: usize = 16 << 20;
/// U+FEFF in UTF-8, which some editors put at the start of a text.
const BYTE_ORDER_MARK: &[u8] = b"\xEF\xBB\xBF";
/// The longest side of a box and the furthest offset or advance in pixels; real fonts stay below 256.
pub const LONGEST_SIDE: u32 = 1024;
/// Most faults that are reported one by one; a file with more is not a font.
const MOST_FAULTS: usize = 100;

/// A whole file.
#[derive(Clone, Debug)]
pub struct Bdf {
    /// The font's name: the rest of the line `FONT`.
    pub name: Placed<String>,
    /// The box that holds every glyph.
    pub bounds: Placed<BdfBox>,
    /// The properties in the order of the file.
    pub properties: Vec<(String, Placed<Property>)>,
    /// The glyphs in the order of the file.
    pub glyphs: Vec<BdfGlyph>,
}

/// The value of a property.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Property {
    Number(i32),
    Text(String),
}

/// A box in pixels: its width and height, and its lower left corner from the origin, to the right and upwards.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BdfBox {
    pub width: u32,
    pub height: u32,
    pub x: i32,
    pub y: i32,
}

/// One glyph.
#[derive(Clone, Debug)]
pub struct BdfGlyph {
    /// The rest of the line `STARTCHAR`.
    pub name: Placed<String>,
    /// The number after `ENCODING`; −1 for a glyph without a code.
    pub code: Placed<i32>,
    /// Pixels to the next origin, to the right.
    pub advance: Placed<i32>,
    /// The box of its pixels.
    pub bounds: Placed<BdfBox>,
    /// Rows from the top, each of whole bytes, the leftmost pixel in the highest bit; as many as the box is high.
    rows: Vec<Vec<u8>>,
}

impl BdfGlyph {
    /// Whether the pixel is lit: `x` from the left, `row` from the top of the box.
    pub fn lit(&self, x: u32, row: u32) -> bool {
        let byte = self.rows.get(row as usize).and_then(|row| row.get(x as usize / 8));
        x < self.bounds.value.width && byte.is_some_and(|byte| byte << (x % 8) & 0x80 != 0)
    }
}

impl Bdf {
    /// The property of a name.
    pub fn property(&self, name: &str) -> Option<&Placed<Property>> {
        self.properties.iter().find(|(known, _)| known == name).map(|(_, value)| value)
    }
    /// The number that a property holds.
    pub fn number(&self, name: &str) -> Option<i32> {
        match self.property(name)?.value {
            Property::Number(number) => Some(number),
            Property::Text(_) => None,
        }
    }
    /// The text that a property holds, and where.
    pub fn text(&self, name: &str) -> Option<(&str, Span)> {
        match self.property(name)? {
            Placed { value: Property::Text(text), span } => Some((text, *span)),
            _ => None,
        }
    }
}

impl Reader<'_> {
    /// Reads a BDF file; `None` when a finding says why not. Bytes that are not UTF-8 are taken as ISO 8859-1, as old files
    /// have them in comments and names.
    pub fn bdf(&mut self, path: &Path, asker: Place, findings: &mut Findings) -> Option<Bdf> {
        let bytes = self.bytes(path, MOST_BYTES, asker, findings)?;
        let bytes = bytes.strip_prefix(BYTE_ORDER_MARK).map(<[u8]>::to_vec).unwrap_or(bytes);
        let text = match String::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) => error.as_bytes().iter().map(|byte| char::from(*byte)).collect(),
        };
        let file = self.sources.add(path.to_string_lossy().replace('\\', "/"), text.as_str());
        parse_bdf(&text, file, findings)
    }
}
