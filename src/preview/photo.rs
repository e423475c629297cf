//! A still of the display as a camera close by sees it: light that spreads, a pane that reflects, pixels that have aged.

use super::look::{Look, MARGIN, Painter, RESERVED};
use super::shown::Shown;
use super::tone::GAMMA;
use crate::font::RgbColour;
use crate::whole::rounded;
use image::imageops::fast_blur;
use image::{ImageBuffer, ImageFormat, Rgb, RgbImage};
use std::io::Cursor;

/// Light, 0 to 1 a channel, proportional to what a sensor takes in.
type Light = ImageBuffer<Rgb<f32>, Vec<f32>>;

/// How far the light of a pixel spreads in the pane and in the lens, in pixels of the display, and how much of it (chosen by eye).
const SPREAD: [(f32, f32); 2] = [(0.7, 0.45), (4.0, 0.30)];
/// What the pane reflects at most, from its upper left corner on; by day what the tones already hold comes on top (chosen by eye).
const REFLECTION: f32 = 0.02;
/// The share of light that is lost in the corners of the picture (chosen by eye).
const VIGNETTE: f32 = 0.35;
/// The noise of the sensor, as a share of full light (chosen by eye).
const GRAIN: f32 = 0.006;
/// Pixels of a still across, about.
const WIDTH: u32 = 1_600;
/// Least and most pixels of the still to one of the display.
const PITCH: (u32, u32) = (4, 32);

/// Pixels of the still from one pixel of a display so wide to the next.
pub fn photo_pitch(width: u32) -> u32 {
    (WIDTH / (width + 2 * MARGIN)).clamp(PITCH.0, PITCH.1)
}

/// The still as a PNG. `left` is the part of its light that each pixel of the display still gives, row by row. Pixels beyond its
/// end are as new. `Err` says why this is not possible.
pub fn photo(shown: &Shown, look: &Look, left: &[f64]) -> Result<Vec<u8>, String> {
    let painter = Painter::new(look, std::slice::from_ref(shown));
    let area = painter.whole();
    let palette: Vec<[f32; 3]> = painter.palette().into_iter().map(linear).collect();
    let (mut scene, mut light) = (Light::new(area.width, area.height), Light::new(area.width, area.height));
    let indices = painter.paint(shown, area).into_indices();
    let places = (0..area.height).flat_map(|y| (0..area.width).map(move |x| (x, y)));
    for ((x, y), index) in places.zip(indices) {
        let colour = palette[usize::from(index)];
        let shines = usize::from(index) >= RESERVED;
        let share =
            if shines { share_left(left, (look.pitch, look.pitch_down), shown.picture.width(), (x, y)) } else { 1.0 };
        let target = if shines && !look.tones.steady { &mut light } else { &mut scene };
        target.put_pixel(x, y, Rgb(colour.map(|part| part * share)));
    }
    let halos: Vec<(Light, f32)> = SPREAD
        .iter()
        .filter(|_| !look.tones.steady)
        .map(|(pixels, share)| (fast_blur(&light, pixels * look.pitch as f32), *share))
        .collect();
    let picture = RgbImage::from_fn(area.width, area.height, |x, y| {
        let place = (x as f32 / area.width as f32, y as f32 / area.height as f32);
        let exposure = 1.0 - VIGNETTE * from_centre(place);
        let grain = GRAIN * sensor_noise(x, y);
        let sum = |channel: usize| {
            let spread: f32 = halos.iter().map(|(halo, share)| halo.get_pixel(x, y)[channel] * share).sum();
            scene.get_pixel(x, y)[channel] + light.get_pixel(x, y)[channel] + spread + reflection(place)
        };
        Rgb([0, 1, 2].map(|channel| to_screen(sum(channel) * exposure + grain)))
    });
    let mut bytes = Cursor::new(Vec::new());
    let written = picture.write_to(&mut bytes, ImageFormat::Png);
    written.map(|()| bytes.into_inner()).map_err(|why| format!("the still cannot be written as PNG: {why}"))
}

/// The share of light left in the pixel of the display that stands at a place of the still.
fn share_left(left: &[f64], pitch: (u32, u32), width: u32, (x, y): (u32, u32)) -> f32 {
    let [across, down] = [x / pitch.0, y / pitch.1].map(|at| at.saturating_sub(MARGIN));
    left.get((down * width + across) as usize).map_or(1.0, |share| single(*share))
}

/// The square of the distance from the centre, 1 in the corners.
fn from_centre((x, y): (f32, f32)) -> f32 {
    ((x - 0.5).powi(2) + (y - 0.5).powi(2)) * 2.0
}

/// A soft band across the upper left half, as of a window.
fn reflection((x, y): (f32, f32)) -> f32 {
    REFLECTION * (1.0 - (x + y)).clamp(0.0, 1.0)
}

/// A number from −1 to 1 for each place, the same in every picture.
fn sensor_noise(x: u32, y: u32) -> f32 {
    let mixed = (x.wrapping_mul(0x9E37_79B1) ^ y.wrapping_mul(0x85EB_CA77)).wrapping_mul(0xC2B2_AE3D);
    f32::from((mixed >> 16) as u16) / f32::from(u16::MAX) * 2.0 - 1.0
}

/// The rounded number in single precision, in which blurs are computed.
#[expect(clippy::cast_possible_truncation, reason = "there is no other conversion to single precision")]
fn single(value: f64) -> f32 {
    value as f32
}

fn linear(colour: RgbColour) -> [f32; 3] {
    colour.map(|part| single(libm::pow(f64::from(part) / f64::from(u8::MAX), GAMMA)))
}

fn to_screen(light: f32) -> u8 {
    rounded(libm::pow(f64::from(light.clamp(0.0, 1.0)), 1.0 / GAMMA) * f64::from(u8::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::Bitmap;
    use crate::units::Nanoseconds;

    fn still(pixels: &[(i32, i32)], left: &[f64]) -> RgbImage {
        let mut picture = Bitmap::new(8, 4);
        pixels.iter().for_each(|(x, y)| picture.set(*x, *y, true));
        let stays = Nanoseconds(1);
        let shown = Shown { picture, frames: 1, stays, contrast: 255, on: true, scene: "only".into(), changing: None };
        let bytes = photo(&shown, &Look::plain([200, 220, 255], 8), left).expect("a PNG");
        image::load_from_memory(&bytes).expect("a picture").to_rgb8()
    }

    fn light_at(picture: &RgbImage, (x, y): (u32, u32)) -> u32 {
        let pitch = 8;
        picture
            .get_pixel((MARGIN + x) * pitch + 2, (MARGIN + y) * pitch + 2)
            .0
            .iter()
            .map(|part| u32::from(*part))
            .sum()
    }

    #[test]
    fn a_lit_pixel_lights_its_neighbours_and_the_far_ones_less() {
        let picture = still(&[(1, 1)], &[]);
        assert_eq!(picture.dimensions(), ((8 + 2 * MARGIN) * 8, (4 + 2 * MARGIN) * 8));
        let [lit, beside, far] = [(1, 1), (2, 1), (6, 1)].map(|place| light_at(&picture, place));
        assert!(lit > beside + 100 && beside > far, "{lit} {beside} {far}");
    }

    #[test]
    fn a_pixel_that_has_aged_gives_less_light() {
        let mut left = vec![1.0; 32];
        left[8 + 1] = 0.5;
        let (old, new) = (still(&[(1, 1)], &left), still(&[(1, 1)], &[]));
        assert!(light_at(&old, (1, 1)) + 50 < light_at(&new, (1, 1)));
    }
}
