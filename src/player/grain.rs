// Noise, for areas: grains are computed from a seed, not stored. The compiler draws noise by the same numbers.

use super::reel::word;

/// How far a pixel's place is from that of the pixel above it, in the viewer's space; one to the right is 1.
pub const PLACES_A_ROW: u16 = 256;

/// Found by trial: with these, neighbours in space and time are as independent as numbers drawn by chance
/// (`reel::areas::noise` tests it).
const FIRST_FACTOR: u16 = 0x426B;
const SECOND_FACTOR: u16 = 0x5387;

/// The hash of a place, 0 to 255: even over places and seeds.
pub fn hash(seed: u16, place: u16) -> u8 {
    let mut hash = (place ^ seed).wrapping_mul(FIRST_FACTOR);
    hash ^= hash >> 8;
    (hash.wrapping_add(seed).wrapping_mul(SECOND_FACTOR) >> 8) as u8
}

/// The seed at a phase, whose lower byte counts pictures.
fn seed_at(seed: u16, phase: u16) -> u16 {
    seed.wrapping_add((phase & 0xFF).wrapping_mul(SECOND_FACTOR))
}

/// Whether the pixel at a place is ink at a phase, whose upper byte is the density of ink in 1/128.
pub fn is_ink(seed: u16, phase: u16, place: u16) -> bool {
    ((hash(seed_at(seed, phase), place) >> 1) as u16) < phase >> 8
}

/// The ink of a cell at a phase, so many rows of cells and columns on from an area's first. From `at` on stand, in place of a table of
/// rows, a seed, the place of the first pixel of the area's first page, and by how much places go on from row to row and from column
/// to column.
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
