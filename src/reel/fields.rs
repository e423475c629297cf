//! Live fields for the player: a table in flash of each field's glyphs, shifted to their rows, and of the picture behind it.

use super::memory::Changed;
use crate::diag::{Finding, Findings};
use crate::render::{Bitmap, Cells, glyph};
use crate::show::{Align, LiveField, Scene, Show};

/// What a piece of a character takes on the bus beside its columns: two addresses, two control bytes, page and column.
const PIECE_BYTES: u32 = 7;
const PAGE_ROWS: i32 = 8;

/// A field as the player reads it. Its bytes: scene, first column, first page, pages, cells, columns of a cell, alignment
/// (0 left, 1 centre, 2 right), number of characters, their codes; then glyphs and the picture behind each cell, page by page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldTable {
    pub name: String,
    pub scene: usize,
    /// The field's place in its scene.
    pub number: usize,
    pub cells: u32,
    pub cell_columns: u32,
    pub pages: u32,
    pub bytes: Vec<u8>,
}

impl FieldTable {
    /// Bytes on the bus for one piece of a character, addresses and control bytes counted.
    pub fn piece_bytes(&self) -> u32 {
        PIECE_BYTES + self.cell_columns
    }
    /// Pieces of the whole field.
    pub fn pieces(&self) -> u32 {
        self.cells * self.pages
    }
}

/// The tables of all fields, in the order of scenes and fields; `None` when a finding says why one cannot be.
pub fn field_tables(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<FieldTable>> {
    let mut tables = Vec::new();
    for (number, (scene, frames)) in show.scenes().iter().zip(frames).enumerate() {
        for (at, field) in scene.fields.iter().enumerate() {
            let fits = check(show, scene, field, frames, findings);
            tables.push(fits.then(|| table(show, (number, at), field, frames)));
        }
    }
    tables.into_iter().collect()
}

/// The cells of controller memory that the fields of a scene own: a bit a page for each column of the glass.
pub fn owned_cells(show: &Show, scene: &Scene) -> Changed {
    let mut owned: Changed = vec![0; show.panel().width as usize];
    for field in &scene.fields {
        let place = Place::of(show, &Cells::of(show, field));
        let window = show.mounting().memory_window(show.panel());
        let first = place.first_column.saturating_sub(window.first_column as usize);
        for column in owned.iter_mut().skip(first).take(place.columns) {
            (place.first_page..=place.last_page).for_each(|page| *column |= 1 << page);
        }
    }
    owned
}

/// Where a field lies in controller memory.
struct Place {
    first_column: usize,
    columns: usize,
    first_page: usize,
    last_page: usize,
}

impl Place {
    fn of(show: &Show, cells: &Cells) -> Self {
        let ((left, right), (top, bottom)) = (cells.pixel_columns(), cells.pixel_rows());
        let (first_column, _) = show.mounting().memory_pixel(show.panel(), left.max(0) as u32, top.max(0) as u32);
        Self {
            first_column: first_column as usize,
            columns: (right - left + 1) as usize,
            first_page: (top / PAGE_ROWS) as usize,
            last_page: (bottom / PAGE_ROWS) as usize,
        }
    }
}

/// Whether a field can be where it is; findings say why not.
fn check(show: &Show, scene: &Scene, field: &LiveField, frames: &[Bitmap], findings: &mut Findings) -> bool {
    let cells = Cells::of(show, field);
    let ((left, right), (top, bottom)) = (cells.pixel_columns(), cells.pixel_rows());
    let (width, height) = show.view_size();
    let name = &field.name;
    let mut refuse = |message: String, hint: String| {
        findings.push(Finding::error(field.span, message).hint(hint));
        false
    };
    if left < 0 || top < 0 || right >= width as i32 || bottom >= height as i32 {
        let message = format!(
            "the field `{name}` reaches outside the glass: it takes columns {left} to {right} and rows {top} to {bottom}"
        );
        return refuse(message, "move it, or make it narrower".into());
    }
    if !follows_memory(show, &cells) {
        let message =
            format!("the field `{name}` stands across the display's pages, as the panel is turned by a quarter");
        return refuse(message, "mount the panel upright or turned by half, or use texts in place of fields".into());
    }
    let bus = show.bus();
    let (piece, data) = (PIECE_BYTES + cells.columns as u32, cells.columns as u32 + 1);
    if u32::from(bus.per_call) < piece || u32::from(bus.write_limit) < data {
        let message = format!("a piece of the field `{name}` takes {piece} bytes a call and {data} in one transaction");
        return refuse(
            message,
            format!("raise `per_call` to {piece} and `write_limit` to {data}, or take a narrower font"),
        );
    }
    if let Some(frame) = first_change(&cells, frames) {
        let message =
            format!("the picture behind the field `{name}` of scene `{}` changes at frame {frame}", scene.name);
        let rows = (top / PAGE_ROWS * PAGE_ROWS, bottom / PAGE_ROWS * PAGE_ROWS + PAGE_ROWS - 1);
        let hint = format!("keep columns {left} to {right} of rows {} to {} still in this scene", rows.0, rows.1);
        return refuse(message, hint);
    }
    true
}

/// Whether the next pixel to the right is the next column of memory in the same row.
fn follows_memory(show: &Show, cells: &Cells) -> bool {
    let ((left, _), (top, _)) = (cells.pixel_columns(), cells.pixel_rows());
    let at = |x: i32| show.mounting().memory_pixel(show.panel(), x as u32, top as u32);
    let (here, next) = (at(left), at(left + 1));
    next == (here.0 + 1, here.1) && here.1 == top as u32
}

/// The first frame in which a memory cell of the field differs from the first frame's.
fn first_change(cells: &Cells, frames: &[Bitmap]) -> Option<usize> {
    let ((left, right), (top, bottom)) = (cells.pixel_columns(), cells.pixel_rows());
    let rows = top / PAGE_ROWS * PAGE_ROWS..=bottom / PAGE_ROWS * PAGE_ROWS + PAGE_ROWS - 1;
    let first = frames.first()?;
    let same = |frame: &Bitmap| {
        let mut pixels = rows.clone().flat_map(|y| (left..=right).map(move |x| (x, y)));
        pixels.all(|(x, y)| frame.get(x, y) == first.get(x, y))
    };
    frames.iter().position(|frame| !same(frame))
}

fn table(show: &Show, (scene, number): (usize, usize), field: &LiveField, frames: &[Bitmap]) -> FieldTable {
    let cells = Cells::of(show, field);
    let place = Place::of(show, &cells);
    let pages = place.last_page - place.first_page + 1;
    let align = match field.align {
        Align::Left => 0,
        Align::Centre => 1,
        Align::Right => 2,
    };
    let header = [scene, place.first_column, place.first_page, pages, field.cells as usize, cells.columns as usize];
    // Each is below 256: scenes, columns, pages and cells by their own limits, columns of a cell by the glass.
    let mut bytes: Vec<u8> = header.iter().map(|number| *number as u8).collect();
    bytes.extend([align, field.characters.len() as u8]);
    bytes.extend(field.characters.iter().map(|letter| u32::from(*letter) as u8));
    let first_row = place.first_page as i32 * PAGE_ROWS;
    let in_pages = |lit: &dyn Fn(i32, i32) -> bool, bytes: &mut Vec<u8>| {
        for page in 0..pages as i32 {
            let top = first_row + page * PAGE_ROWS;
            let column = |x: i32| (0..PAGE_ROWS).fold(0u8, |byte, row| byte | u8::from(lit(x, top + row)) << row);
            bytes.extend((0..cells.columns).map(column));
        }
    };
    for letter in &field.characters {
        let glyph = glyph(show, field, *letter);
        let lit = |x: i32, y: i32| y >= cells.top && glyph.is_some_and(|glyph| glyph.lit(x, (y - cells.top) as u32));
        in_pages(&lit, &mut bytes);
    }
    for cell in 0..cells.count {
        let left = cells.left + cell * cells.columns;
        in_pages(&|x, y| frames.first().is_some_and(|frame| frame.get(left + x, y)), &mut bytes);
    }
    let (cell_columns, pages) = (cells.columns as u32, pages as u32);
    FieldTable { name: field.name.clone(), scene, number, cells: field.cells, cell_columns, pages, bytes }
}
