//! Which sheets and pictures there are, those that ship with the program too, where their files are, and how they are read.

use super::WatchedFile;
use crate::cli::script::{Script, ScriptFont, ScriptPicture};
use crate::diag::Findings;
use crate::drawing::{DrawingSheet, SheetFiles, sheet_path};
use crate::font::{SHIPPED, Shipped};
use crate::source::{Disk, Files, FilesInMemory, LIMITS, ReadError, Reader};
use std::path::{Path, PathBuf};

/// A sheet's files, and what the show says of it.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetPlace {
    /// What requests call it: the path that was named.
    pub id: String,
    /// The names that the show gives it.
    pub name: String,
    /// The RON file of a font.
    pub ron: Option<PathBuf>,
    pub png: PathBuf,
    /// Columns of each part of a picture.
    pub columns: u32,
    pub pictures_a_second: f64,
    /// The name of the picture of which this file is one of several, shown one after another.
    pub series: Option<String>,
    /// The lines that the show sets in it.
    pub lines: Vec<String>,
    /// Why it cannot be drawn on.
    pub locked: Option<String>,
    /// The number of a font that ships with the program, from which cells are copied.
    pub shipped: Option<usize>,
}

/// A text may begin with it (Unicode 15.0 §23.8).
const BYTE_ORDER_MARK: &[u8] = "\u{FEFF}".as_bytes();

impl SheetPlace {
    fn font(font: ScriptFont, files: &dyn Files) -> Self {
        // The sheet of a description that cannot be read is looked for under the same name.
        let png = sheet_path(files, &font.path).unwrap_or_else(|_| font.path.with_extension("png"));
        Self {
            id: font.path.display().to_string(),
            name: font.name,
            ron: Some(font.path),
            png,
            columns: 0,
            pictures_a_second: 0.0,
            series: None,
            lines: font.lines,
            locked: None,
            shipped: None,
        }
    }

    fn shipped(number: usize, font: &Shipped) -> Self {
        Self {
            id: format!("shipped {}", font.name),
            name: format!("{}, shipped", font.name),
            ron: Some(Path::new(font.name).with_extension("ron")),
            png: Path::new(font.name).with_extension("png"),
            columns: 0,
            pictures_a_second: 0.0,
            series: None,
            lines: Vec::new(),
            locked: Some("This font ships with the program.".to_owned()),
            shipped: Some(number),
        }
    }

    fn picture(picture: ScriptPicture) -> Self {
        let is_png = picture.path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("png"));
        Self {
            id: picture.path.display().to_string(),
            name: picture.name,
            ron: None,
            png: picture.path,
            columns: picture.columns,
            pictures_a_second: picture.pictures_a_second,
            series: picture.series,
            lines: Vec::new(),
            locked: (!is_png).then(|| "This file is not a PNG: it is shown, but you cannot draw on it.".to_owned()),
            shipped: None,
        }
    }

    /// The name of its file, without folders.
    pub fn file_name(&self) -> String {
        self.png.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned())
    }

    /// Reads the sheet; `Err` says in words why not.
    pub fn read(&self, files: &dyn Files) -> Result<DrawingSheet, String> {
        if let (Some(font), Some(ron)) = (self.shipped.and_then(|number| SHIPPED.get(number)), &self.ron) {
            return DrawingSheet::font(
                &FilesInMemory::default().with(ron, font.ron).with(&self.png, font.png),
                ron,
                &self.png,
            );
        }
        match &self.ron {
            Some(ron) => DrawingSheet::font(files, ron, &self.png),
            None => DrawingSheet::picture(files, &self.png, self.columns),
        }
    }

    /// The bytes of its files as they are now.
    pub fn bytes_now(&self, files: &dyn Files) -> (Option<Vec<u8>>, Option<Vec<u8>>) {
        let ron = self.ron.as_ref().and_then(|path| files.read(path, LIMITS.text_bytes).ok());
        let text = ron.map(|bytes| bytes.strip_prefix(BYTE_ORDER_MARK).map(<[u8]>::to_vec).unwrap_or(bytes));
        (text, files.read(&self.png, LIMITS.picture_bytes).ok())
    }
    /// The bytes of files that were read.
    pub fn bytes_of(&self, files: &SheetFiles) -> (Option<Vec<u8>>, Option<Vec<u8>>) {
        (files.ron.clone().map(String::into_bytes), Some(files.png.clone()))
    }

    /// A text for its RON file, with the mark at its head that the file has now.
    pub fn ron_bytes(&self, text: &str, files: &dyn Files) -> Vec<u8> {
        let now = self.ron.as_ref().and_then(|path| files.read(path, LIMITS.text_bytes).ok()).unwrap_or_default();
        let mark = if now.starts_with(BYTE_ORDER_MARK) { BYTE_ORDER_MARK } else { &[] };
        [mark, text.as_bytes()].concat()
    }
}

/// The disk, with the files of one sheet replaced.
pub struct Over<'a> {
    pub place: &'a SheetPlace,
    pub files: &'a SheetFiles,
}

impl Files for Over<'_> {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        match &self.files.ron {
            Some(ron) if Some(path) == self.place.ron.as_deref() => Ok(ron.clone().into_bytes()),
            _ if path == self.place.png => Ok(self.files.png.clone()),
            _ => Disk.read(path, limit),
        }
    }
}

/// The sheets of what is watched; `None` when a script cannot be read, so that what is known stays.
pub fn places(watched: &WatchedFile, files: &dyn Files) -> Option<Vec<SheetPlace>> {
    let path = match watched {
        WatchedFile::Font(path) => {
            let font = ScriptFont { name: String::new(), path: path.clone(), lines: Vec::new() };
            return Some([SheetPlace::font(font, files)].into_iter().chain(shipped()).collect());
        }
        WatchedFile::Show(path) => path,
    };
    let script = Script::parsed(path, &mut Reader::new(files), &mut Findings::default())?;
    let fonts = script.fonts().into_iter().map(|font| SheetPlace::font(font, files));
    let mut all: Vec<SheetPlace> = Vec::new();
    for place in fonts.chain(script.pictures().into_iter().map(SheetPlace::picture)) {
        match all.iter_mut().find(|known| known.id == place.id) {
            Some(known) => known.name = format!("{}, {}", known.name, place.name),
            None => all.push(place),
        }
    }
    all.extend(shipped());
    Some(all)
}

fn shipped() -> impl Iterator<Item = SheetPlace> {
    SHIPPED.iter().enumerate().map(|(number, font)| SheetPlace::shipped(number, font))
}
