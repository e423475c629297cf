//! Writes the instructions of a dense scene: it opens, draws runs of frames, waits, plays frames again, and continues.

use super::choices::{FrameChoices, FrameKind};
use super::coder::{Stream, StreamPlace};
use super::predictor::Predictor;
use super::sequence::FrameSequence;
use crate::player::film::COPIES;
use crate::player::operation as op;
use crate::reel::areas::LastFrame;
use crate::reel::dimming::LiveContrast;
use crate::reel::encode::{encode_instruction, word};
use crate::reel::instruction::{Instruction, command};
use crate::reel::scene::{LONGEST_WAIT, Next};
use crate::reel::step::Planner;
use crate::whole::limited;

/// The data that the code of a scene refers to.
pub struct Opening<'a> {
    pub planner: &'a Planner,
    pub stream: &'a Stream,
    /// The offset of the stream in the reel, and of the contrasts that follow a live value.
    pub stream_offset: usize,
    pub contrasts: u16,
    /// The offset of its areas.
    pub areas: usize,
}

struct Writer<'a> {
    opening: &'a Opening<'a>,
    drawn: &'a [FrameChoices],
    predictor: Option<Predictor>,
    reel: &'a mut Vec<u8>,
    /// The offset of the count of a drawing instruction that the next frame can join.
    count_at: Option<usize>,
    /// The number of frames without change after the one that has not ended yet.
    ending: Option<u32>,
    /// The coded frame whose decisions come next in the player's stream, and its counter.
    stands_at: Option<(usize, u8)>,
}

/// Appends the code of a scene. Returns the reel bytes of each frame, including its part of the stream.
pub fn scene_code(
    sequence: &FrameSequence,
    drawn: &[FrameChoices],
    opening: &Opening<'_>,
    reel: &mut Vec<u8>,
) -> Vec<usize> {
    let mut writer =
        Writer { opening, drawn, predictor: sequence.predictor, reel, count_at: None, ending: None, stands_at: None };
    let mut frames = Vec::with_capacity(drawn.len());
    let mut loop_start = 0;
    // A scene that repeats has its first frame again at the end.
    let last = sequence.frames.len() - 1 - usize::from(sequence.then == Next::Repeat);
    let end = LastFrame { at: last, then: sequence.then }.end_of_areas().filter(|_| sequence.areas.is_some());
    for (at, frame) in sequence.frames.iter().enumerate() {
        let before = writer.reel.len();
        if at == 1 && sequence.then == Next::Repeat {
            writer.end_frame();
            loop_start = writer.reel.len();
            writer.open(op::CLEARED, at);
        }
        let looks_otherwise = !frame.behind.is_empty() && drawn[at].way == FrameKind::Waited;
        let end = end.as_ref().filter(|_| at == last);
        if !frame.cues.is_empty() || !frame.before.is_empty() || looks_otherwise || end.is_some() && at > 0 {
            writer.end_frame();
        }
        writer.commands(&frame.before);
        frame.cues.iter().for_each(|cue| writer.push(&Instruction::Cue(*cue)));
        if at == 0 {
            if let Some(LiveContrast { value, .. }) = sequence.dimming {
                writer.push(&Instruction::Contrast { value, address: opening.contrasts });
            }
            writer.key(sequence);
        } else {
            writer.frame(at);
        }
        if at > 0 {
            writer.commands(&frame.behind);
        }
        if let Some(end) = end {
            writer.push(end);
            writer.count_at = None;
        }
        frames.push(writer.reel.len() - before + stream_bytes(opening.stream, drawn, at));
    }
    if sequence.holds_live {
        writer.wait_for_ever();
    } else {
        writer.follow(sequence, loop_start);
    }
    frames
}

fn stream_bytes(stream: &Stream, drawn: &[FrameChoices], at: usize) -> usize {
    if drawn[at].way != FrameKind::Coded {
        return 0;
    }
    let end = stream.marks.get(at + 1).map_or(stream.bytes.len(), |place| place.offset);
    end.saturating_sub(stream.marks[at].offset)
}

impl Writer<'_> {
    fn push(&mut self, instruction: &Instruction) {
        encode_instruction(instruction, self.reel, &[]);
    }

    fn end_frame(&mut self) {
        if let Some(more) = self.ending.take() {
            self.push(&Instruction::Frame { more });
        }
        self.count_at = None;
    }

    /// Opens the stream at a coded frame.
    fn open(&mut self, operation: u8, frame: usize) {
        let StreamPlace { offset, state } = self.opening.stream.marks[frame];
        let [low, high] = word(self.opening.stream_offset + offset);
        let counter = self.drawn[frame].counter;
        self.reel.extend([operation, counter, low, high]);
        self.reel.extend(&state.to_le_bytes()[..3]);
        if self.predictor.is_some() && operation != op::KEY {
            self.reel.push(op::POINT);
            self.reel.extend(self.drawn[frame].direction.to_le_bytes());
        }
        self.stands_at = Some((frame, counter));
    }

    fn key(&mut self, sequence: &FrameSequence) {
        self.open(op::KEY, 0);
        let movement = self.reel.len() - 6;
        let copies = if sequence.copies { COPIES } else { 0 };
        self.reel[movement] = sequence.movement.0 | sequence.movement.1 << 4 | copies;
        if let Some(Predictor { beam, longest, direction, turn }) = sequence.predictor {
            self.reel.extend([op::BEAM, limited(beam.column), limited(beam.row), u8::from(beam.mirrored), longest]);
            self.reel.extend(limited::<u16, _>(beam.reach).to_le_bytes());
            self.reel.extend(direction.to_le_bytes());
            self.reel.extend(turn.to_le_bytes());
            self.reel.extend(beam.limits);
        }
        if let Some(areas) = &sequence.areas {
            self.push(&Instruction::OpenAreas { count: areas.count, address: limited(self.opening.areas) });
        }
        self.draw(0);
        let planner = &self.opening.planner;
        let line = planner.controller.has_start_line.then_some(command::START_LINE | planner.first_line & 0x3F);
        let line: Vec<u8> = line.into_iter().collect();
        let behind = sequence.frames.first().map_or(&[][..], |frame| &frame.behind);
        self.commands(&[&line, behind].concat());
    }

    /// Appends commands to the controller. The next frame comes after them.
    fn commands(&mut self, bytes: &[u8]) {
        if !bytes.is_empty() {
            self.push(&Instruction::Commands(bytes.to_vec()));
            self.count_at = None;
        }
    }

    fn frame(&mut self, at: usize) {
        let source = match self.drawn[at].way {
            FrameKind::Waited => {
                match &mut self.ending {
                    Some(more) => *more += 1,
                    None => self.ending = Some(0),
                }
                self.count_at = None;
                return;
            }
            FrameKind::Coded => at,
            FrameKind::Again(source) => source,
        };
        let stands = self.stands_at.is_some_and(|(frame, counter)| {
            self.next_coded(frame) == Some(source) && self.drawn[source].counter == counter
        });
        if !stands {
            self.end_frame();
            self.open(op::AGAIN, source);
        }
        self.draw(source);
    }

    /// The first coded frame from this one on.
    fn next_coded(&self, from: usize) -> Option<usize> {
        (from..self.drawn.len()).find(|at| self.drawn[*at].way == FrameKind::Coded)
    }

    /// Draws the next frame of the stream.
    fn draw(&mut self, source: usize) {
        match self.count_at {
            Some(at) if self.reel[at] < u8::MAX => self.reel[at] += 1,
            _ => {
                self.end_frame();
                self.reel.extend([op::DRAW, 1]);
                self.count_at = Some(self.reel.len() - 1);
            }
        }
        self.ending = Some(0);
        self.stands_at = Some((source + 1, self.drawn[source].counter.wrapping_add(1)));
    }

    /// Appends waiting without end, during which areas or the contrast follow live values.
    fn wait_for_ever(&mut self) {
        self.end_frame();
        let [low, high] = word(self.reel.len());
        self.push(&Instruction::Frame { more: LONGEST_WAIT });
        self.reel.extend([op::JUMP, low, high]);
    }

    fn follow(&mut self, sequence: &FrameSequence, loop_start: usize) {
        if sequence.then == Next::Hold {
            // Frames that do not change are left out at the end, unless areas move in them. The last one is held.
            let waits = self.ending.take().filter(|_| sequence.areas.is_some()).and_then(|more| more.checked_sub(1));
            waits.into_iter().for_each(|more| self.push(&Instruction::Frame { more }));
            return self.push(&Instruction::Hold);
        }
        self.end_frame();
        match sequence.then {
            Next::Scene(scene) => self.push(&Instruction::Scene(scene)),
            Next::Back => self.push(&Instruction::Back),
            _ => {
                let [low, high] = word(loop_start);
                self.reel.extend([op::JUMP, low, high]);
            }
        }
    }
}
