// A turning beam with a dithered trail. It is computed in whole numbers, so that the compiler draws exactly what the player predicts.

/// Tangents halfway between the bearings of an eighth of a turn, in 1/128: tan((at + 1/2) × 360° / 256) × 128, rounded.
const TANGENTS: [u8; 33] = [
    2, 5, 8, 11, 14, 17, 21, 24, 27, 30, 34, 37, 41, 44, 48, 51, 55, 59, 62, 66, 70, 75, 79, 83, 88, 93, 97, 102, 108,
    113, 119, 125, 131,
];
/// A tangent of 1.
const ONE: i32 = 128;
/// Bearings from the middle of a quarter of the turn to its edge.
const EIGHTH: u8 = 32;
/// Bearings of a quarter of the turn.
const QUARTER: u8 = 64;

/// How far ahead and how far to the right a place is, for a viewer at the centre who looks up (quarter 0), right (1), down, or left.
fn seen(quarter: u8, x: i16, y: i16) -> (i32, i32) {
    let (x, y) = (x as i32, y as i32);
    match quarter & 3 {
        0 => (-y, x),
        1 => (x, y),
        2 => (y, -x),
        _ => (-x, -y),
    }
}

/// Returns the bearing of a place from the centre, clockwise from the top, in 1/256 of a turn.
pub fn bearing(x: i16, y: i16) -> u8 {
    let (across, down) = (x.unsigned_abs() as i32, y.unsigned_abs() as i32);
    let (ahead, aside) = if across > down { (across, down) } else { (down, across) };
    let up_to_diagonal = &TANGENTS[..EIGHTH as usize];
    let passed = up_to_diagonal.partition_point(|tangent| aside * ONE >= ahead * *tangent as i32) as u8;
    let from_top = if across > down { QUARTER - passed } else { passed };
    let on_the_right = if y > 0 { 2 * QUARTER - from_top } else { from_top };
    if x < 0 { on_the_right.wrapping_neg() } else { on_the_right }
}

/// Returns whether a place is on the line from the centre in a direction.
fn on_line(x: i16, y: i16, direction: u8) -> bool {
    let quarter = direction.wrapping_add(EIGHTH) / QUARTER;
    let aside = direction.wrapping_sub(quarter * QUARTER) as i8;
    let steps = aside.unsigned_abs() as usize;
    let tangent = if steps == 0 { 0 } else { (TANGENTS[steps - 1] as i32 + TANGENTS[steps] as i32) >> 1 };
    let (ahead, right) = seen(quarter, x, y);
    let off = right * ONE - ahead * if aside < 0 { -tangent } else { tangent };
    ahead >= 0 && off > -ONE / 2 && off <= ONE / 2
}

/// The square of a beam's length must be less than this: a beam is shorter than 120 pixels.
pub const TOO_LONG: u32 = 0x3800;
/// A pixel of the beam's line is at most this many bearings off its direction. So the longest limit is stored as at least this.
pub const SHORTEST_LONGEST: u8 = 8;

/// Returns whether a beam that turns by `turn` bearings per frame reaches the end of its own trail. The player cannot draw such a beam.
pub const fn reaches_its_trail(longest: u8, turn: u8) -> bool {
    longest as u16 + turn as u16 + SHORTEST_LONGEST as u16 > u8::MAX as u16
}
/// At this many columns from the centre or more, the two ends of a cell are less than half a turn apart.
const OFF_CENTRE: u8 = 3;
const HALF_TURN: u8 = 128;
/// Number of limits: one for each pixel of a 4×4 tile.
pub const LIMITS: usize = 16;

/// The distance of a column or row from the centre, in pixels. It is cut to eight bits, which is enough for the longest beam.
pub fn near(at: u8, centre: i16) -> i16 {
    centre + at.wrapping_sub(centre as u8) as i8 as i16
}

/// A beam that turns about a pixel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Beam {
    pub column: i16,
    pub row: i16,
    /// The square of its length in pixels.
    pub reach: u32,
    /// Whether it turns anticlockwise. Its directions are then counted anticlockwise too.
    pub mirrored: bool,
    /// For each pixel of a 4×4 tile, row by row, how many bearings behind the beam it stays lit.
    pub limits: [u8; LIMITS],
}

impl Beam {
    /// Returns how many pixels of a cell it can reach.
    pub fn reached_pixels(&self, column: u8, page: u8) -> u16 {
        let x = column.wrapping_sub(self.column as u8) as i8 as i32;
        let y = page.wrapping_mul(8).wrapping_sub(self.row as u8) as i8 as i32;
        let mut pixels = 0;
        for row in 0..8 {
            pixels += ((x * x + (y + row) * (y + row)) as u32 <= self.reach) as u16;
        }
        pixels
    }

    /// Returns whether it can reach a column.
    pub fn reaches_column(&self, column: u8) -> bool {
        let off = (column.wrapping_sub(self.column as u8) as i8).unsigned_abs() as u32;
        off * off <= self.reach
    }

    /// Returns how many cells of a page, from this one to the right, the beam and its trail certainly do not touch. It is computed from
    /// this cell alone. `now` and `last` are the directions in this frame and in the previous one. No pixel stays lit for more than
    /// `longest` bearings.
    pub fn far_cells(&self, longest: u8, (column, page): (u8, u8), (now, last): (u8, u8)) -> u8 {
        let x = column.wrapping_sub(self.column as u8) as i8;
        let x = if self.mirrored { x.wrapping_neg() } else { x };
        let y = page.wrapping_mul(8).wrapping_sub(self.row as u8) as i8;
        let off = x.unsigned_abs();
        if !self.reaches_column(column) {
            return 1;
        }
        if off < OFF_CENTRE {
            return 0;
        }
        let from = longest.wrapping_add(now).wrapping_sub(last);
        let behind = |y: i8| now.wrapping_sub(bearing(x as i16, y as i16));
        let (above, below) = (behind(y), behind(y.wrapping_add(7)));
        let (first, last) = if above > below { (below, above) } else { (above, below) };
        if first <= from || last >= 0u8.wrapping_sub(SHORTEST_LONGEST) || last - first > HALF_TURN {
            return 0;
        }
        let (to_trail, to_line) = (first - from - 1, u8::MAX - SHORTEST_LONGEST - last);
        let nearest = if to_trail < to_line { to_trail } else { to_line };
        1 + ((nearest as u16 * (off - OFF_CENTRE) as u16) >> 7) as u8
    }

    /// Returns whether it lights a pixel when it points in `direction`.
    pub fn lights(&self, column: i16, row: i16, direction: u8) -> bool {
        let (x, y) = self.place(column, row);
        let (across, down) = (x as i32, y as i32);
        let limit = self.limits[(row & 3) as usize * 4 + (column & 3) as usize];
        (across * across + down * down) as u32 <= self.reach
            && (direction.wrapping_sub(bearing(x, y)) < limit || on_line(x, y, direction))
    }

    /// Returns whether the line from the centre in `direction` passes a pixel.
    pub fn passes(&self, column: i16, row: i16, direction: u8) -> bool {
        let (x, y) = self.place(column, row);
        on_line(x, y, direction)
    }

    fn place(&self, column: i16, row: i16) -> (i16, i16) {
        let x = column - self.column;
        (if self.mirrored { -x } else { x }, row - self.row)
    }
}
