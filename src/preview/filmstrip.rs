//! The filmstrip: for each scene its most telling frames side by side, the time below each, as a palette PNG; a scene that
//! was shown before, in this mode or another, is one frame.

use super::look::{Look, PAPER, Painter, WORDS};
use super::raster::Raster;
use super::shown::{Shown, merged};
use crate::diag::moment;
use crate::font::Font;
use crate::units::Nanoseconds;
use crate::whole::limited;

/// Frames in a row; a scene shows at most two rows of them.
const IN_A_ROW: usize = 6;
const MOST_OF_A_SCENE: usize = 2 * IN_A_ROW;
/// Pixels between frames, and around words.
const GAP: u32 = 12;
const WORD_GAP: u32 = 6;
/// Pixels of the strip to a pixel of the captions' font.
const WORD_SIZE: u32 = 2;

/// One picture of the strip and when it came up, from the show's start.
struct StripStill<'a> {
    shown: &'a Shown,
    from: Nanoseconds,
}

/// The filmstrip of a show, captions set in `font`; `Err` says in words why there is none. `modes` has the scenes that
/// modes made of others, each with the name of the other in the script.
pub fn filmstrip(shown: &[Shown], look: &Look, font: &Font, modes: &[(&str, &str)]) -> Result<Vec<u8>, String> {
    let runs = merged(shown);
    let scenes = scenes(&runs, modes);
    let painter = Painter::new(look, &runs);
    let strip = Strip { painter, font };
    let (places, height) = strip.places(&scenes);
    let width = GAP + limited::<u32, usize>(IN_A_ROW) * (strip.painter.whole().width + GAP);
    let mut raster = Raster::new(width, height, PAPER);
    for (stills, place) in scenes.iter().zip(places) {
        strip.draw_scene(&mut raster, place, stills);
    }
    raster.to_png(&strip.painter.palette())
}

/// The stills of each stretch of one scene, spread evenly over its changes, the first and the last among them; of a
/// scene that was shown before, in this mode or another, the first one only.
fn scenes<'a>(runs: &'a [Shown], modes: &[(&'a str, &'a str)]) -> Vec<Vec<StripStill<'a>>> {
    let mut scenes: Vec<Vec<StripStill<'_>>> = Vec::new();
    let mut from = Nanoseconds(0);
    for (index, shown) in runs.iter().enumerate() {
        let still = StripStill { shown, from };
        from += shown.stays;
        match scenes.last_mut() {
            Some(stills) if index > 0 && runs[index - 1].scene == shown.scene => stills.push(still),
            _ => scenes.push(vec![still]),
        }
    }
    let mut seen: Vec<&str> = Vec::new();
    for stills in &mut scenes {
        let Some(name) = stills.first().map(|still| still.shown.scene.as_str()) else { continue };
        let name = modes.iter().find(|(mode, _)| *mode == name).map_or(name, |(_, in_script)| in_script);
        if seen.contains(&name) {
            stills.truncate(1);
        } else {
            seen.push(name);
        }
    }
    scenes.into_iter().map(chosen).collect()
}

fn chosen(stills: Vec<StripStill<'_>>) -> Vec<StripStill<'_>> {
    let count = stills.len();
    if count <= MOST_OF_A_SCENE {
        return stills;
    }
    let wanted = |number: usize| (number * (count - 1) + (MOST_OF_A_SCENE - 1) / 2) / (MOST_OF_A_SCENE - 1);
    let places: Vec<usize> = (0..MOST_OF_A_SCENE).map(wanted).collect();
    stills.into_iter().enumerate().filter(|(place, _)| places.contains(place)).map(|(_, still)| still).collect()
}

struct Strip<'a> {
    painter: Painter<'a>,
    font: &'a Font,
}

impl Strip<'_> {
    fn word_height(&self) -> u32 {
        self.font.height() * WORD_SIZE
    }
    fn row_height(&self) -> u32 {
        self.painter.whole().height + WORD_GAP + self.word_height() + GAP
    }
    fn scene_height(&self, stills: usize) -> u32 {
        self.word_height() + WORD_GAP + limited::<u32, usize>(stills.div_ceil(IN_A_ROW)) * self.row_height() + GAP
    }

    /// Where each scene begins: its top, and how many frames stand left of it; and the height of the whole. Scenes of one frame stand
    /// side by side as far as their names have room.
    fn places(&self, scenes: &[Vec<StripStill<'_>>]) -> (Vec<(u32, usize)>, u32) {
        let (mut places, mut top, mut beside) = (Vec::new(), GAP, 0);
        for stills in scenes {
            let width = |still: &StripStill<'_>| self.font.width(&still.shown.scene).unsigned_abs() * WORD_SIZE;
            let alone = stills.len() == 1 && stills.iter().all(|still| width(still) <= self.painter.whole().width);
            if beside > 0 && (!alone || beside == IN_A_ROW) {
                (top, beside) = (top + self.scene_height(1), 0);
            }
            places.push((top, beside));
            if alone {
                beside += 1;
            } else {
                top += self.scene_height(stills.len());
            }
        }
        (places, if beside > 0 { top + self.scene_height(1) } else { top })
    }

    fn draw_scene(&self, raster: &mut Raster, (top, beside): (u32, usize), stills: &[StripStill<'_>]) {
        let whole = self.painter.whole();
        let left_of = |number: usize| GAP + limited::<u32, usize>((beside + number) % IN_A_ROW) * (whole.width + GAP);
        if let Some(first) = stills.first() {
            self.word(raster, &first.shown.scene, left_of(0), top);
        }
        for (number, still) in stills.iter().enumerate() {
            let left = left_of(number);
            let down =
                top + self.word_height() + WORD_GAP + limited::<u32, usize>(number / IN_A_ROW) * self.row_height();
            self.painter.paint_onto(raster, (left, down), still.shown, whole);
            let caption = moment(still.from.milliseconds() / 1e3);
            self.word(raster, &caption, left, down + whole.height + WORD_GAP);
        }
    }

    fn word(&self, raster: &mut Raster, word: &str, left: u32, top: u32) {
        raster.text(self.font, word, (i64::from(left), i64::from(top)), WORD_SIZE, WORDS);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_scene_is_told_by_its_first_and_last_picture_and_some_between() {
        let picture = |lit: usize| {
            let mut picture = crate::render::Bitmap::new(100, 1);
            (0..limited(lit)).for_each(|x| picture.set(x, 0, true));
            let scene = if lit < 90 { "a" } else { "b" }.into();
            Shown { picture, frames: 2, stays: Nanoseconds(2), contrast: 255, on: true, scene, changing: None }
        };
        let runs: Vec<Shown> = (0..93).map(picture).collect();
        let scenes = scenes(&runs, &[]);
        let from: Vec<Vec<u64>> =
            scenes.iter().map(|stills| stills.iter().map(|still| still.from.0).collect()).collect();
        assert_eq!((from[0].len(), from[0][0], from[0].last()), (MOST_OF_A_SCENE, 0, Some(&178)));
        assert_eq!(from[1], [180, 182, 184]);
    }

    #[test]
    fn a_scene_that_comes_again_is_one_frame() {
        let shown = |at: usize| {
            let mut picture = crate::render::Bitmap::new(9, 1);
            (0..limited(at)).for_each(|x| picture.set(x, 0, true));
            let scene = if (3..6).contains(&at) { "b" } else { "a" };
            Shown {
                picture,
                frames: 1,
                stays: Nanoseconds(1),
                contrast: 255,
                on: true,
                scene: scene.into(),
                changing: None,
            }
        };
        let runs: Vec<Shown> = (0..9).map(shown).collect();
        let counts: Vec<usize> = scenes(&runs, &[]).iter().map(Vec::len).collect();
        assert_eq!(counts, [3, 3, 1]);
        let modes: Vec<usize> = scenes(&runs, &[("b", "a")]).iter().map(Vec::len).collect();
        assert_eq!(modes, [3, 1, 1]);
    }
}
