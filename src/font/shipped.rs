//! The fonts that ship with the program, for captions and for shows that bring no font of their own.

use super::describe::Fallback;
use super::face::{Font, Metrics};
use crate::diag::{Findings, Place};
use crate::source::{FilesInMemory, Reader};
use std::path::Path;

/// One shipped font: its name, its description and its sheet.
pub struct Shipped {
    pub name: &'static str,
    pub ron: &'static str,
    pub png: &'static [u8],
}

macro_rules! shipped {
    ($($name:literal),*) => {
        &[$(Shipped {
            name: $name,
            ron: include_str!(concat!("../../fonts/", $name, ".ron")),
            png: include_bytes!(concat!("../../fonts/", $name, ".png")),
        }),*]
    };
}

/// Every shipped font, the smallest first.
pub const SHIPPED: &[Shipped] = shipped!["cleat", "thole", "binnacle", "sextant", "chandlery"];

/// The shipped font of this name.
pub fn shipped(name: &str) -> Option<&'static Shipped> {
    SHIPPED.iter().find(|font| font.name == name)
}

impl Font {
    /// A shipped font by its name; a font of nothing but boxes when there is none of that name.
    pub fn shipped(name: &str) -> Self {
        let files = SHIPPED.iter().fold(FilesInMemory::default(), |files, font| {
            let with_ron = files.with(format!("{}.ron", font.name), font.ron);
            with_ron.with(format!("{}.png", font.name), font.png)
        });
        let mut findings = Findings::default();
        let path = Path::new(name).with_extension("ron");
        Font::load(&mut Reader::new(&files), &path, Place::Nowhere, &mut findings).unwrap_or_else(boxes)
    }
}

fn boxes() -> Font {
    let metrics = Metrics { cell: (3, 5), baseline: 5, cap_height: 5, gap: 1, space: 4, mono: Some(4) };
    Font::new("Boxes", metrics, Fallback::Nothing, Vec::new())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_shipped_font_is_found_by_its_name() {
        for font in SHIPPED {
            assert_eq!(Font::shipped(font.name).name().to_lowercase(), font.name);
        }
        assert_eq!(Font::shipped("none").name(), "Boxes");
    }
}
