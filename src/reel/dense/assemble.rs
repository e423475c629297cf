//! A show as a dense reel: choices, trees, streams, and the instructions that draw them.

use super::choices::{Choices, choices};
use super::coder::{Stream, code};
use super::leaves::{PairLeaves, settle};
use super::scene_code::{Opening, scene_code};
use super::sequence::FrameSequence;
use super::tree::{Tree, grow};
use super::tree_code::{VisibleWindow, model};
use crate::player::dense::TREES;
use crate::player::operation as op;
use crate::reel::encode::{Header, Layout, SceneLayout, begin, put_scene_offset};
use crate::reel::step::Planner;
use rayon::prelude::*;

/// A compiled dense reel.
#[derive(Clone, Debug)]
pub struct DenseReel {
    pub bytes: Vec<u8>,
    pub layout: Layout,
}

/// Compiles the sequences of a show.
pub fn compile_dense(
    header: &Header,
    sequences: &[FrameSequence],
    planner: &Planner,
    visible: VisibleWindow,
) -> DenseReel {
    let mut all = choices(sequences, visible);
    let (_, rough) = grown(&all);
    all.play_again(&rough);
    let (leaves, trees) = grown(&all);
    let (mut bytes, mut layout) = begin(header, &[op::MODEL, 0, 0]);
    let model_offset = bytes.len();
    put_word(&mut bytes, model_offset - 3, model_offset);
    bytes.extend(model(visible, &leaves, &trees));
    layout.model_bytes = bytes.len() - model_offset;
    let streams: Vec<(usize, Stream)> = (0..sequences.len())
        .map(|scene| {
            let (stream, offset) = (stream(&all, scene, &trees), bytes.len());
            bytes.extend(&stream.bytes);
            (offset, stream)
        })
        .collect();
    for (number, sequence) in sequences.iter().enumerate() {
        let offset = bytes.len();
        put_scene_offset(&mut bytes, number, offset);
        let opening = Opening { planner, stream: &streams[number].1, stream_offset: streams[number].0 };
        let frames = scene_code(sequence, &all.scenes[number], &opening, &mut bytes);
        let stream_bytes = streams[number].1.bytes.len();
        layout.scenes.push(SceneLayout { offset, bytes: bytes.len() - offset, stream_bytes, frames });
    }
    DenseReel { bytes, layout }
}

fn put_word(bytes: &mut [u8], at: usize, word: usize) {
    bytes[at..at + 2].copy_from_slice(&(word as u16).to_le_bytes());
}

/// The trees for all coded choices, and the leaves of their pairs.
fn grown(all: &Choices) -> (PairLeaves, Vec<Tree>) {
    let mut samples = all.coded(usize::from(TREES));
    let mut trees: Vec<Tree> = samples.par_iter_mut().map(|samples| grow(samples).0).collect();
    (settle(&mut trees), trees)
}

/// The stream of a scene, with a mark at each coded frame.
fn stream(all: &Choices, scene: usize, trees: &[Tree]) -> Stream {
    let (mut coded, mut marks) = (Vec::new(), Vec::new());
    for frame in &all.scenes[scene] {
        marks.push(coded.len());
        if frame.way == super::choices::FrameKind::Coded {
            let samples = all.samples[frame.samples.clone()].iter();
            coded.extend(samples.map(|sample| (trees[usize::from(sample.tree)].leaf(sample).0, sample.answer)));
        }
    }
    code(&coded, &marks)
}
