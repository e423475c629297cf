//! Decision trees as the bytes of a model, as the player walks them.

use super::tree::{LONG_SKIP, Tree};
use crate::player::dense::{MODEL_HEADER, NODE, NUMBERS};

/// What a model says of the glass.
#[derive(Clone, Copy, Debug)]
pub struct Glass {
    /// Visible columns, and pages.
    pub width: u8,
    pub pages: u8,
    /// Column of controller memory of the leftmost visible column.
    pub first_column: u8,
}

/// A model: its header, then its trees.
pub fn model(glass: Glass, trees: &[Tree]) -> Vec<u8> {
    let mut bytes = vec![glass.width, glass.pages, glass.first_column];
    let mut offset = usize::from(MODEL_HEADER);
    for tree in trees {
        bytes.extend((offset as u16).to_le_bytes());
        offset += tree.bytes();
    }
    for tree in trees {
        push(tree, &mut bytes);
    }
    bytes
}

fn push(tree: &Tree, bytes: &mut Vec<u8>) {
    match tree {
        Tree::Leaf(leaf) => bytes.push(*leaf),
        Tree::Node { feature, threshold, no, yes } => {
            bytes.push(NODE + feature);
            if *feature >= NUMBERS {
                bytes.push(*threshold);
            }
            if matches!(**no, Tree::Node { .. }) {
                let skip = no.bytes();
                if skip < LONG_SKIP {
                    bytes.push(NODE | skip as u8);
                } else {
                    bytes.extend([NODE | LONG_SKIP as u8 | (skip >> 8) as u8, skip as u8]);
                }
            }
            push(no, bytes);
            push(yes, bytes);
        }
    }
}
