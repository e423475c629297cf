//! Encodes decision trees as the bytes of a model.

use super::leaves::PairLeaves;
use super::tree::Tree;
use crate::player::dense::{LEAF_FOR_NO, LEAF_FOR_YES, LONG_SKIP, MODEL_HEADER, SINGLE_SHIFT, SKIP};
use crate::reel::encode::word;
use crate::whole::limited;

/// The visible part of the display's memory, as a model describes it.
#[derive(Clone, Copy, Debug)]
pub struct VisibleWindow {
    /// Visible columns, and pages.
    pub width: u8,
    pub pages: u8,
    /// Memory column of the leftmost visible column.
    pub first_column: u8,
}

/// Encodes a model: its header, then its trees, whose leaves were rounded by `settle`.
pub fn model(visible: VisibleWindow, leaves: &PairLeaves, trees: &[Tree]) -> Vec<u8> {
    let mut bytes = vec![visible.width, visible.pages, visible.first_column];
    bytes.extend(leaves);
    let mut written = Vec::new();
    for tree in trees {
        bytes.extend(word(usize::from(MODEL_HEADER) + written.len()));
        match tree {
            Tree::Leaf { leaf, .. } => written.extend([0, pair(leaves, *leaf, *leaf)]),
            Tree::Node { .. } => push(tree, leaves, &mut written),
        }
    }
    bytes.extend(written);
    bytes
}

fn pair(leaves: &PairLeaves, no: u8, yes: u8) -> u8 {
    // `settle` has rounded leaves to these, so that each is found.
    let number = |leaf: u8| limited::<u8, _>(leaves.iter().position(|known| *known == leaf).unwrap_or(0));
    number(no) << 3 | number(yes)
}

fn push(tree: &Tree, leaves: &PairLeaves, bytes: &mut Vec<u8>) {
    let Tree::Node { feature, threshold, no, yes } = tree else { return };
    bytes.push((feature & 7) << 4 | feature >> 3);
    if tree.has_threshold() {
        bytes.push(*threshold);
    }
    match (&**no, &**yes) {
        (Tree::Leaf { leaf: no, .. }, Tree::Leaf { leaf: yes, .. }) => bytes.push(pair(leaves, *no, *yes)),
        (Tree::Leaf { leaf, .. }, _) => bytes.push(LEAF_FOR_NO | leaf >> SINGLE_SHIFT),
        (_, Tree::Leaf { leaf, .. }) => bytes.push(LEAF_FOR_YES | leaf >> SINGLE_SHIFT),
        (no, _) => {
            let [low, high] = word(no.bytes());
            match high {
                0 if low < LONG_SKIP - SKIP => bytes.push(SKIP | low),
                _ => bytes.extend([LONG_SKIP | high, low]),
            }
        }
    }
    push(no, leaves, bytes);
    push(yes, leaves, bytes);
}
