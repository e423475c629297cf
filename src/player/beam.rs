// A turning beam with a dithered trail, in whole numbers, so that the compiler draws what the player predicts.

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

/// A place as the viewer of one quarter sees it: how far ahead, and how far to the right. Quarter 0 looks up, 1 to the right.
fn seen(quarter: u8, x: i16, y: i16) -> (i32, i32) {
    let (x, y) = (x as i32, y as i32);
    match quarter & 3 {
        0 => (-y, x),
        1 => (x, y),
        2 => (y, -x),
        _ => (-x, -y),
    }
}

/// The bearing of a place from the centre, clockwise from the top in 1/256 of a turn.
pub fn bearing(x: i16, y: i16) -> u8 {
    let (across, down) = (x.unsigned_abs() as i32, y.unsigned_abs() as i32);
    let (ahead, aside) = if across > down { (across, down) } else { (down, across) };
    let up_to_diagonal = &TANGENTS[..EIGHTH as usize];
    let passed = up_to_diagonal.partition_point(|tangent| aside * ONE >= ahead * *tangent as i32) as u8;
    let from_top = if across > down { QUARTER - passed } else { passed };
    let on_the_right = if y > 0 { 2 * QUARTER - from_top } else { from_top };
    if x < 0 { on_the_right.wrapping_neg() } else { on_the_right }
}

/// Whether a place is on the line from the centre in a direction.
fn on_line(x: i16, y: i16, direction: u8) -> bool {
    let quarter = direction.wrapping_add(EIGHTH) / QUARTER;
    let aside = direction.wrapping_sub(quarter * QUARTER) as i8;
    let steps = aside.unsigned_abs() as usize;
    let tangent = if steps == 0 { 0 } else { (TANGENTS[steps - 1] as i32 + TANGENTS[steps] as i32) >> 1 };
    let (ahead, right) = seen(quarter, x, y);
    let off = right * ONE - ahead * if aside < 0 { -tangent } else { tangent };
    ahead >= 0 && off > -ONE / 2 && off <= ONE / 2
}

/// The square of a beam's length is less than this, so that it is shorter than 120 pixels.
pub const TOO_LONG: u32 = 0x3800;
/// A pixel of the beam's line may be so many bearings off its direction, so the longest limit is never stored as less.
pub const SHORTEST_LONGEST: u8 = 8;
/// Limits of a 4×4 tile.
pub const LIMITS: usize = 16;

/// A column or row as it is seen from the centre: in eight bits, which separate a beam that is not too long from none.
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
    /// Whether it turns anticlockwise; its directions then count that way too.
    pub mirrored: bool,
    /// For each pixel of a 4×4 tile, row by row, how many bearings behind the beam it stays lit.
    pub limits: [u8; LIMITS],
}

impl Beam {
    /// Whether it lights a pixel when it points in a direction.
    pub fn lights(&self, column: i16, row: i16, direction: u8) -> bool {
        let (x, y) = self.place(column, row);
        let (across, down) = (x as i32, y as i32);
        let limit = self.limits[(row & 3) as usize * 4 + (column & 3) as usize];
        (across * across + down * down) as u32 <= self.reach
            && (direction.wrapping_sub(bearing(x, y)) < limit || on_line(x, y, direction))
    }

    /// Whether the line from the centre in a direction passes a pixel.
    pub fn passes(&self, column: i16, row: i16, direction: u8) -> bool {
        let (x, y) = self.place(column, row);
        on_line(x, y, direction)
    }

    fn place(&self, column: i16, row: i16) -> (i16, i16) {
        let x = column - self.column;
        (if self.mirrored { -x } else { x }, row - self.row)
    }
}
