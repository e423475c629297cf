//! The beam of a turning sweep in memory order: what it lights, and where it points in each frame.

use crate::panel::{Mounting, Panel};
use crate::player::beam::{Beam, bearing};
use crate::render::TurningSweep;
use crate::whole::limited;

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
    if !(0..width.cast_signed() - 1).contains(&x) || !(0..height.cast_signed() - 1).contains(&y) {
        return None;
    }
    let first: i32 = mounting.memory_window(panel).first_column.into();
    let memory = |x: i32, y: i32| -> (i16, i16) {
        let (column, row) = mounting.memory_pixel(panel, x.cast_unsigned(), y.cast_unsigned());
        (limited(column.cast_signed() - first), limited(row))
    };
    let (centre, right, below) = (memory(x, y), memory(x + 1, y), memory(x, y + 1));
    let across = (right.0 - centre.0, right.1 - centre.1);
    let down = (below.0 - centre.0, below.1 - centre.1);
    let mirrored = across.0 * down.1 - across.1 * down.0 < 0;
    let towards_top = if mirrored { (down.0, -down.1) } else { (-down.0, -down.1) };
    let top = bearing(towards_top.0, towards_top.1);
    let mut limits = [0; 16];
    for (y, row) in (0..).zip(turning.limits) {
        for (x, limit) in (0..).zip(row) {
            let (column, row) = memory(x, y);
            limits[usize::from((row & 3).cast_unsigned() * 4 + (column & 3).cast_unsigned())] = limit;
        }
    }
    let directions = turning.directions.iter().map(|at| at.map(|at| top.wrapping_add(at))).collect();
    let reach = u16::try_from(turning.radius * turning.radius).ok()?.into();
    let beam = Beam { column: centre.0, row: centre.1, reach, mirrored, limits };
    Some(SeenBeam { beam, directions })
}
