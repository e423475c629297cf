//! Noise that the player makes, as an area: how its pixels follow from the places that the viewer sees them at.

use super::cut::PixelRectangle;
use super::sheet::Sheet;
use crate::panel::{Mounting, Panel};
use crate::player::grain::PLACES_A_ROW;
use crate::render::{Area, Flicker};

/// Rows of a page.
const PAGE_ROWS: usize = 8;

/// A seed, the place of the first pixel of the area's first page, and by how much places go on from row to row and from column to
/// column (`player::grain`).
pub type NoiseRecord = [u16; 4];

/// The noise of a layer in memory order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoiseInk {
    pub rectangle: PixelRectangle,
    pub sheet: Sheet,
}

/// How an area of the view lies in memory, in columns of the display's memory and rows.
struct AreaTransform {
    /// The first column and row, and those behind the last.
    left: i32,
    end: i32,
    top: i32,
    bottom: i32,
    /// Where the pixel at the top left of the view's area is.
    near: (i32, i32),
    /// Whether the view's rows are columns of memory; whether its places fall across and down as memory's rise.
    swaps: bool,
    across_falls: bool,
    down_falls: bool,
}

impl AreaTransform {
    /// Of an area inside the view, two pixels wide and high at least.
    fn of(seen: &Area, panel: &Panel, mounting: &Mounting) -> Self {
        let memory = |x: i32, y: i32| {
            let (column, row) = mounting.memory_pixel(panel, (seen.left + x) as u32, (seen.top + y) as u32);
            (column as i32, row as i32)
        };
        let (near, far) = (memory(0, 0), memory(seen.width - 1, seen.height - 1));
        let (right, below) = (memory(1, 0), memory(0, 1));
        let swaps = right.0 == near.0;
        let (across_falls, down_falls) =
            if swaps { (right.1 < near.1, below.0 < near.0) } else { (right.0 < near.0, below.1 < near.1) };
        Self {
            left: near.0.min(far.0),
            end: near.0.max(far.0) + 1,
            top: near.1.min(far.1),
            bottom: near.1.max(far.1) + 1,
            near,
            swaps,
            across_falls,
            down_falls,
        }
    }

    /// The place across and down of the first column's pixel in a row of memory.
    fn place_in_row(&self, row: i32) -> (i32, i32) {
        let (by_column, by_row) = ((self.left - self.near.0).abs(), (row - self.near.1).abs());
        if self.swaps { (by_row, by_column) } else { (by_column, by_row) }
    }

    /// By how much places go on from row to row, and from column to column.
    fn steps(&self) -> (u16, u16) {
        let towards = |step: u16, falls: bool| if falls { step.wrapping_neg() } else { step };
        let (across, down) = (towards(1, self.across_falls), towards(PLACES_A_ROW, self.down_falls));
        if self.swaps { (across, down) } else { (down, across) }
    }
}

impl NoiseInk {
    /// The noise of an area, as far as it is in the view; `None` where that is less than two pixels wide or high.
    pub fn of(flicker: &Flicker, panel: &Panel, mounting: &Mounting) -> Option<Self> {
        let first_column = i32::from(mounting.memory_window(panel).first_column);
        let (width, height) = mounting.view_size(panel);
        let seen = flicker.area.within(&Area { left: 0, top: 0, width: width as i32, height: height as i32 });
        if seen.width < 2 || seen.height < 2 {
            return None;
        }
        let lie = AreaTransform::of(&seen, panel, mounting);
        let rectangle = PixelRectangle {
            columns: (lie.left - first_column) as usize..(lie.end - first_column) as usize,
            rows: lie.top as usize..lie.bottom as usize,
        };
        let (across, down) = lie.place_in_row(lie.top);
        let (across, down) = (across + seen.left - flicker.area.left, down + seen.top - flicker.area.top);
        let (by_row, by_column) = lie.steps();
        let place = (down as u16).wrapping_mul(PLACES_A_ROW).wrapping_add(across as u16);
        let rows_before = (rectangle.rows.start % PAGE_ROWS) as u16;
        let record = [flicker.seed, place.wrapping_sub(by_row.wrapping_mul(rows_before)), by_row, by_column];
        let sheet = Sheet { noise: Some(record), phases: flicker.phases.clone(), ..Sheet::default() };
        Some(Self { rectangle, sheet })
    }
}

#[cfg(test)]
mod tests {
    use crate::player::grain::is_ink;

    /// The share of ink is what is asked for, in all of the picture, in each column and row, and beside ink as elsewhere.
    #[test]
    fn noise_is_even_and_no_grain_tells_of_its_neighbour() {
        const QUARTER: u16 = 32 << 8;
        for (seed, phase) in [0u16, 1, 0x00FF, 0x1234, 0x8000, 0xBEEF, 0xFFFF].into_iter().zip(QUARTER..) {
            let ink = |x: u32, y: u32| is_ink(seed, phase, (256 * y + x) as u16);
            let all = |pick: fn((u32, u32)) -> (u32, u32)| {
                let places = (0..128u32).flat_map(|y| (0..128u32).map(move |x| (x, y)));
                places.filter(|place| ink(place.0, place.1)).map(pick).filter(|place| ink(place.0, place.1)).count()
            };
            // 16,384 places, a quarter of them ink: 4,096, and a quarter of those again beside one, 1,024; five deviations around.
            let (lit, right, below) = (all(|place| place), all(|(x, y)| (x + 1, y)), all(|(x, y)| (x, y + 1)));
            assert!((3_819..=4_373).contains(&lit), "{seed:04X}: {lit} of 16,384");
            let next = (0..128u32).flat_map(|y| (0..128u32).map(move |x| (x, y))).filter(|(x, y)| ink(*x, *y));
            let next = next.filter(|(x, y)| is_ink(seed, phase + 1, (256 * y + x) as u16)).count();
            for beside in [right, below, next] {
                assert!((874..=1_174).contains(&beside), "{seed:04X}: {beside} of 16,384 side by side");
            }
        }
    }

    #[test]
    fn a_share_of_nothing_has_no_ink_and_one_of_all_nothing_else() {
        let lit = |share: u16| (0..=u16::MAX).filter(|place| is_ink(0x1234, share << 8, *place)).count();
        assert_eq!((lit(0), lit(128)), (0, 65_536));
    }
}
