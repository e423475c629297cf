//! The colours of a display: by the light of its pixels, and by night or day around it.

use crate::font::RgbColour;
use crate::panel::{self, Tint};
use crate::whole::rounded;

/// The light around the display.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Surroundings {
    /// A dark hull: nothing shines but the display.
    #[default]
    Night,
    /// A lit room, of which the display reflects a part.
    Day,
}

/// The material of a display, to view the show on other displays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Pixels that shine, in these colours of rows.
    Shining(Tint),
    /// A reflecting grey LCD: pixels darken.
    GreyLcd,
}

/// Every colour of a display in its bezel under one light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tones {
    /// The bezel.
    pub bezel: RgbColour,
    /// The edge of the bezel around the opening.
    pub edge: RgbColour,
    /// The display between pixels, and its pixels that are off.
    pub glass: RgbColour,
    /// Pixels that are off.
    pub unlit: RgbColour,
    /// Pixels at the panel's own contrast, and those of a second colour.
    pub lit: RgbColour,
    /// Lit pixels of a second colour.
    pub second: RgbColour,
    /// Whether contrast changes nothing here.
    pub steady: bool,
}

/// Bezel and its edge by night and by day.
const NIGHT_BEZEL: [RgbColour; 2] = [[0x2a, 0x2c, 0x30], [0x5a, 0x5e, 0x66]];
const DAY_BEZEL: [RgbColour; 2] = [[0x8b, 0x8f, 0x96], [0xb8, 0xbc, 0xc4]];
const GLASS: RgbColour = [0x04, 0x05, 0x06];
const UNLIT: RgbColour = [0x10, 0x13, 0x16];
/// A reflecting LCD by day: background, unlit and dark pixels (chosen by eye).
const LCD: [RgbColour; 3] = [[150, 160, 140], [143, 153, 133], [38, 46, 40]];
/// What is left of it in a dark hull.
const LCD_BY_NIGHT: f64 = 0.45;
/// By day the display sends back a twenty-fifth of a white room's light (common practice for bare display, 4 % a surface), which
/// as a screen's value is a fifth; so lit pixels stand out less.
const REFLECTED: f64 = 52.0;
const OWN_LIGHT_BY_DAY: f64 = 0.9;

impl Material {
    /// What a panel's display is made of.
    pub fn of(tint: Tint) -> Self {
        if tint == Tint::Crystal { Self::GreyLcd } else { Self::Shining(tint) }
    }

    /// The colours under a light.
    pub fn tones(self, surroundings: Surroundings) -> Tones {
        let [bezel, edge] = if surroundings == Surroundings::Day { DAY_BEZEL } else { NIGHT_BEZEL };
        match self {
            Self::Shining(tint) => {
                let (lit, second) = match tint {
                    Tint::Plain(colour) => (colour, colour),
                    Tint::Crystal => (panel::Colour::White, panel::Colour::White),
                    Tint::Split { upper, lower, .. } => (upper, lower),
                };
                let seen = |colour: RgbColour| match surroundings {
                    Surroundings::Night => colour,
                    Surroundings::Day => colour.map(|part| channel(f64::from(part) * OWN_LIGHT_BY_DAY + REFLECTED)),
                };
                let (lit, second) = (seen(lit.rgb()), seen(second.rgb()));
                Tones { bezel, edge, glass: seen(GLASS), unlit: seen(UNLIT), lit, second, steady: false }
            }
            Self::GreyLcd => {
                let part = if surroundings == Surroundings::Day { 1.0 } else { LCD_BY_NIGHT };
                let [glass, unlit, lit] = LCD.map(|colour| colour.map(|value| channel(f64::from(value) * part)));
                Tones { bezel, edge, glass, unlit, lit, second: lit, steady: true }
            }
        }
    }
}

/// Displays that a person can choose: name, description, material. A two-colour display changes its colour after a quarter of its
/// rows.
pub fn materials(rows: u32) -> [(&'static str, &'static str, Material); 6] {
    use panel::Colour::{Amber, Blue, Green, White, Yellow};
    let plain = |colour| Material::Shining(Tint::Plain(colour));
    let split = Tint::Split { upper: Yellow, lower: Blue, first_lower_row: rows / 4 };
    [
        ("white", "white", plain(White)),
        ("blue", "blue", plain(Blue)),
        ("split", "yellow and blue", Material::Shining(split)),
        ("amber", "amber", plain(Amber)),
        ("green", "green", plain(Green)),
        ("lcd", "LCD, grey", Material::GreyLcd),
    ]
}

/// The colours of a lit pixel at a contrast: the pixel, and the gap next to it, which gets some of its light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shine {
    pub dot: RgbColour,
    pub gap: RgbColour,
}

/// A screen's value goes with this root of the light.
pub(super) const GAMMA: f64 = 2.2;
/// What is left of a pixel's value at contrast 0: displays still glow a little (common practice).
const LEAST: f64 = 1.0 / 6.0;
/// The share of a pixel's value in the gap beside it, and what is added where the light is far above the reference.
const HALO: f64 = 0.12;
const GLARE: f64 = 0.38;
/// How far such a pixel itself turns white, as on a picture that is exposed too long.
const BLEACH: f64 = 0.6;

/// The shine of a pixel whose colour at the reference contrast is `full`. The current through a pixel is proportional to the
/// contrast (SSD1306 data sheet §8.8), and so is its light; the picture is exposed for the reference, so that what is darker
/// dims, and what is brighter bleaches and glares.
pub fn shine(full: RgbColour, tones: &Tones, contrast: u8, reference: u8) -> Shine {
    if tones.steady {
        return Shine { dot: full, gap: tones.glass };
    }
    let value = (f64::from(contrast) / f64::from(reference.max(1))).powf(1.0 / GAMMA);
    let share = LEAST + (1.0 - LEAST) * value.min(1.0);
    let beyond = (value - 1.0).clamp(0.0, 1.0);
    let dimmed = mixed(tones.unlit, full, share);
    let dot = mixed(dimmed, [u8::MAX; 3], beyond * BLEACH);
    Shine { dot, gap: mixed(tones.glass, dot, HALO * share + GLARE * beyond) }
}

fn mixed(from: RgbColour, to: RgbColour, share: f64) -> RgbColour {
    let mix = |at: usize| channel(f64::from(from[at]) + (f64::from(to[at]) - f64::from(from[at])) * share);
    [mix(0), mix(1), mix(2)]
}

fn channel(value: f64) -> u8 {
    // Clamped to what a byte holds.
    rounded(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NIGHT: Surroundings = Surroundings::Night;

    fn white() -> Tones {
        Material::Shining(Tint::Plain(panel::Colour::White)).tones(NIGHT)
    }

    /// Worked by hand: at the reference the full colour; at a quarter of the light the 2.2nd root is 0.5325, of which five
    /// sixths and the sixth that is always left make 0.6105; between 16 and 255 that is 162.
    #[test]
    fn the_reference_is_full_and_a_quarter_of_the_light_is_three_fifths_of_the_value() {
        let tones = Tones { unlit: [16; 3], ..white() };
        assert_eq!(shine([255; 3], &tones, 40, 40).dot, [255; 3]);
        assert_eq!(shine([255; 3], &tones, 10, 40).dot, [162; 3]);
    }

    #[test]
    fn more_light_is_always_brighter_in_the_dot_or_beside_it() {
        let tones = white();
        let sum = |contrast| {
            let Shine { dot, gap } = shine(tones.lit, &tones, contrast, 47);
            dot.iter().chain(&gap).map(|part| u32::from(*part)).sum::<u32>()
        };
        let light: Vec<u32> = (0..=255).map(sum).collect();
        assert!(light.is_sorted() && light[255] > light[47] + 100 && light[47] > light[8] + 100, "{light:?}");
    }

    #[test]
    fn by_day_the_glass_is_brighter_and_an_lcd_takes_its_light_from_there() {
        let shining = Material::Shining(Tint::Plain(panel::Colour::Amber));
        assert!(shining.tones(Surroundings::Day).glass > shining.tones(NIGHT).glass);
        let lcd = Material::GreyLcd.tones(Surroundings::Day);
        assert!(lcd.lit < lcd.glass && lcd.glass > Material::GreyLcd.tones(NIGHT).glass);
        assert_eq!(shine(lcd.lit, &lcd, 0, 47).dot, lcd.lit, "contrast changes nothing");
    }
}
