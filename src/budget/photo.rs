//! Legibility on a photo: how many pixels of it a pixel of the glass and the smallest text take, by stated lenses and distances.

use super::texts::texts;
use super::{Budget, Figure};
use crate::show::Show;

/// A camera at a distance.
#[derive(Clone, Copy, Debug)]
struct Camera {
    /// In words of the trade.
    name: &'static str,
    focal_millimetres: f64,
    sensor_millimetres: f64,
    /// Pixels across the sensor.
    pixels: f64,
    /// From the lens to the glass.
    distance_millimetres: f64,
}

/// Usual cameras for models (common practice): a normal lens on a sensor of 36 mm, and a telephone's wide one, given as the
/// lens that would see as much on 36 mm.
const CAMERAS: [Camera; 2] = [
    Camera {
        name: "50 mm lens, 24 megapixels on 36 mm",
        focal_millimetres: 50.0,
        sensor_millimetres: 36.0,
        pixels: 6000.0,
        distance_millimetres: 500.0,
    },
    Camera {
        name: "26 mm lens, 12 megapixels on 36 mm",
        focal_millimetres: 26.0,
        sensor_millimetres: 36.0,
        pixels: 4000.0,
        distance_millimetres: 200.0,
    },
];
/// Pixels of the photo that one of the glass must take to be told from its neighbours: two samples a period would do for a
/// sharp sensor without a colour mosaic (sampling theorem).
const TOLD_APART: f64 = 2.0;
const FORMULA: &str = "length × focal length / (distance − focal length) / (sensor width / pixels)";
const SOURCE: &str =
    "thin lens; sampling theorem: two pixels of the photo to one of the glass; lenses are common practice";

impl Camera {
    /// Pixels of the photo that a length takes at a distance: by the thin lens, magnification is f / (d − f).
    fn pixels_of(&self, millimetres: f64) -> f64 {
        let magnification = self.focal_millimetres / (self.distance_millimetres - self.focal_millimetres);
        millimetres * magnification / self.sensor_pixel()
    }
    /// The furthest distance at which a length takes so many pixels.
    fn furthest(&self, millimetres: f64, pixels: f64) -> f64 {
        self.focal_millimetres * (1.0 + millimetres / (pixels * self.sensor_pixel()))
    }
    fn sensor_pixel(&self) -> f64 {
        self.sensor_millimetres / self.pixels
    }
}

/// Reckons both cameras.
pub fn photo(show: &Show) -> Budget {
    let (across, down) = show.mounting().view_pitch_millimetres(show.panel());
    let pitch = across.min(down);
    let smallest = texts(show).iter().map(|text| text.rows()).filter(|rows| *rows > 0).min();
    let mut figures = Vec::new();
    for camera in &CAMERAS {
        let place = format!("at {} mm", camera.distance_millimetres);
        let mut add = |name: String, value: f64, unit: &'static str, formula: &str| {
            figures.push(Figure::new(name, value, unit).from(formula, SOURCE).rough());
        };
        add(format!("one pixel {place}, {}", camera.name), camera.pixels_of(pitch), "px of the photo", FORMULA);
        if let Some(rows) = smallest {
            let height = f64::from(rows) * down;
            add(format!("smallest text {place}, same"), camera.pixels_of(height), "px of the photo", FORMULA);
        }
        let formula = "focal length × (1 + pitch / (2 × sensor width / pixels))";
        add("pixels are told apart up to, same".to_owned(), camera.furthest(pitch, TOLD_APART), "mm", formula);
    }
    Budget { title: "photo", figures }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: at 500 mm a lens of 50 mm magnifies 50 / 450 = 1/9; 0.128 mm become 14.2 µm, 2.37 pixels of 6 µm; it
    /// takes two up to 50 × (1 + 0.128 / 0.012) = 583 mm.
    #[test]
    fn a_normal_lens_tells_pixels_of_a_thumbnail_apart_at_half_a_metre() {
        let camera = CAMERAS[0];
        assert!((camera.pixels_of(0.128) - 2.370).abs() < 0.001);
        assert!((camera.furthest(0.128, TOLD_APART) - 583.3).abs() < 0.1);
        let there = Camera { distance_millimetres: 583.333, ..camera };
        assert!((there.pixels_of(0.128) - TOLD_APART).abs() < 1e-4);
    }
}
