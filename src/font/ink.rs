//! What a pixel of a sheet means: ink, paper, half-grey, guide; by a stated threshold and stated colours.

use crate::source::PixelInk;
use crate::whole::limited;

/// Which pixels are drawn strokes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Polarity {
    /// Light pixels are ink; dark and clear ones are paper.
    #[default]
    Light,
    /// Dark pixels are ink; light and clear ones are paper.
    Dark,
    /// Opaque pixels are ink whatever their colour; clear ones are paper.
    Opaque,
}

/// The rule by which pixels are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InkRule {
    pub polarity: Polarity,
    /// The least strength (0 to 255) that counts as ink.
    pub threshold: u8,
    /// Pixels of this colour are guides and count as paper.
    pub guide: Option<[u8; 3]>,
    /// Pixels of this colour mark the advance and count as paper.
    pub mark: Option<[u8; 3]>,
}

/// What a pixel means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    Paper,
    Ink,
    /// Neither clearly ink nor clearly paper; the strength (0 to 255) decides by the threshold.
    Grey(u8),
    Guide,
    /// Nearly the guide's colour, read as a guide.
    NearGuide([u8; 3]),
    /// Marks the last column before the next glyph.
    Advance,
}

/// How far each channel may be from the guide's colour and still be meant as a guide: a colour picker's slip, no more.
const GUIDE_SLIP: u8 = 12;

impl InkRule {
    /// What a pixel means. It is half-grey when its strength is nearer to the threshold than to the end of the scale on its
    /// side of it.
    pub fn mark(&self, pixel: PixelInk) -> Mark {
        const SOLID: u8 = 128;
        if pixel.opacity >= SOLID {
            if self.mark == Some(pixel.colour) {
                return Mark::Advance;
            }
            match self.guide.map(|guide| slip(guide, pixel.colour)) {
                Some(0) => return Mark::Guide,
                Some(slip) if slip <= GUIDE_SLIP => return Mark::NearGuide(pixel.colour),
                _ => {}
            }
        }
        let strength = self.strength(pixel);
        let threshold = u16::from(self.threshold);
        match u16::from(strength) {
            weak if weak * 2 <= threshold => Mark::Paper,
            strong if strong * 2 >= threshold + 255 => Mark::Ink,
            _ => Mark::Grey(strength),
        }
    }

    /// Whether a half-grey pixel of this strength counts as ink.
    pub fn counts_as_ink(&self, strength: u8) -> bool {
        strength >= self.threshold
    }

    fn strength(&self, pixel: PixelInk) -> u8 {
        let shade = match self.polarity {
            Polarity::Light => pixel.lightness,
            Polarity::Dark => 255 - pixel.lightness,
            Polarity::Opaque => 255,
        };
        limited((u32::from(shade) * u32::from(pixel.opacity) + 127) / 255)
    }
}

/// The largest difference in one channel.
fn slip(a: [u8; 3], b: [u8; 3]) -> u8 {
    a.iter().zip(b).map(|(one, other)| one.abs_diff(other)).max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pixel(colour: [u8; 3], opacity: u8) -> PixelInk {
        PixelInk { lightness: colour[1], opacity, colour }
    }

    #[test]
    fn the_threshold_the_polarity_and_the_guide_decide() {
        let rule = InkRule { polarity: Polarity::Light, threshold: 128, guide: Some([40, 90, 160]), mark: None };
        assert_eq!(rule.mark(pixel([255; 3], 255)), Mark::Ink);
        assert_eq!(rule.mark(pixel([255; 3], 0)), Mark::Paper);
        assert_eq!(rule.mark(pixel([64; 3], 255)), Mark::Paper);
        assert_eq!(rule.mark(pixel([65; 3], 255)), Mark::Grey(65));
        assert_eq!(rule.mark(pixel([191; 3], 255)), Mark::Grey(191));
        assert_eq!(rule.mark(pixel([192; 3], 255)), Mark::Ink);
        assert_eq!(rule.mark(pixel([40, 90, 160], 255)), Mark::Guide);
        assert_eq!(rule.mark(pixel([41, 90, 160], 255)), Mark::NearGuide([41, 90, 160]));
        let dark = InkRule { polarity: Polarity::Dark, ..rule };
        assert_eq!(dark.mark(pixel([0; 3], 255)), Mark::Ink);
        assert_eq!(dark.mark(pixel([255; 3], 255)), Mark::Paper);
        assert_eq!(dark.mark(pixel([0; 3], 0)), Mark::Paper);
        let opaque = InkRule { polarity: Polarity::Opaque, ..rule };
        assert_eq!(opaque.mark(pixel([0; 3], 255)), Mark::Ink);
        for threshold in 1..=255u8 {
            let rule = InkRule { threshold, ..rule };
            assert_eq!((rule.mark(pixel([0; 3], 255)), rule.mark(pixel([255; 3], 255))), (Mark::Paper, Mark::Ink));
        }
    }
}
