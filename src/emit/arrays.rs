//! Bare arrays for people with their own drawing code: single frames in page order.

use super::namer::{Case, Namer};
use super::text::{byte_rows, comment};
use crate::render::Bitmap;

/// A language that arrays are written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Language {
    /// C99.
    C,
    /// Rust.
    Rust,
}

/// Bytes to be written as an array, under a name and with a word about them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ArrayFile {
    /// The name of the array.
    pub name: String,
    /// What it contains, for the comment above it.
    pub words: String,
    /// The bytes.
    pub bytes: Vec<u8>,
}

impl ArrayFile {
    /// A picture in page order.
    pub fn picture(name: impl Into<String>, picture: &Bitmap) -> Self {
        let words = format!(
            "{} columns × {} pages: page by page from the top, column by column from the left, bit 0 on top",
            picture.width(),
            picture.height().div_ceil(8)
        );
        Self { name: name.into(), words, bytes: page_bytes(picture) }
    }
}

/// A picture in page order: one byte holds eight rows of a column, bit 0 on top (SSD1306 data sheet Rev 1.5 §8.7); rows
/// beyond the picture are 0.
pub fn page_bytes(picture: &Bitmap) -> Vec<u8> {
    let (width, height) = (picture.width().cast_signed(), picture.height().cast_signed());
    let byte = |x: i32, top: i32| (0..8).fold(0u8, |byte, row| byte | u8::from(picture.get(x, top + row)) << row);
    (0..height).step_by(8).flat_map(|top| (0..width).map(move |x| byte(x, top))).collect()
}

/// Writes arrays as one file; `title` says what they are.
pub fn frames_file(language: Language, title: &str, arrays: &[ArrayFile]) -> String {
    let mut namer = Namer::default();
    let case = if language == Language::C { Case::Snake } else { Case::Capitals };
    let mut text = match language {
        Language::C => format!("/* {}, made by pageloom. */\n{C_FLASH}", comment(title)),
        Language::Rust => format!("//! {}, made by pageloom.\n#![allow(dead_code)]\n", comment(title)),
    };
    for array in arrays {
        let name = namer.name("", &array.name, case);
        text.push_str(&array_text(language, &name, &array.words, &array.bytes));
    }
    text
}

/// Where constants live on parts that keep them in program memory.
pub const C_FLASH: &str = "#include <stdint.h>\n\n#ifndef PAGELOOM_FLASH\n#ifdef __AVR__\n#include <avr/pgmspace.h>\n\
     #define PAGELOOM_FLASH PROGMEM\n#else\n#define PAGELOOM_FLASH\n#endif\n#endif\n";

/// One array with a comment before it.
pub fn array_text(language: Language, name: &str, words: &str, bytes: &[u8]) -> String {
    let (count, words, rows) = (bytes.len(), comment(words), byte_rows(bytes));
    match language {
        Language::C => {
            let rows = rows.trim_end().trim_end_matches(',');
            format!("\n/* {words} */\nstatic const uint8_t {name}[{count}] PAGELOOM_FLASH = {{\n{rows}\n}};\n")
        }
        Language::Rust => format!("\n/// {words}\npub static {name}: [u8; {count}] = [\n{rows}];\n"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The quoteright of the BDF specification's sample as page bytes: 30 3F 1F 07.
    #[test]
    fn a_picture_goes_out_page_by_page_with_bit_0_on_top() {
        let drawn = ".###\n.###\n.###\n.##.\n###.\n##..\n";
        assert_eq!(page_bytes(&drawn.parse().expect("drawn")), [0x30, 0x3F, 0x1F, 0x07]);
        let tall: Bitmap = "#.\n..\n..\n..\n..\n..\n..\n..\n.#\n".parse().expect("drawn");
        assert_eq!(page_bytes(&tall), [1, 0, 0, 1]);
    }
}
