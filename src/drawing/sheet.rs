//! A sheet or picture of a show as it can be drawn on: its file, its cells, and the rule by which a pixel counts as ink.

use super::editable::EditablePng;
use crate::diag::{Findings, Place, Severity};
use crate::font::{Description, Font, Grid, InkRule, Polarity, shipped};
use crate::source::{Files, FromNode, LIMITS, PixelInk, ReadError, Reader, SourcePicture, beside, parse};
use crate::whole::limited;
use std::path::{Path, PathBuf};

/// The files of a sheet: the RON text of a font, and the PNG.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetFiles {
    /// `None` for a picture, which has no description.
    pub ron: Option<String>,
    pub png: Vec<u8>,
}

/// What a font adds to its cells.
#[derive(Clone, Debug)]
pub struct FontSheet {
    pub description: Description,
    /// `None` when its faults leave no font.
    pub font: Option<Font>,
    /// Every fault, in words.
    pub faults: Vec<String>,
    /// How many of them are errors.
    pub errors: usize,
}

/// A sheet that can be drawn on.
#[derive(Clone, Debug)]
pub struct DrawingSheet {
    pub files: SheetFiles,
    pub png: EditablePng,
    /// The picture as the show reads it.
    pub picture: SourcePicture,
    pub grid: Grid,
    pub rule: InkRule,
    /// `None` for a picture.
    pub font: Option<FontSheet>,
}

/// The lightness × opacity from which a pixel of a picture is ink, unless a layer says otherwise.
const PICTURE_RULE: InkRule = InkRule { polarity: Polarity::Light, threshold: 128, guide: None, mark: None };

/// The PNG that a font's RON file names; `Err` says in words why there is none.
pub fn sheet_path(files: &dyn Files, ron_path: &Path) -> Result<PathBuf, String> {
    let mut findings = Findings::default();
    let mut reader = Reader::new(files);
    let read = described(&mut reader, ron_path, &mut findings);
    let description = read.ok_or_else(|| first_error(&findings))?.0;
    Ok(beside(ron_path, &description.sheet.value))
}

impl DrawingSheet {
    /// Reads a font's RON file and its sheet; `Err` says in words why it cannot be drawn on.
    pub fn font(files: &dyn Files, ron_path: &Path, png_path: &Path) -> Result<Self, String> {
        let mut findings = Findings::default();
        let mut reader = Reader::new(files);
        let read = described(&mut reader, ron_path, &mut findings);
        let (description, text) = read.ok_or_else(|| first_error(&findings))?;
        let (png, editable, picture) = read_png(files, png_path)?;
        let file = reader.sources.add(png_path.display().to_string(), "");
        let lenders: Vec<Font> = description
            .borrow
            .iter()
            .filter_map(|lender| match shipped(&lender.value) {
                Some(shipped) => Some(Font::shipped(shipped.name)),
                None => {
                    let path = beside(ron_path, &lender.value);
                    Font::load(&mut reader, &path, Place::Nowhere, &mut Findings::default())
                }
            })
            .collect();
        let font = Font::assemble(&description, file, &picture, &lenders, &mut findings);
        let faults = findings.iter().filter(|finding| finding.severity != Severity::Note);
        Ok(Self {
            files: SheetFiles { ron: Some(text), png },
            png: editable,
            picture,
            grid: description.grid,
            rule: description.ink,
            font: Some(FontSheet {
                font,
                faults: faults.map(|finding| finding.message.clone()).collect(),
                errors: findings.count(Severity::Error),
                description,
            }),
        })
    }

    /// Reads a picture that is shown in parts of `columns` columns; 0 means the whole width. The pictures of a GIF become a strip,
    /// as many as one PNG can hold.
    pub fn picture(files: &dyn Files, path: &Path, columns: u32) -> Result<Self, String> {
        let (png, editable, picture) = read_png(files, path)?;
        let (width, height) = (editable.width(), editable.height());
        let columns = if columns == 0 { picture.frame_width() } else { columns };
        let columns = if columns > 0 && width.is_multiple_of(columns) { columns } else { width };
        Ok(Self {
            files: SheetFiles { ron: None, png },
            png: editable,
            picture,
            grid: Grid { cell: (columns, height), margin: (0, 0), spacing: (0, 0) },
            rule: PICTURE_RULE,
            font: None,
        })
    }

    /// Columns and rows of cells; none when the size does not fit the grid.
    pub fn count(&self) -> (u32, u32) {
        self.grid.count(self.png.width(), self.png.height()).unwrap_or((0, 0))
    }
}

fn described(reader: &mut Reader<'_>, path: &Path, findings: &mut Findings) -> Option<(Description, String)> {
    let (file, text) = reader.text(path, Place::Nowhere, findings)?;
    let node = parse(&text, file, findings)?;
    Some((Description::from_node(&node, findings)?, text))
}

fn read_png(files: &dyn Files, path: &Path) -> Result<(Vec<u8>, EditablePng, SourcePicture), String> {
    let name = path.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
    let bytes = files.read(path, LIMITS.picture_bytes).map_err(|why| match why {
        ReadError::Absent => format!("there is no file {name}"),
        ReadError::Irregular => format!("{name} is not a regular file"),
        ReadError::TooLong => format!("{name} is too large"),
        ReadError::Refused(why) => format!("{name} cannot be read: {why}"),
    })?;
    if SourcePicture::is_gif(&bytes) {
        return strip(&bytes).map_err(|why| format!("{name} is not a usable GIF: {why}"));
    }
    let fault = |why| format!("{name} is not a usable PNG: {why}");
    let picture = SourcePicture::from_png(&bytes, LIMITS).map_err(fault)?;
    let editable = EditablePng::read(&bytes).map_err(fault)?;
    Ok((bytes, editable, picture))
}

/// The pictures of a GIF side by side, as one PNG.
fn strip(gif: &[u8]) -> Result<(Vec<u8>, EditablePng, SourcePicture), String> {
    let all = SourcePicture::from_gif(gif, LIMITS)?;
    let (width, height) = (all.frame_width(), all.height());
    let count = (LIMITS.picture_side / width.max(1)).min(limited(all.delays().len()));
    let inks = (0..height).flat_map(|y| (0..width * count).map(move |x| (x, y))).filter_map(|(x, y)| all.ink(x, y));
    let rgba = inks.flat_map(|PixelInk { colour: [red, green, blue], opacity, .. }| [red, green, blue, opacity]);
    let rgba: Vec<u8> = rgba.collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width * count, height);
    encoder.set_color(png::ColorType::Rgba);
    let written = encoder.write_header().and_then(|mut writer| {
        writer.write_image_data(&rgba)?;
        writer.finish()
    });
    written.map_err(|error| error.to_string())?;
    let editable = EditablePng::read(&bytes)?;
    Ok((bytes, editable, all))
}

fn first_error(findings: &Findings) -> String {
    let error = findings.iter().find(|finding| finding.severity == Severity::Error);
    error.map_or("it cannot be read".into(), |finding| finding.message.clone())
}
