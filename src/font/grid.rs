//! Where the cells of a sheet lie: cell size, margin around the grid, spacing between cells.

/// The geometry of a glyph sheet in pixels; each pair is (horizontal, vertical).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grid {
    /// Width and height of a cell, 1 to 64 each.
    pub cell: (u32, u32),
    /// Pixels around the whole grid, the same on opposite sides.
    pub margin: (u32, u32),
    /// Pixels between neighbouring cells.
    pub spacing: (u32, u32),
}

/// What lies at a pixel of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// Inside a cell: its column and row in the grid.
    Cell(u32, u32),
    /// In the margin or the spacing.
    Outside,
}

impl Grid {
    /// Columns and rows of cells on a sheet of this size; `Err` names, per direction, the pixels left over.
    pub fn count(&self, width: u32, height: u32) -> Result<(u32, u32), (u32, u32)> {
        let columns = along(width, self.cell.0, self.margin.0, self.spacing.0);
        let rows = along(height, self.cell.1, self.margin.1, self.spacing.1);
        match (columns, rows) {
            ((columns, 0), (rows, 0)) => Ok((columns, rows)),
            ((_, over_x), (_, over_y)) => Err((over_x, over_y)),
        }
    }

    /// Width and height in pixels of a sheet with these columns and rows of cells; `u32::MAX` if it would be larger.
    pub fn size(&self, columns: u32, rows: u32) -> (u32, u32) {
        let side = |count: u32, cell: u32, margin: u32, spacing: u32| {
            (2 * margin)
                .saturating_add(count.saturating_mul(cell))
                .saturating_add(count.saturating_sub(1).saturating_mul(spacing))
        };
        (
            side(columns, self.cell.0, self.margin.0, self.spacing.0),
            side(rows, self.cell.1, self.margin.1, self.spacing.1),
        )
    }

    /// The top left pixel of a cell.
    pub fn corner(&self, column: u32, row: u32) -> (u32, u32) {
        (self.margin.0 + column * (self.cell.0 + self.spacing.0), self.margin.1 + row * (self.cell.1 + self.spacing.1))
    }

    /// What is at a pixel of a sheet with these columns and rows of cells.
    pub fn spot(&self, (x, y): (u32, u32), (columns, rows): (u32, u32)) -> Spot {
        let inside = |at: u32, margin: u32, cell: u32, spacing: u32, count: u32| {
            let from = at.checked_sub(margin)?;
            let index = from / (cell + spacing);
            (index < count && from % (cell + spacing) < cell).then_some(index)
        };
        let column = inside(x, self.margin.0, self.cell.0, self.spacing.0, columns);
        let row = inside(y, self.margin.1, self.cell.1, self.spacing.1, rows);
        Option::zip(column, row).map_or(Spot::Outside, |(column, row)| Spot::Cell(column, row))
    }
}

/// How many cells lie along a side, and the pixels left over.
fn along(side: u32, cell: u32, margin: u32, spacing: u32) -> (u32, u32) {
    match (side + spacing).checked_sub(2 * margin) {
        Some(room) if room >= cell + spacing => (room / (cell + spacing), room % (cell + spacing)),
        _ => (0, side),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_sheet_of_the_stated_size_holds_the_stated_cells(
            cell in (1u32..9, 1u32..9), margin in (0u32..4, 0u32..4), spacing in (0u32..4, 0u32..4),
            columns in 1u32..9, rows in 1u32..9,
        ) {
            let grid = Grid { cell, margin, spacing };
            let (width, height) = grid.size(columns, rows);
            prop_assert_eq!(grid.count(width, height), Ok((columns, rows)));
            let mut inside = 0;
            for y in 0..height {
                for x in 0..width {
                    if let Spot::Cell(column, row) = grid.spot((x, y), (columns, rows)) {
                        let (left, top) = grid.corner(column, row);
                        prop_assert!((left..left + cell.0).contains(&x) && (top..top + cell.1).contains(&y));
                        inside += 1;
                    }
                }
            }
            prop_assert_eq!(inside, cell.0 * cell.1 * columns * rows);
        }
    }

    #[test]
    fn pixels_left_over_are_told_per_direction() {
        let grid = Grid { cell: (3, 5), margin: (1, 1), spacing: (1, 1) };
        assert_eq!(grid.count(13, 7), Ok((3, 1)));
        assert_eq!(grid.count(14, 7), Err((1, 0)));
        assert_eq!(grid.count(2, 7), Err((2, 0)));
    }
}
