//! The beam of a turning sweep in memory order: what it lights, and where it points in each frame.

use crate::panel::{Mounting, Panel};
use crate::player::beam::{Beam, bearing};
use crate::render::TurningSweep;

/// A beam, with columns counted from the first visible one, and its direction in each frame; `None` while it is hidden.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeenBeam {
    pub beam: Beam,
    pub directions: Vec<Option<u8>>,
}

/// Converts a beam to memory order. Returns `None` if its centre is off the display.
pub fn seen_beam(turning: &TurningSweep, panel: &Panel, mounting: &Mounting) -> Option<SeenBeam> {
    let (x, y) = turning.centre;
    let (width, height) = mounting.view_size(panel);
    if !(0..width as i32 - 1).contains(&x) || !(0..height as i32 - 1).contains(&y) {
        return None;
    }
    let first = mounting.memory_window(panel).first_column as i32;
    let memory = |x: i32, y: i32| {
        let (column, row) = mounting.memory_pixel(panel, x as u32, y as u32);
        (column as i32 - first, row as i32)
    };
    let (centre, right, below) = (memory(x, y), memory(x + 1, y), memory(x, y + 1));
    let across = (right.0 - centre.0, right.1 - centre.1);
    let down = (below.0 - centre.0, below.1 - centre.1);
    let mirrored = across.0 * down.1 - across.1 * down.0 < 0;
    let towards_top = if mirrored { (down.0, -down.1) } else { (-down.0, -down.1) };
    let top = bearing(towards_top.0 as i16, towards_top.1 as i16);
    let mut limits = [0; 16];
    for (y, row) in turning.limits.iter().enumerate() {
        for (x, limit) in row.iter().enumerate() {
            let (column, row) = memory(x as i32, y as i32);
            limits[(row & 3) as usize * 4 + (column & 3) as usize] = *limit;
        }
    }
    let directions = turning.directions.iter().map(|at| at.map(|at| top.wrapping_add(at))).collect();
    let reach = u16::try_from(turning.radius * turning.radius).ok()?.into();
    let beam = Beam { column: centre.0 as i16, row: centre.1 as i16, reach, mirrored, limits };
    Some(SeenBeam { beam, directions })
}
