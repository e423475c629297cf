//! Guides around a cell, in the colour that the reader takes as paper: a frame, ticks at baseline and cap line, a caption.

use crate::font::canvas::{Dot, RgbColour, SheetCanvas};
use crate::font::grid::Grid;
use crate::font::{Font, Symbol};

/// Pixels between the cell and the outer end of a tick: the frame and two pixels.
pub const TICK_REACH: u32 = 3;
/// Rows between a caption and the cell: the frame and one empty row.
pub const CAPTION_GAP: u32 = 2;

/// The shipped font of the captions.
pub const CAPTIONS: &str = "thole";
/// The number of letters of an icon's name that are shown.
const NAME_LETTERS: usize = 4;

/// What the guides of a sheet are drawn with.
pub struct Guides<'a> {
    pub grid: Grid,
    pub baseline: u32,
    pub cap_height: u32,
    pub colour: RgbColour,
    /// The font of the captions.
    pub captions: &'a Font,
}

impl Guides<'_> {
    /// What a caption says: the character itself where the captions' font has it, else its code, and an icon's first letters.
    pub fn caption(captions: &Font, symbol: &Symbol) -> String {
        match symbol {
            Symbol::Char('{') => "{{".into(),
            Symbol::Char(letter) if captions.glyph(*letter).is_some() => letter.to_string(),
            Symbol::Char(letter) => format!("{:04X}", u32::from(*letter)),
            Symbol::Name(name) => name.chars().take(NAME_LETTERS).collect(),
        }
    }

    /// Draws the guides of one cell, as far as margin and spacing leave room for them; never inside a cell.
    pub fn draw(&self, canvas: &mut SheetCanvas, column: u32, row: u32, symbol: Option<&Symbol>) {
        let (left, top) = self.grid.corner(column, row);
        let (left, top) = (i64::from(left), i64::from(top));
        let (width, height) = self.grid.cell;
        let room_x = self.grid.spacing.0.min(self.grid.margin.0);
        let room_y = self.grid.spacing.1.min(self.grid.margin.1);
        if room_x >= 1 && room_y >= 1 {
            canvas.frame((left - 1, top - 1), (width + 2, height + 2), self.colour);
        }
        if self.grid.spacing.0 >= 2 * TICK_REACH && self.grid.margin.0 >= TICK_REACH {
            let right = left + i64::from(width);
            let below = top + i64::from(self.baseline);
            let above = below - i64::from(self.cap_height) - 1;
            for y in [below, above] {
                canvas.fill((left - i64::from(TICK_REACH), y), (TICK_REACH, 1), self.colour);
                canvas.fill((right, y), (TICK_REACH, 1), self.colour);
            }
        }
        if let Some(symbol) = symbol
            && room_y > self.captions.height() + CAPTION_GAP
        {
            let caption = Self::caption(self.captions, symbol);
            let middle = left + i64::from(width) / 2 - i64::from(self.captions.width(&caption)) / 2;
            let y = top - i64::from(CAPTION_GAP + self.captions.height());
            canvas.text(self.captions, &caption, (middle, y), Dot::SINGLE, self.colour);
        }
    }
}
