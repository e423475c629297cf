//! Noise that the player computes, as an area: the place of each pixel, as the viewer sees it, is hashed.

use super::cut::PixelRectangle;
use super::sheet::Sheet;
use crate::panel::{Mounting, Panel};
use crate::player::grain::PLACES_A_ROW;
use crate::render::{Area, Flicker};
use crate::whole::limited;

/// Rows of a page.
const PAGE_ROWS: usize = 8;

/// The seed, the place of the first pixel of the area's first page, and how far apart the places of neighbouring rows and columns
/// are (`player::grain`).
pub type NoiseRecord = [u16; 4];

/// The noise of a layer in memory order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoiseInk {
    pub rectangle: PixelRectangle,
    pub sheet: Sheet,
}

/// How an area of the view lies in memory.
struct AreaTransform {
    /// The first column and row, and those after the last.
    left: i32,
    end: i32,
    top: i32,
    bottom: i32,
    /// Where the top left pixel of the area in the view is.
    near: (i32, i32),
    /// Whether rows of the view are columns of memory; whether places decrease across and down while those of memory increase.
    swaps: bool,
    across_falls: bool,
    down_falls: bool,
}

impl AreaTransform {
    /// For an area inside the view that is at least two pixels wide and high.
    fn of(seen: &Area, panel: &Panel, mounting: &Mounting) -> Self {
        let memory = |x: i32, y: i32| {
            let (column, row) =
                mounting.memory_pixel(panel, (seen.left + x).cast_unsigned(), (seen.top + y).cast_unsigned());
            (column.cast_signed(), row.cast_signed())
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

    /// The place, across and down, of the pixel in the first column of a memory row.
    fn place_in_row(&self, row: i32) -> (i32, i32) {
        let (by_column, by_row) = ((self.left - self.near.0).abs(), (row - self.near.1).abs());
        if self.swaps { (by_row, by_column) } else { (by_column, by_row) }
    }

    /// How far apart the places of neighbouring rows and of neighbouring columns are.
    fn steps(&self) -> (u16, u16) {
        let towards = |step: u16, falls: bool| if falls { step.wrapping_neg() } else { step };
        let (across, down) = (towards(1, self.across_falls), towards(PLACES_A_ROW, self.down_falls));
        if self.swaps { (across, down) } else { (down, across) }
    }
}

impl NoiseInk {
    /// Returns the noise of the visible part of an area. `None` if that part is less than two pixels wide or high.
    pub fn of(flicker: &Flicker, panel: &Panel, mounting: &Mounting) -> Option<Self> {
        let first_column = i32::from(mounting.memory_window(panel).first_column);
        let (width, height) = mounting.view_size(panel);
        let seen =
            flicker.area.within(&Area { left: 0, top: 0, width: width.cast_signed(), height: height.cast_signed() });
        if seen.width < 2 || seen.height < 2 {
            return None;
        }
        let lie = AreaTransform::of(&seen, panel, mounting);
        let rectangle = PixelRectangle {
            columns: limited(lie.left - first_column)..limited(lie.end - first_column),
            rows: limited(lie.top)..limited(lie.bottom),
        };
        let (across, down) = lie.place_in_row(lie.top);
        let (across, down) = (across + seen.left - flicker.area.left, down + seen.top - flicker.area.top);
        let (by_row, by_column) = lie.steps();
        let place = limited::<u16, _>(down).wrapping_mul(PLACES_A_ROW).wrapping_add(limited(across));
        let rows_before = limited(rectangle.rows.start % PAGE_ROWS);
        let record = [flicker.seed, place.wrapping_sub(by_row.wrapping_mul(rows_before)), by_row, by_column];
        let sheet = Sheet { noise: Some(record), phases: flicker.phases.clone(), ..Sheet::default() };
        Some(Self { rectangle, sheet })
    }
}

#[cfg(test)]
mod tests {
    use crate::player::grain::is_ink;
    use crate::whole::limited;

    /// The density of ink is the requested one: in the whole picture, next to ink, and where the previous picture had ink. Places
    /// are compared up to four columns and three rows apart.
    #[test]
    fn noise_is_even_and_no_pixel_depends_on_its_neighbours() {
        const QUARTER: u16 = 32 << 8;
        const SIDE: i32 = 128;
        for (seed, number) in [0u16, 1, 0x00FF, 0x1234, 0x8000, 0xBEEF, 0xFFFF].into_iter().zip((0u16..).step_by(37)) {
            let ink =
                |number: u16, x: i32, y: i32| is_ink(seed, QUARTER | number, limited((256 * y + x).rem_euclid(65_536)));
            let places = || (0..SIDE).flat_map(|y| (0..SIDE).map(move |x| (x, y)));
            let lit = places().filter(|(x, y)| ink(number, *x, *y)).count();
            // A quarter of 16,384 places is ink: 4,096, plus or minus five standard deviations of 55.
            assert!((3_819..=4_373).contains(&lit), "{seed:04X}: {lit} of 16,384");
            let near = (0..4).flat_map(|down| (-4..5).map(move |across| (0, across, down)));
            for (later, across, down) in near.filter(|place| *place > (0, 0, 0) || place.2 > 0).chain([(1, 0, 0)]) {
                let both = |(x, y): &(i32, i32)| ink(number, *x, *y) && ink(number + later, x + across, y + down);
                let both = places().filter(both).count();
                // A sixteenth of them: 1,024, plus or minus five standard deviations of 31. Places beyond an edge are included.
                let place = format!("{seed:04X}, {later} later, {across} across, {down} down: {both}");
                assert!((869..=1_179).contains(&both), "{place}");
            }
        }
    }

    #[test]
    fn a_density_of_nothing_has_no_ink_and_the_highest_has_nothing_else() {
        let lit = |density: u16| (0..=u16::MAX).filter(|place| is_ink(0x1234, density << 8, *place)).count();
        assert_eq!((lit(0), lit(128)), (0, 65_536));
    }
}
