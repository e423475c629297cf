// Noise, for areas: grains are computed from a seed, not stored. The compiler uses this code too when it draws noise.

use super::reel::word;

/// Each pixel has a place, a number. It grows by this from row to row, and by 1 from column to column, as the viewer sees them.
pub const PLACES_A_ROW: u16 = 256;

/// Both factors were found by trial: with them, neighbours in space and time are as independent as random numbers
/// (tested in `reel::areas::noise`).
const FIRST_FACTOR: u16 = 0x426B;
const SECOND_FACTOR: u16 = 0x5387;

/// Hashes the place of a pixel, evenly over places and seeds. Returns 0 to 255.
pub fn hash(seed: u16, place: u16) -> u8 {
    let mut hash = (place ^ seed).wrapping_mul(FIRST_FACTOR);
    hash ^= hash >> 8;
    (hash.wrapping_add(seed).wrapping_mul(SECOND_FACTOR) >> 8) as u8
}

/// The seed for a phase. The lower byte of the phase is the number of the picture.
fn seed_at(seed: u16, phase: u16) -> u16 {
    seed.wrapping_add((phase & 0xFF).wrapping_mul(SECOND_FACTOR))
}

/// Returns whether the pixel at a place is ink. The upper byte of the phase is the density of ink in 1/128.
pub fn is_ink(seed: u16, phase: u16, place: u16) -> bool {
    ((hash(seed_at(seed, phase), place) >> 1) as u16) < phase >> 8
}

/// Returns the ink of a cell of an area at a phase; `rows` and `column` count cells from the first of the area. At the offset `at` are
/// four words: the seed, the place of the first pixel of the area's first page, and how far apart the places of neighbouring rows and
/// columns are.
pub fn noise(reel: &[u8], at: u16, phase: u16, (rows, column): (u8, u8)) -> u8 {
    let (seed, place) = (word(reel, at), word(reel, at.wrapping_add(2)));
    let (by_row, by_column) = (word(reel, at.wrapping_add(4)), word(reel, at.wrapping_add(6)));
    let mut place =
        place.wrapping_add(by_row.wrapping_mul(8 * rows as u16)).wrapping_add(by_column.wrapping_mul(column as u16));
    let mut ink = 0;
    for row in 0..8 {
        ink |= (is_ink(seed, phase, place) as u8) << row;
        place = place.wrapping_add(by_row);
    }
    ink
}
