//! Makes a dense reel from a show: decisions, the model that predicts them, streams, and the instructions that draw frames.

use super::choices::{Choices, FrameChoices, choices};
use super::coder::Stream;
use super::leaves::{PairLeaves, settle};
use super::sampler::opened;
use super::scene_code::{Opening, scene_code};
use super::sequence::FrameSequence;
use super::tree::{Tree, TreeDecision, answer_bits, grow};
use super::tree_code::{VisibleWindow, model};
use crate::player::dense::{PROBABILITY_BITS, TREES, probability};
use crate::player::operation as op;
use crate::reel::areas::Block;
use crate::reel::dimming::{LiveContrast, put_contrasts};
use crate::reel::encode::{Header, Layout, SceneLayout, area_bytes, begin, put_areas, put_offset, put_scene_offset};
use crate::reel::step::Planner;
use crate::whole::limited;
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
    let mut all = choices(sequences, |number, sequence| opened(limited(number), sequence, visible));
    let (_, rough) = grown(&all);
    all.play_again(|sample| answer_bits(rough[usize::from(sample.tree)].leaf(sample).0, sample.answer));
    let (leaves, trees) = grown(&all);
    let share = |sample: &TreeDecision| (probability(trees[usize::from(sample.tree)].leaf(sample).0), sample.answer);
    let streams = (0..sequences.len()).map(|scene| all.stream(scene, PROBABILITY_BITS, share)).collect();
    let model = Model { operation: op::MODEL, bytes: model(visible, &leaves, &trees), streams };
    assembled(header, sequences, planner, &all.scenes, model)
}

/// The model and the streams of a reel.
pub struct Model {
    /// The instruction that opens it.
    pub operation: u8,
    pub bytes: Vec<u8>,
    /// One stream per scene.
    pub streams: Vec<Stream>,
}

/// Joins all parts to a reel.
pub fn assembled(
    header: &Header,
    sequences: &[FrameSequence],
    planner: &Planner,
    drawn: &[Vec<FrameChoices>],
    model: Model,
) -> DenseReel {
    let (mut bytes, mut layout) = begin(header, &[model.operation, 0, 0]);
    let model_offset = bytes.len();
    put_offset(&mut bytes, model_offset - 3, model_offset);
    bytes.extend(model.bytes);
    layout.model_bytes = bytes.len() - model_offset;
    let dimming: Vec<Option<&LiveContrast>> = sequences.iter().map(|sequence| sequence.dimming.as_ref()).collect();
    let contrasts = put_contrasts(&mut bytes, &mut layout, &dimming);
    let blocks: Vec<Option<&Block>> = sequences.iter().map(|sequence| sequence.areas.as_ref()).collect();
    let areas = put_areas(&mut bytes, &blocks);
    let streams: Vec<(usize, Stream)> = model
        .streams
        .into_iter()
        .map(|stream| {
            let offset = bytes.len();
            bytes.extend(&stream.bytes);
            (offset, stream)
        })
        .collect();
    for (number, sequence) in sequences.iter().enumerate() {
        let offset = bytes.len();
        put_scene_offset(&mut bytes, number, offset);
        let opening = Opening {
            planner,
            stream: &streams[number].1,
            stream_offset: streams[number].0,
            contrasts: contrasts[number],
            areas: areas[number],
        };
        let mut frames = scene_code(sequence, &drawn[number], &opening, &mut bytes);
        let stream_bytes = streams[number].1.bytes.len();
        let area_bytes = area_bytes(&blocks, &areas, number);
        frames.first_mut().into_iter().for_each(|first| *first += area_bytes);
        layout.scenes.push(SceneLayout { offset, bytes: bytes.len() - offset, stream_bytes, area_bytes, frames });
    }
    DenseReel { bytes, layout }
}

/// Grows the trees for all coded decisions, and finds the leaves of pairs.
fn grown(all: &Choices<TreeDecision>) -> (PairLeaves, Vec<Tree>) {
    let mut samples = vec![Vec::new(); usize::from(TREES)];
    all.coded().for_each(|sample| samples[usize::from(sample.tree)].push(*sample));
    let mut trees: Vec<Tree> = samples.par_iter_mut().map(|samples| grow(samples).0).collect();
    (settle(&mut trees), trees)
}
