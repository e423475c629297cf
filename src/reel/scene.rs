//! A scene as instructions: a key frame, the steps from picture to picture, and what follows.

use super::instruction::Instruction;
use super::memory::{Columns, Look, Memory};
use super::step::{Planner, Step};

/// A scene in memory order, frame by frame; the lists are of one length, at least 1.
#[derive(Clone, Debug)]
pub struct Footage {
    pub pictures: Vec<Columns>,
    /// The cues handed over at each frame.
    pub cues: Vec<Vec<u8>>,
    pub contrast: Vec<u8>,
    pub then: Next,
}

/// What follows the last frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    Hold,
    Repeat,
    Scene(u8),
    Back,
}

/// A planned scene.
#[derive(Clone, Debug)]
pub struct Planned {
    pub instructions: Vec<Instruction>,
    /// For each frame where its instructions start, and its bus time in nanoseconds; a scene that repeats has one more,
    /// the way back to its first frame.
    pub frames: Vec<PlannedFrame>,
}

/// Where a frame's instructions start, and what it costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlannedFrame {
    pub first_instruction: usize,
    pub bus_nanoseconds: u64,
    pub windows: usize,
}

struct Writer<'a> {
    planner: &'a Planner,
    memory: Memory,
    look: Option<Look>,
    /// Frames behind this instruction may be merged with the one before them; earlier ones are outside the circle.
    merge_behind: usize,
    out: Planned,
}

impl Writer<'_> {
    fn frame(&mut self, picture: &Columns, cues: &[u8], step: &Step) {
        if self.out.instructions.len() > self.merge_behind
            && let Some(Instruction::Frame { more }) = self.out.instructions.last_mut()
            && cues.is_empty()
            && step.windows.is_empty()
            && step.commands.is_empty()
        {
            *more += 1;
            let first_instruction = self.out.instructions.len();
            self.out.frames.push(PlannedFrame { first_instruction, bus_nanoseconds: 0, windows: 0 });
            return;
        }
        let first_instruction = self.out.instructions.len();
        self.out.instructions.extend(cues.iter().map(|cue| Instruction::Cue(*cue)));
        self.out.instructions.extend(self.planner.carry_out(&mut self.memory, picture, step));
        self.out.instructions.push(Instruction::Frame { more: 0 });
        self.look = Some(step.look);
        let windows = step.windows.len();
        self.out.frames.push(PlannedFrame { first_instruction, bus_nanoseconds: step.time, windows });
    }
}

/// Plans a whole scene.
pub fn plan_scene(footage: &Footage, planner: &Planner) -> Planned {
    let Some(first) = footage.pictures.first() else {
        return Planned { instructions: vec![Instruction::Hold], frames: Vec::new() };
    };
    let memory = Memory::unknown(first.width(), first.rows());
    let out = Planned { instructions: Vec::new(), frames: Vec::new() };
    let mut writer = Writer { planner, memory, look: None, merge_behind: 0, out };
    let mut after_key = 0;
    for (frame, picture) in footage.pictures.iter().enumerate() {
        let step = planner.step(&writer.memory, writer.look, picture, footage.contrast[frame]);
        writer.frame(picture, &footage.cues[frame], &step);
        if frame == 0 {
            writer.memory.forget_hidden(step.look);
            after_key = writer.out.instructions.len();
            writer.merge_behind = if footage.then == Next::Repeat { after_key } else { 0 };
        }
    }
    follow(writer, footage, after_key)
}

fn follow(mut writer: Writer<'_>, footage: &Footage, after_key: usize) -> Planned {
    match footage.then {
        Next::Hold => {
            writer.out.instructions.pop();
            writer.out.instructions.push(Instruction::Hold);
        }
        Next::Scene(scene) => writer.out.instructions.push(Instruction::Scene(scene)),
        Next::Back => writer.out.instructions.push(Instruction::Back),
        Next::Repeat => close_circle(&mut writer, footage, after_key),
    }
    writer.out
}

/// The way back to the first frame, then on behind the key frame, again and again.
fn close_circle(writer: &mut Writer<'_>, footage: &Footage, after_key: usize) {
    let (picture, look) = (&footage.pictures[0], Look::opening(footage.contrast[0]));
    let step = writer.planner.step_to(&writer.memory, writer.look, picture, look);
    writer.frame(picture, &footage.cues[0], &step);
    writer.out.instructions.push(Instruction::Jump(after_key));
}
