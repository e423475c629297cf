//! Strips of pictures that move sideways. All of them are in one pool, where equal ends overlap. Copies step from part to part.

use super::instruction::Instruction;
use crate::whole::limited;

/// Joins strips. Each one overlaps the end of the one before as far as they are equal.
pub fn pool(strips: &[&[u8]]) -> Vec<u8> {
    let mut pool: Vec<u8> = Vec::new();
    let mut left: Vec<&[u8]> = strips.to_vec();
    loop {
        left.retain(|strip| find(&pool, strip).is_none());
        let best =
            left.iter().enumerate().map(|(at, strip)| (overlap(&pool, strip), strip.len(), std::cmp::Reverse(at)));
        let Some((overlap, _, std::cmp::Reverse(at))) = best.max() else { return pool };
        let strip = left.remove(at);
        pool.extend(&strip[overlap..]);
    }
}

/// Returns the offset of a strip in the pool that contains it.
pub fn place(pool: &[u8], strip: &[u8]) -> usize {
    find(pool, strip).unwrap_or(0)
}

fn find(pool: &[u8], strip: &[u8]) -> Option<usize> {
    if strip.is_empty() { Some(0) } else { pool.windows(strip.len()).position(|window| window == strip) }
}

/// Returns how many bytes at the end of `before` equal those at the start of `strip`.
fn overlap(before: &[u8], strip: &[u8]) -> usize {
    let most = before.len().min(strip.len());
    (0..=most).rev().find(|length| before.ends_with(&strip[..*length])).unwrap_or(0)
}

/// Replaces strips by addresses. A strip that is shown for the first time, or whose step is not known, is copied from its address.
/// Others are copied by the step from the part before, so that equal steps are equal instructions. With `changes`, only the changes
/// of these are sent.
pub fn resolved(instructions: &[Instruction], addresses: &[usize], changes: bool) -> Vec<Instruction> {
    let entered = instructions.iter().find_map(|instruction| match instruction {
        Instruction::Jump(to) => Some(*to),
        _ => None,
    });
    let mut before: Option<u16> = None;
    let resolve = |(at, instruction): (usize, &Instruction)| {
        if Some(at) == entered {
            before = None;
        }
        let Instruction::Strip { place, strip, offset, shift, count, opens } = instruction else {
            return instruction.clone();
        };
        let (place, shift, count) = (*place, *shift, *count);
        let address: u16 = limited(addresses[*strip] + offset);
        let former = before.replace(address).filter(|_| !opens);
        let step = former.map(|former| address.wrapping_sub(former));
        match step {
            Some(step) if changes => Instruction::CopyChanged { place, step, shift, count },
            Some(step) => Instruction::CopyRelative { place, step, count },
            None => Instruction::CopyAbsolute { place, address, count },
        }
    };
    instructions.iter().enumerate().map(resolve).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_strip_stands_in_a_pool_no_longer_than_all(strips in prop::collection::vec(prop::collection::vec(0u8..3, 0..12), 0..6)) {
            let strips: Vec<&[u8]> = strips.iter().map(Vec::as_slice).collect();
            let pool = pool(&strips);
            prop_assert!(pool.len() <= strips.iter().map(|strip| strip.len()).sum());
            for strip in strips {
                let at = place(&pool, strip);
                prop_assert_eq!(&pool[at..at + strip.len()], strip);
            }
        }
    }
}
