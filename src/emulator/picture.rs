//! What the display shows: memory through inversion, scan and wiring.

use super::Emulator;
use super::commons::{COMMONS, Scan};
use crate::panel::{Mounting, Turn};
use crate::render::Bitmap;

impl Emulator {
    /// The lit pixels of the display held upright; all dark when off or without its high voltage.
    ///
    /// Display row y hangs on the pin that shows memory row y with the panel's own wiring values, display column x on the
    /// segment that shows memory column `first_column` + x with them.
    pub fn visible(&self) -> Bitmap {
        let (width, height) = (self.panel.width, self.panel.height);
        let mut picture = Bitmap::new(width, height);
        if !self.registers.on || !self.has_high_voltage() {
            return picture;
        }
        let own_rows = Scan::from(&self.panel.wiring).rows_by_pin();
        let rows = Scan::from(&self.registers).rows_by_pin();
        // Commons scan rows one by one, so that a row is shown on one pin at most.
        let mut shown_at = [None; COMMONS as usize];
        for (own, row) in own_rows.iter().zip(rows) {
            let (Some(y), Some(row)) = (own, row) else { continue };
            shown_at[usize::from(row)] = Some(i32::from(*y));
        }
        for x in 0..width {
            // Most pixels are dark, and a new picture is dark, so only lit ones are set.
            let mut lit = self.lit_rows(self.own_segment(x));
            while lit != 0 {
                if let Some(y) = shown_at[lit.trailing_zeros() as usize] {
                    picture.set(x as i32, y, true);
                }
                lit &= lit - 1;
            }
        }
        picture
    }

    /// What the viewer sees in the model, the opening of the bezel aside.
    pub fn as_mounted(&self, mounting: &Mounting) -> Bitmap {
        if mounting.turn == Turn::Upright && !mounting.mirror {
            return self.visible();
        }
        let (width, height) = mounting.view_size(&self.panel);
        self.visible().mapped(width, height, |x, y| mounting.panel_pixel(&self.panel, x, y))
    }

    /// The memory rows that light up on a segment, row 0 in bit 0.
    fn lit_rows(&self, segment: Option<u8>) -> u64 {
        if self.registers.all_on {
            return u64::MAX;
        }
        let rows = segment.map_or(0, |segment| self.memory.rows(segment));
        if self.registers.inverted { !rows } else { rows }
    }

    /// The segment that a column of the upright display hangs on; `None` beyond the controller.
    fn own_segment(&self, x: u32) -> Option<u8> {
        let wiring = &self.panel.wiring;
        let last = self.controller().memory_columns - 1;
        let column = u8::try_from(u32::from(wiring.first_column) + x).ok().filter(|column| *column <= last)?;
        Some(if wiring.segments_reversed { last - column } else { column })
    }
}
