//! Chooses the eight leaves that pairs are made of, so that two leaves fit in a byte, and rounds the other leaves.

use super::tree::{Counts, LEAVES, Tree, best_leaf};
use crate::player::dense::{PAIR_LEAVES, SINGLE_SHIFT};

/// The leaves that pairs are made of, by number.
pub type PairLeaves = [u8; PAIR_LEAVES as usize];

/// The leaves that can stand beside a tree.
fn singles() -> impl Iterator<Item = u8> {
    (0..LEAVES).step_by(1 << SINGLE_SHIFT)
}

/// Rounds every leaf of these trees to one that can be encoded at its place. Returns the leaves of pairs.
pub fn settle(trees: &mut [Tree]) -> PairLeaves {
    let mut counts = Vec::new();
    trees.iter().for_each(|tree| collect(tree, &mut counts));
    let leaves = pair_leaves(counts);
    trees.iter_mut().for_each(|tree| settle_below(tree, &leaves));
    leaves
}

fn collect(tree: &Tree, counts: &mut Vec<Counts>) {
    match tree {
        // A tree without a node is written as a node with two equal leaves.
        Tree::Leaf { counts: own, .. } => counts.push(*own),
        Tree::Node { no, yes, .. } => match (&**no, &**yes) {
            (Tree::Leaf { counts: no, .. }, Tree::Leaf { counts: yes, .. }) => counts.extend([*no, *yes]),
            (no, yes) => [no, yes]
                .into_iter()
                .filter(|tree| matches!(tree, Tree::Node { .. }))
                .for_each(|tree| collect(tree, counts)),
        },
    }
}

fn settle_below(tree: &mut Tree, leaves: &PairLeaves) {
    let round = |tree: &mut Tree, pair: bool| {
        if let Tree::Leaf { leaf, counts } = tree {
            *leaf = if pair { best_leaf(*counts, leaves.iter().copied()).1 } else { best_leaf(*counts, singles()).1 };
        }
    };
    round(tree, true);
    if let Tree::Node { no, yes, .. } = tree {
        let pair = no.bytes() + yes.bytes() == 0;
        for tree in [no, yes] {
            match **tree {
                Tree::Leaf { .. } => round(tree, pair),
                Tree::Node { .. } => settle_below(tree, leaves),
            }
        }
    }
}

/// Returns the leaves that take the fewest bits for the counted answers. Sorted by the probability of a yes, those that share a
/// leaf are neighbours, because the bits at two leaves cross once.
fn pair_leaves(mut counts: Vec<Counts>) -> PairLeaves {
    counts.retain(|[no, yes]| no + yes > 0);
    let share = |[no, yes]: &Counts| f64::from(*yes) / f64::from(no + yes);
    counts.sort_by(|a, b| share(a).total_cmp(&share(b)));
    let count = counts.len();
    // cheapest[used][end]: bits of the first `end` with `used` leaves, and where the last of these begins.
    let mut cheapest = vec![vec![(f64::INFINITY, 0, 0u8); count + 1]; usize::from(PAIR_LEAVES) + 1];
    cheapest[0][0].0 = 0.0;
    for start in 0..count {
        let mut all = [0, 0];
        for end in start + 1..=count {
            let [no, yes] = counts[end - 1];
            all = [all[0] + no, all[1] + yes];
            let (bits, leaf) = best_leaf(all, 0..LEAVES);
            for used in 0..usize::from(PAIR_LEAVES) {
                let price = cheapest[used][start].0 + bits;
                if price < cheapest[used + 1][end].0 {
                    cheapest[used + 1][end] = (price, start, leaf);
                }
            }
        }
    }
    let mut leaves = PairLeaves::default();
    let used = (0..cheapest.len()).min_by(|a, b| cheapest[*a][count].0.total_cmp(&cheapest[*b][count].0)).unwrap_or(0);
    let mut end = count;
    for used in (1..=used).rev() {
        let (_, start, leaf) = cheapest[used][end];
        (leaves[used - 1], end) = (leaf, start);
    }
    leaves
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The bits of answers, each at the best of some leaves.
    fn bits_with(counts: &[Counts], leaves: &[u8]) -> f64 {
        counts.iter().map(|counts| best_leaf(*counts, leaves.iter().copied()).0).sum()
    }

    proptest! {
        /// Brute force: replacing one leaf by any other one is never better.
        #[test]
        fn no_other_leaf_makes_pairs_cheaper(counts in prop::collection::vec([0u32..200, 0u32..200], 1..14)) {
            let leaves = pair_leaves(counts.clone());
            let ours = bits_with(&counts, &leaves);
            for (at, leaf) in (0..leaves.len()).flat_map(|at| (0..LEAVES).map(move |leaf| (at, leaf))) {
                let mut other = leaves;
                other[at] = leaf;
                prop_assert!(bits_with(&counts, &other) >= ours - 1e-6);
            }
        }
    }
}
