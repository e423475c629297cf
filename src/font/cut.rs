//! Cuts a sheet into cells of ink, and reports what a drawing for lit and dark pixels cannot hold: ink outside the cells,
//! half-grey pixels, colours that are almost a guide's.

use super::describe::Description;
use super::grid::Spot;
use super::ink::Mark;
use crate::diag::{FileId, Finding, Findings, Place, number_of};
use crate::source::SourcePicture;
use crate::whole::limited;
use std::collections::BTreeMap;

/// The ink of one cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CellInk {
    /// Columns from the cell's left edge; bit 0 is its top row.
    pub columns: Vec<u64>,
    /// The rightmost column with a pixel that marks the advance, in the cell or in the row of pixels below it.
    pub marked: Option<u32>,
}

/// All cells of a sheet.
#[derive(Clone, Debug)]
pub struct Cut {
    /// Columns and rows of cells.
    pub count: (u32, u32),
    cells: Vec<CellInk>,
}

impl Cut {
    /// The ink of a cell; `None` outside the grid.
    pub fn cell(&self, column: u32, row: u32) -> Option<&CellInk> {
        (column < self.count.0 && row < self.count.1).then(|| &self.cells[(row * self.count.0 + column) as usize])
    }
}

/// Pixels of one kind in one place: the first of them, and how many there are.
#[derive(Clone, Copy)]
struct ColourTally {
    first: (u32, u32),
    count: u32,
    /// Strength of the first, for a half-grey pixel.
    strength: u8,
}

/// Cuts the sheet; `None` when its size does not fit the grid.
pub fn cut(description: &Description, file: FileId, picture: &SourcePicture, findings: &mut Findings) -> Option<Cut> {
    let count = counted(description, picture, findings)?;
    let empty = CellInk { columns: vec![0; description.grid.cell.0 as usize], marked: None };
    let mut cutting = Cutting {
        description,
        cut: Cut { count, cells: vec![empty; count.0 as usize * count.1 as usize] },
        outside: BTreeMap::new(),
        grey: BTreeMap::new(),
        near_guide: None,
    };
    for y in 0..picture.height() {
        for x in 0..picture.width() {
            if let Some(pixel) = picture.ink(x, y) {
                cutting.pixel((x, y), description.ink.mark(pixel));
            }
        }
    }
    cutting.report(file, findings);
    Some(cutting.cut)
}

/// The most cells of one sheet: every character of the Basic Multilingual Plane.
const MOST_CELLS: u32 = 1 << 16;

fn counted(description: &Description, picture: &SourcePicture, findings: &mut Findings) -> Option<(u32, u32)> {
    let (width, height) = (picture.width(), picture.height());
    let (over_x, over_y) = match description.grid.count(width, height) {
        Ok(count) if count.0 * count.1 <= MOST_CELLS => return Some(count),
        Ok((columns, rows)) => {
            let message = format!("the sheet has {columns}×{rows} cells; the limit is {MOST_CELLS}");
            findings.push(Finding::error(description.sheet.span, message));
            return None;
        }
        Err(over) => over,
    };
    let grid = description.grid;
    let columns = description.cells.iter().map(|row| limited::<u32, usize>(row.cells.len())).max().unwrap_or(1).max(1);
    let wanted = grid.size(columns, limited(description.cells.len().max(1)));
    let message = format!(
        "the sheet is {width}×{height} pixels, which does not divide into cells of {}×{} with margin {:?} and spacing {:?}: \
         {over_x} columns and {over_y} rows of pixels are left over",
        grid.cell.0, grid.cell.1, grid.margin, grid.spacing
    );
    let hint = format!(
        "the rows of `cells` need a sheet of {}×{} pixels; crop or extend the drawing, or correct `cell`, `margin` and `spacing`",
        wanted.0, wanted.1
    );
    findings.push(Finding::error(description.sheet.span, message).hint(hint));
    None
}

struct Cutting<'a> {
    description: &'a Description,
    cut: Cut,
    outside: BTreeMap<(u32, u32), ColourTally>,
    grey: BTreeMap<(u32, u32), ColourTally>,
    near_guide: Option<(ColourTally, [u8; 3])>,
}

impl Cutting<'_> {
    fn pixel(&mut self, at: (u32, u32), mark: Mark) {
        match mark {
            Mark::Paper | Mark::Guide => {}
            Mark::NearGuide(colour) => match &mut self.near_guide {
                Some((tally, _)) => tally.count += 1,
                none => *none = Some((ColourTally { first: at, count: 1, strength: 0 }, colour)),
            },
            Mark::Advance => self.advance_mark(at),
            Mark::Ink => self.ink(at),
            Mark::Grey(strength) => {
                if let Spot::Cell(column, row) = self.spot(at) {
                    tally(&mut self.grey, (column, row), at, strength);
                }
                if self.description.ink.counts_as_ink(strength) {
                    self.ink(at);
                }
            }
        }
    }

    fn spot(&self, at: (u32, u32)) -> Spot {
        self.description.grid.spot(at, self.cut.count)
    }

    fn ink(&mut self, at: (u32, u32)) {
        match self.spot(at) {
            Spot::Cell(column, row) => {
                let corner = self.description.grid.corner(column, row);
                let cell = &mut self.cut.cells[(row * self.cut.count.0 + column) as usize];
                cell.columns[(at.0 - corner.0) as usize] |= 1 << (at.1 - corner.1);
            }
            Spot::Outside => {
                let cell = self.nearest_cell(at);
                tally(&mut self.outside, cell, at, u8::MAX);
            }
        }
    }

    fn advance_mark(&mut self, at: (u32, u32)) {
        let above = (at.0, at.1.saturating_sub(1));
        let spots = [self.spot(at), self.spot(above)];
        let Some(Spot::Cell(column, row)) = spots.into_iter().find(|spot| *spot != Spot::Outside) else { return };
        let corner = self.description.grid.corner(column, row);
        let cell = &mut self.cut.cells[(row * self.cut.count.0 + column) as usize];
        cell.marked = cell.marked.max(Some(at.0 - corner.0));
    }

    /// The cell in whose stretch of the grid a pixel outside the cells lies.
    fn nearest_cell(&self, at: (u32, u32)) -> (u32, u32) {
        let grid = self.description.grid;
        let index = |at: u32, margin: u32, step: u32, count: u32| (at.saturating_sub(margin) / step).min(count - 1);
        (
            index(at.0, grid.margin.0, grid.cell.0 + grid.spacing.0, self.cut.count.0),
            index(at.1, grid.margin.1, grid.cell.1 + grid.spacing.1, self.cut.count.1),
        )
    }

    fn report(&self, file: FileId, findings: &mut Findings) {
        let place =
            |cell: Option<(u32, u32)>, tally: &ColourTally| Place::Picture { file, cell, pixel: Some(tally.first) };
        if let Some((tally, colour)) = &self.near_guide {
            let [red, green, blue] = colour;
            let message = format!(
                "the colour #{red:02x}{green:02x}{blue:02x} is close to the guide colour: {} of it read as guides",
                pixels(tally.count)
            );
            findings.push(
                Finding::warning(place(None, tally), message).hint("draw guides in exactly the colour of `guide`"),
            );
        }
        for (cell, tally) in &self.outside {
            let message = format!("{} of ink outside the cell, to the right of it or below it", pixels(tally.count));
            let hint = "move the ink into the cell, or draw it in the `guide` colour if it is not part of a glyph";
            findings.push(Finding::error(place(Some(*cell), tally), message).hint(hint));
        }
        for (cell, tally) in &self.grey {
            let threshold = self.description.ink.threshold;
            let taken = if self.description.ink.counts_as_ink(tally.strength) { "ink" } else { "paper" };
            let message = format!(
                "{} neither light nor dark; with threshold {threshold} the first one (strength {} of 255) is read as {taken}",
                pixels(tally.count),
                tally.strength
            );
            let hint = "draw without anti-aliasing: a display pixel is either lit or dark";
            findings.push(Finding::warning(place(Some(*cell), tally), message).hint(hint));
        }
    }
}

fn tally(tallies: &mut BTreeMap<(u32, u32), ColourTally>, cell: (u32, u32), at: (u32, u32), strength: u8) {
    tallies.entry(cell).and_modify(|tally| tally.count += 1).or_insert(ColourTally { first: at, count: 1, strength });
}

fn pixels(count: u32) -> String {
    number_of(count as usize, "pixel")
}
