//! Live fields for the player: a table in flash of each field's glyphs, shifted to their rows, and of the picture behind it.

use super::field_check::{can_be, share};
use super::memory::DirtyMask;
use crate::diag::Findings;
use crate::render::{Bitmap, Cells, glyph};
use crate::show::{LiveField, Scene, Show};
use crate::whole::limited;

/// Bus bytes of a piece of a character in addition to its columns: two addresses, two control bytes, page and column.
pub(super) const PIECE_BYTES: u32 = 7;
pub(super) const PAGE_ROWS: i32 = 8;
/// Flag of a field, above the alignment: it shares bytes of the display with another field.
const SHARES: u8 = 4;

/// A field as the player reads it. Its bytes: scene, first column, first page, pages, cells, columns of a cell, flags
/// (alignment: 0 left, 1 centre, 2 right; 4 if it shares bytes of the display with another field), number of characters, their codes; then glyphs and the picture behind each cell, page by page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldTable {
    /// Its name in the script.
    pub name: String,
    /// The number of its scene.
    pub scene: usize,
    /// The field's place in its scene.
    pub number: usize,
    /// How many characters it holds.
    pub cells: u32,
    /// Columns of one character.
    pub cell_columns: u32,
    /// Pages that it covers.
    pub pages: u32,
    /// The table.
    pub bytes: Vec<u8>,
}

impl FieldTable {
    /// Bytes on the bus for one piece of a character, including addresses and control bytes.
    pub fn piece_bytes(&self) -> u32 {
        PIECE_BYTES + self.cell_columns
    }
    /// Pieces of the whole field.
    pub fn pieces(&self) -> u32 {
        self.cells * self.pages
    }
}

/// Returns whether the field of a table shares bytes of the display with another field.
pub fn shares_bytes(table: &[u8]) -> bool {
    /// Offset of the flags.
    const FLAGS: usize = 6;
    table.get(FLAGS).is_some_and(|flags| flags & SHARES != 0)
}

/// Returns the tables of all fields, in the order of scenes and fields. `None` if a finding says why a field is not possible.
pub fn field_tables(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<FieldTable>> {
    let mut tables = Vec::new();
    for (number, (scene, frames)) in show.scenes().iter().zip(frames).enumerate() {
        for (at, field) in scene.fields.iter().enumerate() {
            let fits = can_be(show, scene, at, frames, findings);
            tables.push(fits.then(|| table(show, (number, at), field, frames)));
        }
    }
    tables.into_iter().collect()
}

/// The cells that the fields of a scene own: one bit per page for each column of the display.
pub fn owned_cells(show: &Show, scene: &Scene) -> DirtyMask {
    let mut owned: DirtyMask = vec![0; show.panel().width as usize];
    for field in &scene.fields {
        let place = FieldPlace::of(show, &Cells::of(show, field));
        let window = show.mounting().memory_window(show.panel());
        let first = place.first_column.saturating_sub(window.first_column as usize);
        for column in owned.iter_mut().skip(first).take(place.columns) {
            (place.first_page..=place.last_page).for_each(|page| *column |= 1 << page);
        }
    }
    owned
}

/// Where a field lies in controller memory.
struct FieldPlace {
    first_column: usize,
    columns: usize,
    first_page: usize,
    last_page: usize,
}

impl FieldPlace {
    fn of(show: &Show, cells: &Cells) -> Self {
        let ((left, right), (top, bottom)) = (cells.pixel_columns(), cells.pixel_rows());
        let (first_column, _) = show.mounting().memory_pixel(show.panel(), limited(left), limited(top));
        Self {
            first_column: first_column as usize,
            columns: limited(right - left + 1),
            first_page: limited(top / PAGE_ROWS),
            last_page: limited(bottom / PAGE_ROWS),
        }
    }
}

fn table(show: &Show, (scene, number): (usize, usize), field: &LiveField, frames: &[Bitmap]) -> FieldTable {
    let cells = Cells::of(show, field);
    let place = FieldPlace::of(show, &cells);
    let pages = place.last_page - place.first_page + 1;
    let header = [scene, place.first_column, place.first_page, pages, field.cells as usize, limited(cells.columns)];
    // Each is below 256: scenes, columns, pages and cells by their own limits, columns of a cell by the display.
    let mut bytes: Vec<u8> = header.into_iter().map(limited).collect();
    let scene_fields = show.scenes().get(scene).map_or(&[][..], |scene| &scene.fields);
    let shares = scene_fields.iter().enumerate().any(|(at, other)| at != number && share(show, field, other));
    bytes.extend([field.align.code() | if shares { SHARES } else { 0 }, limited(field.characters.len())]);
    bytes.extend(field.characters.iter().map(|letter| limited::<u8, _>(u32::from(*letter))));
    let first_row = limited::<i32, _>(place.first_page) * PAGE_ROWS;
    let in_pages = |lit: &dyn Fn(i32, i32) -> bool, bytes: &mut Vec<u8>| {
        for page in 0..limited(pages) {
            let top = first_row + page * PAGE_ROWS;
            let column = |x: i32| (0..PAGE_ROWS).fold(0u8, |byte, row| byte | u8::from(lit(x, top + row)) << row);
            bytes.extend((0..cells.columns).map(column));
        }
    };
    for letter in &field.characters {
        let glyph = glyph(show, field, *letter);
        let lit =
            |x: i32, y: i32| y >= cells.top && glyph.is_some_and(|glyph| glyph.lit(x, (y - cells.top).unsigned_abs()));
        in_pages(&lit, &mut bytes);
    }
    for cell in 0..cells.count {
        let left = cells.left + cell * cells.columns;
        in_pages(&|x, y| frames.first().is_some_and(|frame| frame.get(left + x, y)), &mut bytes);
    }
    let (cell_columns, pages) = (limited(cells.columns), limited(pages));
    FieldTable { name: field.name.clone(), scene, number, cells: field.cells, cell_columns, pages, bytes }
}
