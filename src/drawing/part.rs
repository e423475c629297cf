//! The parts of a sheet's files that a step changes, with what was there before, so that the step can be taken back.

use super::editable::Colour16;
use super::ron::RonPlace;
use super::sheet::{DrawingSheet, SheetFiles};

/// A changed part. It is written only if the old contents are unchanged, so that no change of another program is lost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// A pixel of the PNG.
    Pixel { at: (u32, u32), before: Colour16, after: Colour16 },
    /// A value of the RON text, as it is written.
    Field { place: RonPlace, before: Option<String>, after: Option<String> },
    /// Both files as a whole.
    Whole { before: SheetFiles, after: SheetFiles },
}

impl Part {
    /// The part that takes this one back.
    pub fn back(&self) -> Self {
        match self.clone() {
            Part::Pixel { at, before, after } => Part::Pixel { at, before: after, after: before },
            Part::Field { place, before, after } => Part::Field { place, before: after, after: before },
            Part::Whole { before, after } => Part::Whole { before: after, after: before },
        }
    }
}

/// The parts that take a step back, in their order.
pub fn backwards(parts: &[Part]) -> Vec<Part> {
    parts.iter().rev().map(Part::back).collect()
}

/// Returns the files of a sheet with changed parts. Pixels and values that others changed meanwhile are kept. `Err` says why it is
/// not possible.
pub fn changed(sheet: &DrawingSheet, parts: &[Part]) -> Result<SheetFiles, String> {
    let mut files = sheet.files.clone();
    let mut png = sheet.png.clone();
    for part in parts {
        match part {
            Part::Pixel { at: (x, y), before, after } => {
                if png.colour(*x, *y) == Some(*before) {
                    png.set(*x, *y, *after);
                }
            }
            Part::Field { place, before, after } => {
                let ron = files.ron.as_deref().ok_or("a picture has no such field")?;
                if place.value(ron)? == *before {
                    files.ron = Some(place.with(ron, after.as_deref())?);
                }
            }
            Part::Whole { before, after } => {
                if files != *before || png != sheet.png {
                    return Err("the sheet has changed meanwhile, so its cells stay as they are".into());
                }
                return Ok(after.clone());
            }
        }
    }
    if png != sheet.png {
        files.png = png.write()?;
    }
    Ok(files)
}
