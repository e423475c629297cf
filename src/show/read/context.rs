//! What parts of a script can refer to while they are read: names, loaded fonts and pictures, the size of the view.

use super::names::Names;
use super::number::Axis;
use crate::diag::{Finding, Findings, Span};
use crate::font::{Font, Symbol};
use crate::show::expand::Variant;
use crate::show::natural::LayerEnd;
use crate::show::{FontId, LiveValue, PictureId, SceneId, SetText};
use crate::source::{Placed, Reader, SourcePicture};
use crate::units::FrameRate;
use std::cell::RefCell;

/// Places of one finding beside its first.
const MOST_PLACES: usize = 7;

/// Everything that is needed to read a layer.
pub struct Context<'r, 'f> {
    pub reader: &'r mut Reader<'f>,
    pub view: View,
    pub frame_rate: FrameRate,
    pub fonts: Names,
    /// Fonts by [`FontId`]; `None` for a font that could not be loaded. This is already reported.
    pub loaded_fonts: Vec<Option<Font>>,
    pub pictures: Names,
    /// Pictures by [`PictureId`]; `None` for a picture that could not be loaded. This is already reported.
    pub loaded_pictures: Vec<Option<SourcePicture>>,
    pub scenes: Names,
    /// What modes made of which scene of the script, in the order of the scenes.
    pub variants: Vec<Variant>,
    pub triggers: Names,
    pub cues: Names,
    /// The layers read so far of the scene or group, and when each is through.
    pub ends: Vec<(String, LayerEnd)>,
    /// The path of the file of each font, as it is opened; `None` for one that ships. By [`FontId`].
    pub font_files: Vec<Option<String>>,
    /// The live values so far. Any number that can move can name one.
    pub lives: RefCell<Vec<LiveValue>>,
    /// The live texts read so far.
    pub live_texts: Vec<SetText>,
    /// Characters that fonts lack, and where they are written.
    pub lacking: Vec<(FontId, Symbol, Span)>,
    /// Whether everything was expanded: includes, templates, styles and `like`. If not, missing names may come from that.
    pub whole: bool,
    /// The number of groups around the current layer.
    pub depth: u32,
}

/// The view: what the viewer sees of the display.
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
            Axis::Level => f64::from(u8::MAX),
        }
    }
    /// Millimetres from one pixel to the next along an axis.
    pub fn pitch(&self, axis: Axis) -> f64 {
        match axis {
            Axis::X => self.pitch.0,
            Axis::Y => self.pitch.1,
            Axis::Level => f64::INFINITY,
        }
    }
}

impl Context<'_, '_> {
    /// The scene of a name, and all that modes made of it; an unknown name is reported.
    pub fn scenes_of(&self, name: &Placed<String>, findings: &mut Findings) -> Vec<SceneId> {
        let Some(found) = self.scenes.find(name, findings) else { return Vec::new() };
        let of_it = |variant: &Variant| variant.scene.as_deref() == Some(name.value.as_str());
        let variants = self.variants.iter().enumerate().filter(|(_, variant)| of_it(variant));
        let mut all: Vec<SceneId> = variants.map(|(number, _)| SceneId(number)).collect();
        if !all.contains(&SceneId(found)) {
            all.insert(0, SceneId(found));
        }
        all
    }
    /// Reports what each font lacks: one finding a font, at the first place of each character.
    pub fn report_lacking(&self, findings: &mut Findings) {
        for (number, font) in self.loaded_fonts.iter().enumerate() {
            let Some(font) = font else { continue };
            let mut symbols: Vec<(&Symbol, Span)> = Vec::new();
            for (_, symbol, span) in self.lacking.iter().filter(|(id, ..)| id.0 == number) {
                if !symbols.iter().any(|(known, _)| *known == symbol) {
                    symbols.push((symbol, *span));
                }
            }
            let Some((_, first)) = symbols.first() else { continue };
            let written: Vec<String> = symbols.iter().map(|(symbol, _)| symbol.to_string()).collect();
            let message = format!("the font {} has no glyph for {}", font.name(), written.join(", "));
            let mut finding = Finding::error(*first, message);
            for (symbol, span) in symbols.iter().skip(1).take(MOST_PLACES) {
                finding = finding.also(*span, symbol.to_string());
            }
            let characters: Vec<String> = symbols.iter().map(|(symbol, _)| symbol.as_argument()).collect();
            let hint = match self.font_files.get(number) {
                Some(Some(file)) => {
                    format!("add cells for them: pageloom sheet extend {file} --for '{}'", characters.join(" "))
                }
                _ => "use other characters, or draw your own font: pageloom sheet new FONT --like NAME".into(),
            };
            findings.push(finding.hint(hint));
        }
    }
    /// The font, if it could be loaded.
    pub fn font(&self, id: FontId) -> Option<&Font> {
        self.loaded_fonts.get(id.0)?.as_ref()
    }
    /// The picture, if it could be loaded.
    pub fn picture(&self, id: PictureId) -> Option<&SourcePicture> {
        self.loaded_pictures.get(id.0)?.as_ref()
    }
}
