//! A show as a dense reel: choices, trees, streams, and the instructions that draw them.

use super::choices::{Choices, Drawn, choices};
use super::coder::{Stream, code};
use super::leaves::{PairLeaves, settle};
use super::scene_code::{Opening, scene_code};
use super::story::Story;
use super::tree::{Tree, grow};
use super::tree_code::{Glass, model};
use crate::player::dense::TREES;
use crate::reel::encode::{Header, Layout, SceneLayout, begin, put_scene_offset};
use crate::reel::step::Planner;
use rayon::prelude::*;

/// Bytes of the instruction that names the model.
const OPEN_MODEL: u8 = 0x10;

/// A compiled dense reel.
#[derive(Clone, Debug)]
pub struct DenseReel {
    pub bytes: Vec<u8>,
    pub layout: Layout,
    /// For each scene and frame what the player does for it.
    pub efforts: Vec<Vec<Effort>>,
}

/// The work of drawing a frame.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Effort {
    pub choices: u32,
    pub nodes: u32,
    /// Cells for which a beam that turns is reckoned.
    pub beamed: u32,
    /// In a lean reel, cells that such a beam may touch.
    pub reckoned: u32,
    /// Cells of noise that a lean reel's player makes.
    pub grains: u32,
    /// Cells of rows that roll, which it looks at.
    pub rolled: u32,
    /// Cells of areas that it composes, each counted once for each area of the scene.
    pub composed: u32,
}

/// Compiles the stories of a show.
pub fn compile_dense(header: &Header, stories: &[Story], planner: &Planner, glass: Glass) -> DenseReel {
    let mut all = choices(stories, glass);
    let (_, rough) = grown(&all);
    all.play_again(&rough);
    let (leaves, trees) = grown(&all);
    let (mut bytes, mut layout) = begin(header, &[OPEN_MODEL, 0, 0]);
    let model_offset = bytes.len();
    put_word(&mut bytes, model_offset - 3, model_offset);
    bytes.extend(model(glass, &leaves, &trees));
    layout.model_bytes = bytes.len() - model_offset;
    let streams: Vec<(usize, Stream)> = (0..stories.len())
        .map(|scene| {
            let (stream, offset) = (stream(&all, scene, &trees), bytes.len());
            bytes.extend(&stream.bytes);
            (offset, stream)
        })
        .collect();
    for (number, story) in stories.iter().enumerate() {
        let offset = bytes.len();
        put_scene_offset(&mut bytes, number, offset);
        let opening = Opening { planner, stream: &streams[number].1, stream_offset: streams[number].0 };
        let frames = scene_code(story, &all.scenes[number], &opening, &mut bytes);
        let stream_bytes = streams[number].1.bytes.len();
        layout.scenes.push(SceneLayout { offset, bytes: bytes.len() - offset, stream_bytes, frames });
    }
    DenseReel { bytes, layout, efforts: efforts(&all, &trees) }
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
        if frame.way == super::choices::Way::Coded {
            let samples = all.samples[frame.samples.clone()].iter();
            coded.extend(samples.map(|sample| (trees[usize::from(sample.tree)].leaf(sample).0, sample.answer)));
        }
    }
    code(&coded, &marks)
}

fn efforts(all: &Choices, trees: &[Tree]) -> Vec<Vec<Effort>> {
    let effort = |frame: &Drawn| {
        let samples = &all.samples[frame.samples.clone()];
        let nodes = samples.iter().map(|sample| trees[usize::from(sample.tree)].leaf(sample).1).sum();
        Effort { choices: samples.len() as u32, nodes, beamed: frame.beamed, ..Effort::default() }
    };
    all.scenes.iter().map(|scene| scene.iter().map(effort).collect()).collect()
}
