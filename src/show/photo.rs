//! A photo that will be taken of the display: its lens, its sensor and its distance.

use crate::diag::Span;

/// A camera at a distance.
#[derive(Clone, Debug, PartialEq)]
pub struct Photo {
    /// In words of the trade, or what the script calls it.
    pub name: String,
    /// The lens's real focal length.
    pub focal_millimetres: f64,
    /// The sensor's width.
    pub sensor_millimetres: f64,
    /// Pixels of the photo across that width.
    pub pixels: f64,
    /// From the lens to the display, more than the focal length.
    pub distance_millimetres: f64,
    /// Its place in the script; `None` for a common camera, which is used if the script has none.
    pub span: Option<Span>,
}

impl Photo {
    /// How large a thing is on the sensor: by the thin lens, f / (d − f).
    pub fn magnification(&self) -> f64 {
        self.focal_millimetres / (self.distance_millimetres - self.focal_millimetres)
    }
    /// Pixels of the photo that a length takes.
    pub fn pixels_of(&self, millimetres: f64) -> f64 {
        millimetres * self.magnification() / self.sensor_pixel_millimetres()
    }
    /// The largest distance in millimetres at which a length has this number of pixels in the photo.
    pub fn furthest_millimetres(&self, millimetres: f64, pixels: f64) -> f64 {
        self.focal_millimetres * (1.0 + millimetres / (pixels * self.sensor_pixel_millimetres()))
    }
    /// The shortest focal length in millimetres with which a length has this number of pixels, at the distance of the photo.
    pub fn shortest_lens_millimetres(&self, millimetres: f64, pixels: f64) -> f64 {
        let magnification = pixels * self.sensor_pixel_millimetres() / millimetres;
        self.distance_millimetres * magnification / (1.0 + magnification)
    }
    /// From one pixel of the sensor to the next.
    pub fn sensor_pixel_millimetres(&self) -> f64 {
        self.sensor_millimetres / self.pixels
    }
}
