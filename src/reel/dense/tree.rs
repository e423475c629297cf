//! Grows decision trees for a show from the features that predict decisions best. The flash of the tree is part of the price.

use crate::player::dense::{NUMBERS, PROBABILITY_BITS, probability};
use std::sync::LazyLock;

/// Number of binary features, in groups of eight. Numbers come after them.
const BINARY: u8 = NUMBERS * 8;
/// Numbers that can be compared with a threshold.
pub const NUMBER_COUNT: usize = 4;
/// Bytes of a node: its feature, and the byte after it.
const NODE_BYTES: usize = 2;
/// Bits of a byte of a tree.
const BYTE: f64 = 8.0;
/// From this length on, the length of a subtree takes two bytes.
pub const LONG_SKIP: usize = 0x40;
/// The longest subtree that can be skipped.
const LONGEST_SKIP: usize = 0x3FFF;
/// A split that saves fewer bits than this is not tried.
const LEAST_GAIN: f64 = 6.0;
/// The price in bits of passing a node. Over the corpus, 3 more bytes save up to a tenth of the time of a frame.
const BITS_A_PASSAGE: f64 = 0.003;
/// The largest depth of a tree, so that the time of a decision is limited.
const DEEPEST: usize = 20;
/// Number of possible leaves.
pub const LEAVES: u8 = 0x80;

/// A decision, with everything that a tree can test.
#[derive(Clone, Copy, Debug)]
pub struct TreeDecision {
    pub features: u128,
    pub numbers: [u8; NUMBER_COUNT],
    pub tree: u8,
    pub answer: bool,
}

impl TreeDecision {
    /// The value of a feature: binary ones, then numbers with a threshold.
    pub fn says(&self, feature: u8, threshold: u8) -> bool {
        match feature.checked_sub(BINARY) {
            Some(number) => self.numbers[usize::from(number)] > threshold,
            None => self.features >> feature & 1 == 1,
        }
    }
}

/// A grown tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tree {
    Leaf {
        /// The probability of a yes, as a leaf byte of the player.
        leaf: u8,
        /// How often the answer was no, and yes, in the training samples.
        counts: Counts,
    },
    Node {
        feature: u8,
        threshold: u8,
        no: Box<Tree>,
        yes: Box<Tree>,
    },
}

impl Tree {
    /// Returns the leaf of a sample, and the number of nodes passed.
    pub fn leaf(&self, sample: &TreeDecision) -> (u8, u32) {
        let (mut tree, mut steps) = (self, 0);
        loop {
            match tree {
                Self::Leaf { leaf, .. } => return (*leaf, steps),
                Self::Node { feature, threshold, no, yes } => {
                    tree = if sample.says(*feature, *threshold) { yes } else { no };
                    steps += 1;
                }
            }
        }
    }

    /// Bytes of flash, as part of another tree. Leaves are in the bytes of their nodes.
    pub fn bytes(&self) -> usize {
        match self {
            Self::Leaf { .. } => 0,
            Self::Node { feature, no, yes, .. } => {
                // Each side is computed once. If it were computed twice, the time would double with every level.
                let (no, yes) = (no.bytes(), yes.bytes());
                let skip = usize::from(yes > 0 && no >= LONG_SKIP);
                NODE_BYTES + usize::from(*feature >= BINARY) + skip + no + yes
            }
        }
    }

    /// Returns whether this node compares a number with a threshold.
    pub fn has_threshold(&self) -> bool {
        matches!(self, Self::Node { feature, .. } if *feature >= BINARY)
    }
}

/// The bits that a no and a yes take at each leaf.
static LEAF_BITS: LazyLock<Vec<[f64; 2]>> = LazyLock::new(|| {
    let bits = |share: u16| -(f64::from(share) / f64::from(1u16 << PROBABILITY_BITS)).log2();
    (0..LEAVES).map(probability).map(|yes| [bits((1 << PROBABILITY_BITS) - yes), bits(yes)]).collect()
});

/// The bits of an answer at a leaf.
pub fn answer_bits(leaf: u8, answer: bool) -> f64 {
    LEAF_BITS[usize::from(leaf)][usize::from(answer)]
}

/// How often the answer was no, and yes.
pub type Counts = [u32; 2];

/// The bits of a number of answers at a leaf.
fn bits_at(leaf: u8, [no, yes]: Counts) -> f64 {
    let [bits_of_no, bits_of_yes] = LEAF_BITS[usize::from(leaf)];
    f64::from(no) * bits_of_no + f64::from(yes) * bits_of_yes
}

/// Returns the leaf at which a number of answers takes the fewest bits, and the bits.
pub fn best_leaf(counts: Counts, leaves: impl Iterator<Item = u8>) -> (f64, u8) {
    let least = leaves.map(|leaf| (bits_at(leaf, counts), leaf)).min_by(|(a, _), (b, _)| a.total_cmp(b));
    least.unwrap_or_default()
}

/// The bits of a number of answers at their own probability.
fn entropy([no, yes]: Counts) -> f64 {
    if no == 0 || yes == 0 {
        return f64::from(no + yes) * LEAF_BITS[usize::from(LEAVES) - 1][1];
    }
    let (no, yes) = (f64::from(no), f64::from(yes));
    let all = no + yes;
    -(no * (no / all).log2() + yes * (yes / all).log2())
}

fn counted<'a>(samples: impl IntoIterator<Item = &'a TreeDecision>) -> Counts {
    let mut counts = [0, 0];
    for sample in samples {
        counts[usize::from(sample.answer)] += 1;
    }
    counts
}

/// For each binary feature, the answers where it is set; for each value of a number, the answers there.
struct Tally {
    set: Vec<Counts>,
    numbers: Vec<[Counts; 256]>,
}

fn tally(samples: &[TreeDecision]) -> Tally {
    let mut tally = Tally { set: vec![[0; 2]; usize::from(BINARY)], numbers: vec![[[0; 2]; 256]; NUMBER_COUNT] };
    for sample in samples {
        let (mut left, answer) = (sample.features, usize::from(sample.answer));
        while left != 0 {
            tally.set[left.trailing_zeros() as usize][answer] += 1;
            left &= left - 1;
        }
        for (number, values) in sample.numbers.iter().zip(&mut tally.numbers) {
            values[usize::from(*number)][answer] += 1;
        }
    }
    tally
}

fn rest(all: Counts, part: Counts) -> Counts {
    [all[0] - part[0], all[1] - part[1]]
}

/// Returns the split that leaves the fewest bits: feature and threshold.
fn best_split(samples: &[TreeDecision], all: Counts, bits: f64) -> Option<(u8, u8)> {
    let tally = tally(samples);
    let mut best = (bits - LEAST_GAIN, None);
    let mut offer = |price: f64, feature: u8, threshold: u8| {
        if price < best.0 {
            best = (price, Some((feature, threshold)));
        }
    };
    for (feature, set) in (0..=u8::MAX).zip(&tally.set) {
        offer(entropy(*set) + entropy(rest(all, *set)), feature, 0);
    }
    for (feature, values) in (BINARY..=u8::MAX).zip(&tally.numbers) {
        let mut below = [0, 0];
        for (threshold, counts) in (0..=u8::MAX).zip(values) {
            if *counts == [0, 0] {
                continue;
            }
            below = [below[0] + counts[0], below[1] + counts[1]];
            let price = entropy(below) + entropy(rest(all, below)) + BYTE;
            offer(price, feature, threshold);
        }
    }
    best.1
}

/// Sorts the samples without the feature before those with it. Returns how many are without it.
fn part(samples: &mut [TreeDecision], feature: u8, threshold: u8) -> usize {
    let (mut first, mut end) = (0, samples.len());
    while first < end {
        if samples[first].says(feature, threshold) {
            end -= 1;
            samples.swap(first, end);
        } else {
            first += 1;
        }
    }
    first
}

/// Grows the tree for which tree and answers together take the fewest bits. Returns the bits too.
pub fn grow(samples: &mut [TreeDecision]) -> (Tree, f64) {
    grow_at(samples, 0)
}

fn grow_at(samples: &mut [TreeDecision], depth: usize) -> (Tree, f64) {
    let all = counted(&*samples);
    let (leaf_bits, leaf) = best_leaf(all, 0..LEAVES);
    let alone = (Tree::Leaf { leaf, counts: all }, leaf_bits);
    if depth == DEEPEST || leaf_bits < LEAST_GAIN {
        return alone;
    }
    let Some((feature, threshold)) = best_split(samples, all, entropy(all)) else { return alone };
    let middle = part(samples, feature, threshold);
    let (no, yes) = samples.split_at_mut(middle);
    let grown = |samples| grow_at(samples, depth + 1);
    let ((no, no_bits), (yes, yes_bits)) = if no.len().min(yes.len()) > PARALLEL {
        rayon::join(|| grown(no), || grown(yes))
    } else {
        (grown(no), grown(yes))
    };
    let below = no.bytes() + yes.bytes();
    if no.bytes() > LONGEST_SKIP {
        return alone;
    }
    let tree = Tree::Node { feature, threshold, no: Box::new(no), yes: Box::new(yes) };
    let time = f64::from(all[0] + all[1]) * BITS_A_PASSAGE;
    let bits = no_bits + yes_bits + (tree.bytes() - below) as f64 * BYTE + time;
    if bits < alone.1 { (tree, bits) } else { alone }
}

/// Subtrees with fewer samples do not get their own task.
const PARALLEL: usize = 2000;
