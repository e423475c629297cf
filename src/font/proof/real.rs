//! Real size: what a line takes on the display, drawn in as many pixels of a screen; each pixel of the screen as bright as the
//! share of it that lit dots cover.

use super::ProofPanel;
use crate::font::Font;
use crate::font::canvas::{RgbColour, SheetCanvas};
use crate::whole::rounded;

/// A screen by its pixels to the inch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProofScreen {
    pixels_an_inch: f64,
}

const MILLIMETRES_AN_INCH: f64 = 25.4;

impl ProofScreen {
    /// The lowest and highest density that is taken: a coarse old screen, and beyond any that a hand-held has.
    pub const DENSITIES: (f64, f64) = (40.0, 1200.0);
    /// The reference pixel of CSS: 1/96 inch (W3C CSS Values and Units).
    pub const USUAL: f64 = 96.0;

    /// A screen of this density; `None` beyond [`ProofScreen::DENSITIES`].
    pub fn new(pixels_an_inch: f64) -> Option<Self> {
        (Self::DENSITIES.0..=Self::DENSITIES.1).contains(&pixels_an_inch).then_some(Self { pixels_an_inch })
    }
    /// Pixels to the inch.
    pub fn pixels_an_inch(self) -> f64 {
        self.pixels_an_inch
    }
    /// Pixels to the metre, as PNG states a density.
    pub fn pixels_a_metre(self) -> u32 {
        rounded(self.pixels_an_inch * 1000.0 / MILLIMETRES_AN_INCH)
    }
    /// Pixels that a length takes.
    pub fn pixels(self, millimetres: f64) -> f64 {
        millimetres * self.pixels_an_inch / MILLIMETRES_AN_INCH
    }
}

/// Width and height on the screen, in pixels of the screen and rounded up, of a line of `width` display pixels.
pub fn size(font: &Font, width: i32, panel: &ProofPanel, screen: ProofScreen) -> (u32, u32) {
    let (across, down) = panel.pitch_millimetres;
    let side = |count: f64, pitch: f64| rounded::<u32>(screen.pixels(count * pitch).ceil()).max(1);
    (side(f64::from(width), across), side(f64::from(font.height()), down))
}

/// Draws a line of text as large as it is on the display.
pub fn draw(
    canvas: &mut SheetCanvas,
    font: &Font,
    text: &str,
    at: (i64, i64),
    (panel, screen): (&ProofPanel, ProofScreen),
    dark: RgbColour,
) {
    let line = font.layout(text);
    let (width, height) = size(font, line.width, panel, screen);
    let mut light = vec![0.0; (width * height) as usize];
    let span = |index: i32, pitch: f64, dot: f64| {
        let start = screen.pixels(f64::from(index) * pitch);
        (start, start + screen.pixels(dot))
    };
    for (x, y) in line.pixels() {
        let across = span(x, panel.pitch_millimetres.0, panel.dot_millimetres.0);
        let down = span(y, panel.pitch_millimetres.1, panel.dot_millimetres.1);
        for (row, share_down) in covered(down, height) {
            for (column, share_across) in covered(across, width) {
                light[(row * width + column) as usize] += share_down * share_across;
            }
        }
    }
    for (index, light) in (0..).zip(light) {
        let place = (at.0 + i64::from(index % width), at.1 + i64::from(index / width));
        canvas.set(place.0, place.1, mixed(dark, panel.lit, light));
    }
}

/// The pixels of the screen below `count` that a stretch covers, and the share of each.
fn covered((start, end): (f64, f64), count: u32) -> impl Iterator<Item = (u32, f64)> {
    let (first, last) = (rounded::<u32>(start.floor()), rounded::<u32>(end.ceil()).min(count));
    (first..last).map(move |pixel| (pixel, (end.min(f64::from(pixel) + 1.0) - start.max(f64::from(pixel))).max(0.0)))
}

/// Steps of brightness, so that a picture has few colours.
const STEPS: f64 = 15.0;

/// A colour so far between two by the share of light; a screen's value is taken as the square root of its light (a gamma of 2,
/// near the 2.2 of sRGB).
fn mixed(dark: RgbColour, lit: RgbColour, share: f64) -> RgbColour {
    let share = (share.clamp(0.0, 1.0).sqrt() * STEPS).round() / STEPS;
    std::array::from_fn(|channel| {
        let (dark, lit) = (f64::from(dark[channel]), f64::from(lit[channel]));
        rounded(dark + (lit - dark) * share)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const GLASS: f64 = 0.127;

    fn panel(dot: f64) -> ProofPanel {
        ProofPanel { name: "g".into(), pitch_millimetres: (GLASS, GLASS), dot_millimetres: (dot, dot), lit: [255; 3] }
    }

    /// 0.127 mm is 1/200 inch: at 200 pixels to the inch a pixel of the display is one of the screen, at 100 half of one.
    #[test]
    fn a_pixel_is_as_large_and_as_bright_as_it_is() {
        let font = Font::shipped("cleat");
        let screen = |density: f64| ProofScreen::new(density).expect("a density");
        assert_eq!(size(&font, 72, &panel(GLASS), screen(200.0)), (72, 5));
        assert_eq!(size(&font, 72, &panel(GLASS), screen(100.0)), (36, 3));
        assert_eq!(screen(254.0).pixels_a_metre(), 10_000);
        let mut canvas = SheetCanvas::new(8, 5, [0; 3]);
        draw(&mut canvas, &font, "I", (0, 0), (&panel(GLASS), screen(200.0)), [0; 3]);
        for (x, y) in (0..3).flat_map(|x| (0..5).map(move |y| (x, y))) {
            let lit = font.glyph('I').expect("there").lit(x, y);
            assert_eq!(canvas.get(x.unsigned_abs(), y), Some(if lit { [255; 3] } else { [0; 3] }));
        }
        // A block of lit pixels with dots of half the pitch gives a quarter of the light: half the value at a gamma of 2.
        let mut canvas = SheetCanvas::new(8, 5, [0; 3]);
        draw(&mut canvas, &font, "█", (0, 0), (&panel(GLASS / 2.0), screen(200.0)), [0; 3]);
        assert_eq!(canvas.get(1, 1), Some([136; 3]), "8/15 of 255");
        assert_eq!(ProofScreen::new(10.0), None);
    }
}
