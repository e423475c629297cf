//! All choices of a show, frame by frame, and which frames are the same choices as earlier ones of their scene.

use super::predictor::Predictor;
use super::sampler::{Largest, draw};
use super::sequence::{Frame, FrameSequence};
use super::tree::{Sample, Tree, answer_bits};
use super::tree_code::VisibleWindow;
use std::collections::BTreeMap;
use std::ops::Range;

/// A picture that stands still for this many frames is waited for, not drawn.
const LONG_STILL: usize = 40;
/// Bytes of the two instructions that play frames again and then go on.
const REPLAY_BYTES: f64 = 18.0;

/// How a frame comes about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrameKind {
    /// Nothing is drawn; its time passes.
    Waited,
    /// Coded in the scene's stream.
    Coded,
    /// The choices of this earlier frame once more.
    Again(usize),
}

/// One frame's choices.
#[derive(Clone, Debug)]
pub struct Drawn {
    pub samples: Range<usize>,
    /// The player's frame counter as the frame begins.
    pub counter: u8,
    /// Where the scene's beam points as the frame begins, in 2⁻¹⁶ turns.
    pub direction: u16,
    pub way: FrameKind,
    /// The earliest frame of the scene with the same choices.
    like: Option<usize>,
}

/// The choices of all scenes.
#[derive(Clone, Debug, Default)]
pub struct Choices {
    pub samples: Vec<Sample>,
    pub scenes: Vec<Vec<Drawn>>,
}

/// Draws every scene.
pub fn choices(sequences: &[FrameSequence], visible: VisibleWindow) -> Choices {
    let mut all = Choices::default();
    for (number, sequence) in sequences.iter().enumerate() {
        let scene = scene(number as u8, sequence, visible, &mut all.samples);
        all.scenes.push(scene);
    }
    all
}

fn scene(number: u8, sequence: &FrameSequence, visible: VisibleWindow, samples: &mut Vec<Sample>) -> Vec<Drawn> {
    let mut canvas = Largest::new();
    (canvas.width, canvas.pages, canvas.scene) = (visible.width, visible.pages, number);
    (canvas.left, canvas.up) = sequence.movement;
    if let Some(Predictor { beam, direction, turn }) = sequence.predictor {
        (canvas.beam, canvas.direction, canvas.turn) = (Some(beam), direction, turn);
    }
    canvas.key = true;
    let waited = waited(&sequence.frames);
    let mut first: BTreeMap<Vec<u8>, usize> = BTreeMap::new();
    let mut drawn = Vec::with_capacity(sequence.frames.len());
    for (at, frame) in sequence.frames.iter().enumerate() {
        let (start, counter, direction) = (samples.len(), canvas.frame, canvas.direction);
        if waited[at] {
            drawn.push(Drawn { samples: start..start, counter, direction, way: FrameKind::Waited, like: None });
            continue;
        }
        let earliest = *first.entry(circumstances(&canvas, frame)).or_insert(at);
        draw(&mut canvas, frame, samples);
        let like = Some(earliest).filter(|earliest| *earliest != at);
        drawn.push(Drawn { samples: start..samples.len(), counter, direction, way: FrameKind::Coded, like });
    }
    drawn
}

/// The frames that belong to a long still.
fn waited(frames: &[Frame]) -> Vec<bool> {
    let still = |at: usize| at > 0 && frames[at].cells == frames[at - 1].cells && !frames[at].inverts;
    let mut waited = vec![false; frames.len()];
    let mut at = 0;
    while at < frames.len() {
        let end = (at..frames.len()).find(|at| !still(*at)).unwrap_or(frames.len());
        if end - at >= LONG_STILL {
            waited[at..end].fill(true);
        }
        at = end.max(at + 1);
    }
    waited
}

/// All that the choices of a frame depend on, but for the frame counter.
fn circumstances(canvas: &Largest, frame: &Frame) -> Vec<u8> {
    let mut all = vec![u8::from(canvas.was_still), u8::from(frame.inverts), u8::from(canvas.key)];
    all.extend([canvas.direction, canvas.direction.wrapping_sub(canvas.turn)].map(|direction| (direction >> 8) as u8));
    all.extend(&canvas.cells[..frame.cells.len()]);
    all.extend(&canvas.marks);
    all.extend(&frame.cells);
    all
}

impl Choices {
    /// Decides which frames are played again, as it pays with these trees.
    pub fn play_again(&mut self, trees: &[Tree]) {
        let samples = &self.samples;
        let bits = |frame: &Drawn| -> f64 {
            let answers = samples[frame.samples.clone()].iter();
            answers.map(|sample| answer_bits(trees[usize::from(sample.tree)].leaf(sample).0, sample.answer)).sum()
        };
        for scene in &mut self.scenes {
            let mut at = 0;
            while at < scene.len() {
                let end = run_end(scene, at);
                if scene[at..end].iter().map(bits).sum::<f64>() / 8.0 > REPLAY_BYTES {
                    for frame in &mut scene[at..end] {
                        frame.way = frame.like.map_or(frame.way, FrameKind::Again);
                    }
                }
                at = end.max(at + 1);
            }
        }
    }

    /// The samples that are coded, each tree's apart.
    pub fn coded(&self, trees: usize) -> Vec<Vec<Sample>> {
        let mut apart = vec![Vec::new(); trees];
        for frame in self.scenes.iter().flatten().filter(|frame| frame.way == FrameKind::Coded) {
            for sample in &self.samples[frame.samples.clone()] {
                apart[usize::from(sample.tree)].push(*sample);
            }
        }
        apart
    }
}

/// The end of the run of frames from `at` on that are like earlier frames that also follow one another.
fn run_end(scene: &[Drawn], at: usize) -> usize {
    let mut end = at;
    while let Some(like) = scene.get(end).and_then(|frame| frame.like) {
        if end > at && scene[end - 1].like.is_none_or(|before| before + 1 != like) {
            break;
        }
        end += 1;
    }
    end
}
