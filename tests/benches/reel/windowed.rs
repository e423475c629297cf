//! The size that a window-based coder for small parts makes of data: a flag bit, then a literal or a distance and a length.
//! It needs its window in memory to unpack; the parse is optimal, so that no such coder with these fields does better.

/// Bits of a distance: a window of 512 bytes.
const DISTANCE_BITS: usize = 9;
const WINDOW: usize = 1 << DISTANCE_BITS;
/// Bits of a flag with a literal byte.
const LITERAL_BITS: usize = 1 + 8;
/// Widths tried for the length field.
const LENGTH_BITS: std::ops::RangeInclusive<usize> = 4..=8;

/// Bytes of the packed data with the best width of the length field.
pub fn packed_bytes(data: &[u8]) -> usize {
    let matches = longest_matches(data);
    LENGTH_BITS.map(|bits| packed_bits(&matches, bits).div_ceil(8)).min().unwrap_or(0)
}

fn packed_bits(matches: &[usize], length_bits: usize) -> usize {
    let longest = 1 << length_bits;
    let reference = 1 + DISTANCE_BITS + length_bits;
    let mut least = vec![0; matches.len() + 1];
    for at in (0..matches.len()).rev() {
        let literal = LITERAL_BITS + least[at + 1];
        // A shorter match never costs less, but what follows may; sizes fall towards the end, so the longest is best.
        let reach = matches[at].min(longest);
        least[at] = if reach > 0 { literal.min(reference + least[at + reach]) } else { literal };
    }
    least[0]
}

/// For each place the longest earlier stretch in the window that begins like what stands there.
fn longest_matches(data: &[u8]) -> Vec<usize> {
    const ENOUGH: usize = 1 << *LENGTH_BITS.end();
    let mut longest = vec![0; data.len()];
    for distance in 1..=WINDOW {
        let mut run = 0usize;
        for at in (distance..data.len()).rev() {
            run = if data[at] == data[at - distance] { (run + 1).min(ENOUGH) } else { 0 };
            longest[at] = longest[at].max(run);
        }
    }
    longest
}
