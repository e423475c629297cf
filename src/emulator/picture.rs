//! What the display shows: memory through inversion, scan and wiring.

use super::Emulator;
use super::commons::Scan;
use crate::panel::{Mounting, MountingTurn};
use crate::render::Bitmap;

impl Emulator {
    /// The lit pixels of the display held upright; all dark when off or without its high voltage.
    ///
    /// Display row y hangs on the pin that shows memory row y with the panel's own wiring values, display column x on the
    /// segment that shows memory column `first_column` + x with them. Where pages run along the segments, rows and columns are
    /// changed over.
    pub fn visible(&self) -> Bitmap {
        let (width, height) = (self.panel.width, self.panel.height);
        let mut picture = Bitmap::new(width, height);
        if !self.registers.on || !self.has_high_voltage() {
            return picture;
        }
        let controller = self.controller();
        let own_lines = Scan::of_wiring(&self.panel.wiring, controller).rows_by_pin();
        let lines = Scan::of_registers(&self.registers, controller).rows_by_pin();
        let first_line = if controller.sideways { self.panel.wiring.first_column } else { 0 };
        // Commons scan lines one by one, so that a line is shown on one pin at most.
        let mut shown_at = [None; u128::BITS as usize];
        for (own, line) in own_lines.iter().zip(lines) {
            let (Some(own), Some(line)) = (own, line) else { continue };
            if let Some(place) = shown_at.get_mut(usize::from(line)) {
                *place = own.checked_sub(first_line).map(i32::from);
            }
        }
        for along in 0..if controller.sideways { height } else { width } {
            // Most pixels are dark, and a new picture is dark, so only lit ones are set.
            let mut lit = self.lit_lines(self.own_segment(along));
            while lit != 0 {
                if let Some(line) = shown_at[lit.trailing_zeros() as usize] {
                    let along = along.cast_signed();
                    let (x, y) = if controller.sideways { (line, along) } else { (along, line) };
                    picture.set(x, y, true);
                }
                lit &= lit - 1;
            }
        }
        picture
    }

    /// What the viewer sees in the model, the opening of the bezel aside.
    pub fn as_mounted(&self, mounting: &Mounting) -> Bitmap {
        if mounting.turn == MountingTurn::Upright && !mounting.mirror {
            return self.visible();
        }
        let (width, height) = mounting.view_size(&self.panel);
        self.visible().mapped(width, height, |x, y| mounting.panel_pixel(&self.panel, x, y))
    }

    /// The memory lines that light up on a segment, line 0 in bit 0.
    fn lit_lines(&self, segment: Option<u8>) -> u128 {
        if self.registers.all_on {
            return u128::MAX;
        }
        let lines = segment.map_or(0, |segment| self.memory.lines(segment));
        if self.registers.inverted { !lines } else { lines }
    }

    /// The segment that a column of the upright display hangs on, or a row of it where pages run along the segments; `None` beyond
    /// the controller.
    fn own_segment(&self, along: u32) -> Option<u8> {
        let (wiring, controller) = (&self.panel.wiring, self.controller());
        let last = controller.segments() - 1;
        let first = if controller.sideways { 0 } else { wiring.first_column };
        let column = u8::try_from(u32::from(first) + along).ok().filter(|column| *column <= last)?;
        Some(if wiring.segments_reversed { last - column } else { column })
    }
}
