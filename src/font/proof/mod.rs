//! A proof of a font: every glyph with its code and name, lines set in it at real size and enlarged, and the pairs that are
//! most easily taken for one another, as one picture.

mod glyphs;
mod lines;
mod page;
mod pairs;
mod real;
mod summary;

pub use real::ProofScreen;
pub use summary::{alphabet, description};

use super::canvas::RgbColour;
use super::face::{Font, GlyphId};
use page::Page;

/// What is proved, and for which display and screen.
#[derive(Clone, Debug)]
pub struct Proof<'a> {
    /// The font.
    pub font: &'a Font,
    /// Lines that are set in the font.
    pub lines: Vec<String>,
    /// The glyphs among which similar pairs are searched.
    pub among: Vec<GlyphId>,
    /// The display.
    pub panel: ProofPanel,
    /// The screen on which the proof is viewed.
    pub screen: ProofScreen,
}

/// The display on which the font is to be read.
#[derive(Clone, Debug, PartialEq)]
pub struct ProofPanel {
    /// The name of the panel.
    pub name: String,
    /// Millimetres from pixel to pixel, across and down.
    pub pitch_millimetres: (f64, f64),
    /// Millimetres of the lit part of a pixel, across and down.
    pub dot_millimetres: (f64, f64),
    /// The colour of a lit pixel.
    pub lit: RgbColour,
}

/// Glyphs beyond this many are left out of the picture, with a word about it.
pub const MOST_GLYPHS: usize = 768;
/// The number of similar pairs that are shown.
pub const PAIRS: usize = 9;

/// The specimen as a PNG with the screen's density in it; `Err` says in words why there is none.
pub fn specimen(proof: &Proof<'_>) -> Result<Vec<u8>, String> {
    let height = draw(proof, 1).used();
    let page = draw(proof, height);
    page.canvas
        .to_palette_png(Some(proof.screen.pixels_a_metre()))
        .ok_or_else(|| "the specimen cannot be written as PNG".into())
}

/// Draws everything on a page of this height; what lies below it is measured and not drawn.
fn draw(proof: &Proof<'_>, height: u32) -> Page {
    let mut page = Page::new(height);
    summary::draw(proof, &mut page);
    lines::draw(proof, &mut page);
    pairs::draw(proof, &mut page);
    glyphs::draw(proof, &mut page);
    page
}

#[cfg(test)]
mod tests {
    use super::*;

    fn proof(font: &Font) -> Proof<'_> {
        let among = font.glyphs().map(|(id, ..)| id).collect();
        let panel = ProofPanel {
            name: "any".into(),
            pitch_millimetres: (0.13, 0.13),
            dot_millimetres: (0.11, 0.11),
            lit: [255; 3],
        };
        let screen = ProofScreen::new(96.0).expect("a density");
        Proof { font, lines: vec!["DEPTH 128 M".into()], among, panel, screen }
    }

    #[test]
    fn every_shipped_font_has_a_specimen_of_a_few_kilobytes_and_the_same_each_time() {
        for shipped in crate::font::SHIPPED {
            let font = Font::shipped(shipped.name);
            let png = specimen(&proof(&font)).expect("a picture");
            assert!(png.len() < 40_000, "{} takes {} bytes", shipped.name, png.len());
            assert_eq!(specimen(&proof(&font)), Ok(png));
        }
    }

    #[test]
    fn a_font_without_any_glyph_has_a_specimen_too() {
        let font = Font::shipped("none");
        assert!(specimen(&proof(&font)).is_ok());
    }
}
