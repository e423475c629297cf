//! The appearance of the display: colours of lit and unlit pixels, the gap between them, and the bezel.

use super::raster::Raster;
use super::shown::Shown;
use super::tone::{Material, Shine, Surroundings, Tones, shine};
use crate::font::RgbColour;
use crate::panel::{self, Tint};
use crate::render::Bitmap;
use crate::whole::{limited, rounded};

/// The opening of the bezel in pixels, from the top left corner of the picture as the viewer sees it. It can be larger than the
/// picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BezelOpening {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
}

/// The appearance of a display.
#[derive(Clone, Debug)]
pub struct Look {
    /// Pixels of the preview from one pixel of the display to the next, and the side of its lit square.
    pub pitch: u32,
    /// The side of the lit square, in pixels of the preview.
    pub dot: u32,
    /// The same downwards, where pixels are not square.
    pub pitch_down: u32,
    /// The side of the lit square downwards.
    pub dot_down: u32,
    /// The colours.
    pub tones: Tones,
    /// The contrast at which lit pixels have their full colour.
    pub reference: u8,
    /// The pixels that shine in the second colour.
    pub second: Option<Bitmap>,
    /// The opening of the bezel; `None` for one that leaves the whole display free.
    pub opening: Option<BezelOpening>,
}

/// Palette entries that every preview has, [`RESERVED`] in all. After them come, for each contrast, the two colours and the gaps
/// next to them.
pub const BEZEL: u8 = 0;
pub const EDGE: u8 = 1;
pub const GLASS: u8 = 2;
pub const UNLIT: u8 = 3;
pub const PAPER: u8 = 4;
pub const WORDS: u8 = 5;
pub(super) const RESERVED: usize = 6;
const PAPER_COLOUR: RgbColour = [0x1c, 0x1e, 0x22];
const WORDS_COLOUR: RgbColour = [0xc8; 3];
/// Palette entries of a contrast: dots in both colours, then the gaps beside them where there are gaps.
const DOTS: usize = 2;
/// Where an LCD is still changing, a dot has the second colour, which is between lit and unlit.
const CHANGING: u8 = 1;
const WITH_GAPS: usize = 4;

/// Display and bezel shown around the picture, in pixels of the display; the bezel of a free display begins one pixel outside.
pub(super) const MARGIN: u32 = 3;
const FREE: f64 = 1.0;

/// The most entries of a palette in GIF89a and in PNG.
const MOST_COLOURS: usize = 256;

impl Look {
    /// A display of one colour at full contrast, with dots `pitch` pixels apart and a fifth of that between them.
    pub fn plain(lit: RgbColour, pitch: u32) -> Self {
        let pitch = pitch.max(1);
        let white = Material::Shining(Tint::Plain(panel::Colour::White)).tones(Surroundings::Night);
        let tones = Tones { lit, second: lit, ..white };
        let dot = (pitch - pitch / 5).max(1);
        let (pitch_down, dot_down) = (pitch, dot);
        Self { pitch, dot, pitch_down, dot_down, tones, reference: u8::MAX, second: None, opening: None }
    }
}

/// What lies at one column or row of the preview.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum PreviewSpot {
    Bezel,
    Edge,
    Glass,
    Dot(i32),
    /// After the dot of this place.
    Gap(i32),
}

/// An area of the preview: left, top, width, height in its pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PreviewArea {
    pub left: u32,
    pub top: u32,
    pub width: u32,
    pub height: u32,
}

/// Paints pictures with one appearance and one palette.
pub struct Painter<'a> {
    look: &'a Look,
    /// The contrasts that have colours, ascending, at least one.
    contrasts: Vec<u8>,
    columns: Vec<PreviewSpot>,
    rows: Vec<PreviewSpot>,
}

impl<'a> Painter<'a> {
    /// A painter for these pictures, which are all of one size.
    pub fn new(look: &'a Look, shown: &[Shown]) -> Self {
        let (width, height) = shown.first().map_or((1, 1), |shown| (shown.picture.width(), shown.picture.height()));
        let opening = look.opening.unwrap_or(BezelOpening {
            left: -FREE,
            top: -FREE,
            width: f64::from(width) + 2.0 * FREE,
            height: f64::from(height) + 2.0 * FREE,
        });
        Self {
            look,
            contrasts: contrasts(shown, (MOST_COLOURS - RESERVED) / of_a_contrast(look)),
            columns: spots((look.pitch, look.dot), width, opening.left, opening.width),
            rows: spots((look.pitch_down, look.dot_down), height, opening.top, opening.height),
        }
    }

    /// The whole preview.
    pub fn whole(&self) -> PreviewArea {
        PreviewArea { left: 0, top: 0, width: limited(self.columns.len()), height: limited(self.rows.len()) }
    }

    /// The area of the preview that shows pixels `left..=right`, `top..=bottom` of the display.
    pub fn area(&self, (left, top): (u32, u32), (right, bottom): (u32, u32)) -> PreviewArea {
        let (across, down) = (self.look.pitch, self.look.pitch_down);
        let (width, height) = ((right - left + 1) * across, (bottom - top + 1) * down);
        PreviewArea { left: (MARGIN + left) * across, top: (MARGIN + top) * down, width, height }
    }

    /// The palette: the fixed entries, then for each contrast the dots of both colours and the gaps next to them.
    pub fn palette(&self) -> Vec<RgbColour> {
        let Look { tones, reference, .. } = self.look;
        let fixed = [tones.bezel, tones.edge, tones.glass, tones.unlit, PAPER_COLOUR, WORDS_COLOUR];
        let colours = |contrast: &u8| {
            let [Shine { dot, gap }, second] =
                [tones.lit, tones.second].map(|full| shine(full, tones, *contrast, *reference));
            [dot, second.dot, gap, second.gap].into_iter().take(of_a_contrast(self.look))
        };
        fixed.into_iter().chain(self.contrasts.iter().flat_map(colours)).collect()
    }

    /// Paints an area of a picture.
    pub fn paint(&self, shown: &Shown, area: PreviewArea) -> Raster {
        let mut raster = Raster::new(area.width, area.height, GLASS);
        self.paint_onto(&mut raster, (0, 0), shown, area);
        raster
    }

    /// Paints an area of a picture with its top left corner at a place of a larger one.
    pub fn paint_onto(&self, raster: &mut Raster, at: (u32, u32), shown: &Shown, area: PreviewArea) {
        let level = self.contrasts.partition_point(|contrast| *contrast < shown.contrast).min(self.contrasts.len() - 1);
        let first_lit: u8 = limited(RESERVED + of_a_contrast(self.look) * level);
        for row in 0..area.height {
            let down = self.rows[(area.top + row) as usize];
            for column in 0..area.width {
                let index = match (self.columns[(area.left + column) as usize], down) {
                    (PreviewSpot::Bezel, _) | (_, PreviewSpot::Bezel) => BEZEL,
                    (PreviewSpot::Edge, _) | (_, PreviewSpot::Edge) => EDGE,
                    (PreviewSpot::Dot(x), PreviewSpot::Dot(y)) if shown.is_changing(x, y) => first_lit + CHANGING,
                    (PreviewSpot::Dot(x), PreviewSpot::Dot(y)) if shown.shines(x, y) => {
                        first_lit + self.second_colour(x, y)
                    }
                    (PreviewSpot::Dot(_), PreviewSpot::Dot(_)) => UNLIT,
                    (PreviewSpot::Dot(x) | PreviewSpot::Gap(x), PreviewSpot::Dot(y) | PreviewSpot::Gap(y))
                        if shown.shines(x, y) =>
                    {
                        first_lit + limited::<u8, usize>(DOTS) + self.second_colour(x, y)
                    }
                    _ => GLASS,
                };
                raster.set(i64::from(at.0 + column), i64::from(at.1 + row), index);
            }
        }
    }

    fn second_colour(&self, x: i32, y: i32) -> u8 {
        self.look.second.as_ref().is_some_and(|pixels| pixels.get(x, y)) as u8
    }
}

fn of_a_contrast(look: &Look) -> usize {
    if look.dot < look.pitch || look.dot_down < look.pitch_down { WITH_GAPS } else { DOTS }
}

/// What lies along one side of the preview: margin, `count` dots, margin, with the bezel over all but the opening.
fn spots((pitch, dot): (u32, u32), count: u32, opening_from: f64, opening_size: f64) -> Vec<PreviewSpot> {
    let length = (count + 2 * MARGIN) * pitch;
    let preview = |glass: f64| rounded::<i64>((glass + f64::from(MARGIN)) * f64::from(pitch));
    let (open, close) = (preview(opening_from), preview(opening_from + opening_size));
    (0..length)
        .map(|at| {
            let (place, within) = (i64::from(at / pitch) - i64::from(MARGIN), at % pitch);
            let from_opening = i64::from(at);
            if from_opening < open - 1 || from_opening > close {
                PreviewSpot::Bezel
            } else if from_opening == open - 1 || from_opening == close {
                PreviewSpot::Edge
            } else if (0..i64::from(count)).contains(&place) {
                if within < dot { PreviewSpot::Dot(limited(place)) } else { PreviewSpot::Gap(limited(place)) }
            } else {
                PreviewSpot::Glass
            }
        })
        .collect()
}

/// The contrasts of a show, each once; coarser steps when there are more than a palette holds.
fn contrasts(shown: &[Shown], most: usize) -> Vec<u8> {
    let mut step = 1u16;
    loop {
        let coarse = |contrast: u8| limited(u16::from(contrast).div_ceil(step) * step);
        let mut all: Vec<u8> = shown.iter().map(|shown| coarse(shown.contrast)).collect();
        all.sort_unstable();
        all.dedup();
        if all.is_empty() {
            all.push(u8::MAX);
        }
        if all.len() <= most {
            return all;
        }
        step *= 2;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(picture: &str, contrast: u8) -> Shown {
        let picture = picture.parse().expect("drawn");
        Shown {
            picture,
            frames: 1,
            stays: crate::units::Nanoseconds(1),
            contrast,
            on: true,
            scene: "s".into(),
            changing: None,
        }
    }

    fn drawn(look: &Look, shown: &Shown) -> String {
        let painter = Painter::new(look, std::slice::from_ref(shown));
        let raster = painter.paint(shown, painter.whole());
        let width = painter.whole().width as usize;
        let mark = |index: &u8| b"b+ .pw#2'\""[*index as usize] as char;
        raster.into_indices().chunks(width).map(|row| row.iter().map(mark).collect::<String>() + "\n").collect()
    }

    #[test]
    fn dots_stand_apart_inside_the_edge_of_the_bezel() {
        let look = Look { dot: 1, dot_down: 1, ..Look::plain([255; 3], 2) };
        let picture = drawn(&look, &shown("#.\n", 255));
        let rows: Vec<&str> = picture.lines().collect();
        assert_eq!(rows[6], "bbb+  #'.   +bbb", "{picture}");
        assert_eq!(rows[7], "bbb+  ''    +bbb", "{picture}");
        assert_eq!(rows.len(), 14, "{picture}");
    }

    #[test]
    fn what_lies_behind_the_bezel_is_covered_and_a_second_colour_shows() {
        let opening = BezelOpening { left: 1.0, top: 0.0, width: 1.0, height: 2.0 };
        let second = Some(".#\n..\n".parse().expect("drawn"));
        let look = Look { opening: Some(opening), second, ..Look::plain([255; 3], 1) };
        let picture = drawn(&look, &shown("##\n##\n", 255));
        assert_eq!(picture, "bbbbbbbb\nbbbbbbbb\nbbb+++bb\nbbb+2+bb\nbbb+#+bb\nbbb+++bb\nbbbbbbbb\nbbbbbbbb\n");
    }

    #[test]
    fn more_contrasts_than_a_palette_holds_are_taken_in_coarser_steps() {
        let all: Vec<Shown> = (0..=255).map(|contrast| shown("#\n", contrast)).collect();
        let look = Look::plain([200, 220, 255], 3);
        let painter = Painter::new(&look, &all);
        assert!(painter.palette().len() <= MOST_COLOURS);
    }
}
