//! All decisions of a show, frame by frame, and which frames have the same decisions as earlier frames of their scene.

use super::coder::{Stream, code};
use super::sequence::{Frame, FrameSequence};
use std::collections::BTreeMap;
use std::ops::Range;

/// A picture that does not change for this many frames is a wait, and is not coded.
const LONG_STILL: usize = 40;
/// Bytes of the two instructions that play frames again and then continue.
const REPLAY_BYTES: f64 = 18.0;

/// How a frame is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrameKind {
    /// Not at all; its time passes.
    Waited,
    /// Coded in the scene's stream.
    Coded,
    /// By the decisions of this earlier frame.
    Again(usize),
}

/// The decisions of a frame.
#[derive(Clone, Debug)]
pub struct FrameChoices {
    pub samples: Range<usize>,
    /// The player's frame counter when the frame begins.
    pub counter: u8,
    /// Where the beam of the scene points when the frame begins, in 2⁻¹⁶ turns.
    pub direction: u16,
    pub way: FrameKind,
    /// The earliest frame of the scene with the same decisions.
    like: Option<usize>,
}

/// A canvas on which frames are drawn as the player draws them.
pub trait FrameCanvas {
    /// A decision and its context.
    type Sample: Copy;
    /// The player's frame counter, and the direction of the scene's beam.
    fn counter(&self) -> u8;
    fn direction(&self) -> u16;
    /// Everything that the decisions of a frame depend on, except the frame counter.
    fn circumstances(&self, frame: &Frame) -> Vec<u8>;
    /// Draws a frame and stores its decisions.
    fn draw(&mut self, frame: &Frame, samples: &mut Vec<Self::Sample>);
}

/// The decisions of all scenes.
#[derive(Clone, Debug)]
pub struct Choices<S> {
    pub samples: Vec<S>,
    pub scenes: Vec<Vec<FrameChoices>>,
}

/// Draws every scene on the canvas that `begin` returns for it.
pub fn choices<D: FrameCanvas>(
    sequences: &[FrameSequence],
    begin: impl Fn(usize, &FrameSequence) -> D,
) -> Choices<D::Sample> {
    let mut all = Choices { samples: Vec::new(), scenes: Vec::new() };
    for (number, sequence) in sequences.iter().enumerate() {
        let scene = scene(begin(number, sequence), sequence, &mut all.samples);
        all.scenes.push(scene);
    }
    all
}

fn scene<D: FrameCanvas>(mut drawing: D, sequence: &FrameSequence, samples: &mut Vec<D::Sample>) -> Vec<FrameChoices> {
    let waited = waited(&sequence.frames);
    let mut first: BTreeMap<Vec<u8>, usize> = BTreeMap::new();
    let mut drawn = Vec::with_capacity(sequence.frames.len());
    for (at, frame) in sequence.frames.iter().enumerate() {
        let (start, counter, direction) = (samples.len(), drawing.counter(), drawing.direction());
        if waited[at] {
            drawn.push(FrameChoices { samples: start..start, counter, direction, way: FrameKind::Waited, like: None });
            continue;
        }
        let earliest = *first.entry(drawing.circumstances(frame)).or_insert(at);
        drawing.draw(frame, samples);
        let like = Some(earliest).filter(|earliest| *earliest != at);
        drawn.push(FrameChoices { samples: start..samples.len(), counter, direction, way: FrameKind::Coded, like });
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

impl<S> Choices<S> {
    /// Decides which frames are played again. `bits` gives the bits of a decision.
    pub fn play_again(&mut self, bits: impl Fn(&S) -> f64) {
        let samples = &self.samples;
        let bits = |frame: &FrameChoices| -> f64 { samples[frame.samples.clone()].iter().map(&bits).sum() };
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

    /// The coded decisions.
    pub fn coded(&self) -> impl Iterator<Item = &S> {
        let coded = self.scenes.iter().flatten().filter(|frame| frame.way == FrameKind::Coded);
        coded.flat_map(|frame| &self.samples[frame.samples.clone()])
    }

    /// Returns the stream of a scene, with a mark at each coded frame. `share` gives the probability of a yes, in parts of 2 to the
    /// power of `bits`, and the answer.
    pub fn stream(&self, scene: usize, bits: u8, share: impl Fn(&S) -> (u16, bool)) -> Stream {
        let (mut coded, mut marks) = (Vec::new(), Vec::new());
        for frame in &self.scenes[scene] {
            marks.push(coded.len());
            if frame.way == FrameKind::Coded {
                coded.extend(self.samples[frame.samples.clone()].iter().map(&share));
            }
        }
        code(&coded, bits, &marks)
    }
}

/// Returns the end of the run of frames from `at` on that equal a run of earlier frames.
fn run_end(scene: &[FrameChoices], at: usize) -> usize {
    let mut end = at;
    while let Some(like) = scene.get(end).and_then(|frame| frame.like) {
        if end > at && scene[end - 1].like.is_none_or(|before| before + 1 != like) {
            break;
        }
        end += 1;
    }
    end
}
