//! How a panel sits in the model: turned, seen in a mirror, behind an opening; and how the viewer's picture lies in memory.
//!
//! The controller can reverse columns and rows, which gives the half turn and the mirror for nothing; a quarter turn
//! also needs the picture transposed in memory, which the compiler does.

use super::{OpeningPixels, Panel, PanelOpening, Wiring};

/// How far the upright display is turned, as the viewer sees it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum MountingTurn {
    /// Not at all.
    #[default]
    Upright,
    /// Upside down.
    Half,
    /// A quarter turn anticlockwise: its top edge is on the viewer's left.
    Left,
    /// A quarter turn clockwise: its top edge is on the viewer's right.
    Right,
}

/// How a panel sits in the model.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mounting {
    /// How far the display is turned.
    pub turn: MountingTurn,
    /// Whether the viewer sees it in a mirror, left and right changed over after the turn.
    pub mirror: bool,
    /// The hole in front of it; `None`: all is seen.
    pub opening: Option<PanelOpening>,
}

/// What is done about the mounting, and by whom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ControllerTurn {
    /// The compiler changes rows and columns over: memory (x, y) holds the viewer's (y, x).
    pub transposed: bool,
    /// Memory columns run from right to left of the upright display. The controller reverses them, or the compiler if the
    /// controller cannot.
    pub columns_reversed: bool,
    /// The controller shows memory rows from bottom to top of the upright display.
    pub rows_reversed: bool,
}

/// The part of controller memory that the display shows as mounted; its first row is memory row 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MemoryWindow {
    /// Leftmost column.
    pub first_column: u8,
    /// Columns.
    pub columns: u8,
    /// Rows, from row 0 of page 0.
    pub rows: u8,
    /// The start line that shows row 0 in the first place.
    pub start_line: u8,
}

impl MemoryWindow {
    /// Pages, the last perhaps in part.
    pub fn pages(&self) -> u8 {
        self.rows.div_ceil(8)
    }
    /// Rightmost column.
    pub fn last_column(&self) -> u8 {
        self.first_column.saturating_add(self.columns.saturating_sub(1))
    }
}

impl Mounting {
    /// Width and height in pixels of what the viewer sees, the opening aside.
    pub fn view_size(&self, panel: &Panel) -> (u32, u32) {
        if self.controller_turn().transposed { (panel.height, panel.width) } else { (panel.width, panel.height) }
    }

    /// Distance from pixel to pixel in millimetres, across and down as the viewer sees it.
    pub fn view_pitch_millimetres(&self, panel: &Panel) -> (f64, f64) {
        let (across, down) = panel.pitch_millimetres();
        if self.controller_turn().transposed { (down, across) } else { (across, down) }
    }

    /// The pixels that the opening leaves to see, in the viewer's space.
    pub fn visible(&self, panel: &Panel) -> OpeningPixels {
        let (width, height) = self.view_size(panel);
        let whole = OpeningPixels { left: 0, top: 0, width, height };
        self.opening.map_or(whole, |opening| opening.pixels(panel, self))
    }

    /// Which pixel of the upright display the viewer sees at (x, y); plain geometry, for checking what comes out.
    pub fn panel_pixel(&self, panel: &Panel, x: i32, y: i32) -> (i32, i32) {
        let (width, height) = (panel.width.cast_signed(), panel.height.cast_signed());
        let x = if self.mirror { self.view_size(panel).0.cast_signed() - 1 - x } else { x };
        match self.turn {
            MountingTurn::Upright => (x, y),
            MountingTurn::Half => (width - 1 - x, height - 1 - y),
            MountingTurn::Left => (width - 1 - y, x),
            MountingTurn::Right => (y, height - 1 - x),
        }
    }

    /// Who does what about turn and mirror.
    pub fn controller_turn(&self) -> ControllerTurn {
        let (transposed, columns_reversed, rows_reversed) = match (self.turn, self.mirror) {
            (MountingTurn::Upright, false) => (false, false, false),
            (MountingTurn::Upright, true) => (false, true, false),
            (MountingTurn::Half, false) => (false, true, true),
            (MountingTurn::Half, true) => (false, false, true),
            (MountingTurn::Left, false) => (true, true, false),
            (MountingTurn::Left, true) => (true, true, true),
            (MountingTurn::Right, false) => (true, false, true),
            (MountingTurn::Right, true) => (true, false, false),
        };
        ControllerTurn { transposed, columns_reversed, rows_reversed }
    }

    /// The set-up values for the display as mounted.
    ///
    /// Reversed columns count from the other end of memory, so the first is memory columns − first − width. Reversed
    /// rows need the display offset −(multiplex − height + start line + offset), and start line 0, by the rule that
    /// common c shows row (c + offset) mod 64, or (multiplex − 1 − c + offset) mod 64 when scanned from the last
    /// (SSD1306 data sheet Rev 1.5 Tables 10-1 and 10-2; for other controllers taken to be the same).
    pub fn wiring(&self, panel: &Panel) -> Wiring {
        let turn = self.controller_turn();
        let mut wiring = panel.wiring;
        if !panel.controller.reverses() {
            return wiring;
        }
        if panel.controller.sideways {
            return sideways_wiring(panel, turn);
        }
        if turn.columns_reversed {
            wiring.segments_reversed = !wiring.segments_reversed;
            let after = u32::from(wiring.first_column) + panel.width;
            wiring.first_column = byte(u32::from(panel.controller.memory_columns).saturating_sub(after));
        }
        if turn.rows_reversed {
            wiring.commons_reversed = !wiring.commons_reversed;
            let rows = i64::from(panel.controller.memory_rows);
            let shift = i64::from(wiring.multiplex) - i64::from(panel.height)
                + i64::from(wiring.start_line)
                + i64::from(wiring.display_offset);
            wiring.display_offset = byte((-shift).rem_euclid(rows));
            wiring.start_line = 0;
        }
        wiring
    }

    /// The part of controller memory that the display shows as mounted.
    pub fn memory_window(&self, panel: &Panel) -> MemoryWindow {
        let wiring = self.wiring(panel);
        MemoryWindow {
            first_column: wiring.first_column,
            columns: byte(panel.width),
            rows: byte(panel.height),
            start_line: wiring.start_line,
        }
    }

    /// The memory column (first column counted in) and row that hold the viewer's pixel (x, y); page = row / 8, bit = row % 8.
    pub fn memory_pixel(&self, panel: &Panel, x: u32, y: u32) -> (u32, u32) {
        let turn = self.controller_turn();
        let (column, row) = if turn.transposed { (y, x) } else { (x, y) };
        if !panel.controller.reverses() {
            let other = |reversed: bool, count: u32, at: u32| if reversed { (count - 1).wrapping_sub(at) } else { at };
            return (other(turn.columns_reversed, panel.width, column), other(turn.rows_reversed, panel.height, row));
        }
        (u32::from(self.wiring(panel).first_column) + column, row)
    }
}

/// A number of columns or rows, of which no panel has more than a byte counts.
fn byte(number: impl TryInto<u8>) -> u8 {
    number.try_into().unwrap_or(u8::MAX)
}

/// The set-up values where columns are commons: reversed ones need the display offset 2 × (first − start line) + width −
/// multiplex − offset by the same rule, with the commons in place of 64. Segments are rows, and all of them are shown.
fn sideways_wiring(panel: &Panel, turn: ControllerTurn) -> Wiring {
    let mut wiring = panel.wiring;
    wiring.segments_reversed ^= turn.rows_reversed;
    if turn.columns_reversed {
        wiring.commons_reversed = !wiring.commons_reversed;
        let [first, multiplex, offset, start] =
            [wiring.first_column, wiring.multiplex, wiring.display_offset, wiring.start_line].map(i64::from);
        let moved = 2 * (first - start) + i64::from(panel.width) - multiplex - offset;
        wiring.display_offset = byte(moved.rem_euclid(i64::from(panel.controller.commons())));
    }
    wiring
}
