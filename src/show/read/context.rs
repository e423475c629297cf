//! What the parts of a script may refer to while they are read: names, loaded fonts and pictures, the size of the view.

use super::names::Names;
use super::number::Axis;
use crate::font::Font;
use crate::show::natural::End;
use crate::show::{FontId, PictureId};
use crate::source::{Picture, Reader};
use crate::units::FrameRate;

/// Everything that a layer's reading may ask for.
pub struct Context<'r, 'f> {
    pub reader: &'r mut Reader<'f>,
    pub view: View,
    pub frame_rate: FrameRate,
    pub fonts: Names,
    /// By [`FontId`]; `None` for a font that could not be loaded, which is reported already.
    pub loaded_fonts: Vec<Option<Font>>,
    pub pictures: Names,
    /// By [`PictureId`]; `None` for a picture that could not be loaded, which is reported already.
    pub loaded_pictures: Vec<Option<Picture>>,
    pub scenes: Names,
    pub triggers: Names,
    pub cues: Names,
    /// The layers read so far of the scene or group, and when each is through.
    pub ends: Vec<(String, End)>,
    /// How many groups stand around what is read.
    pub depth: u32,
}

/// The view: what the viewer sees of the glass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Pixels.
    pub width: u32,
    /// Pixels.
    pub height: u32,
    /// Millimetres from one pixel to the next, along the width and along the height.
    pub pitch: (f64, f64),
}

impl View {
    /// Pixels of the view along an axis.
    pub fn pixels(&self, axis: Axis) -> f64 {
        match axis {
            Axis::X => f64::from(self.width),
            Axis::Y => f64::from(self.height),
        }
    }
    /// Millimetres from one pixel to the next along an axis.
    pub fn pitch(&self, axis: Axis) -> f64 {
        match axis {
            Axis::X => self.pitch.0,
            Axis::Y => self.pitch.1,
        }
    }
}

impl Context<'_, '_> {
    /// The font, if it could be loaded.
    pub fn font(&self, id: FontId) -> Option<&Font> {
        self.loaded_fonts.get(id.0)?.as_ref()
    }
    /// The picture, if it could be loaded.
    pub fn picture(&self, id: PictureId) -> Option<&Picture> {
        self.loaded_pictures.get(id.0)?.as_ref()
    }
}
