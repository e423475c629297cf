//! A scene as instructions: a key frame, the steps from picture to picture, and what follows.

use super::areas::{Block, Play};
use super::foresight::foresee;
use super::instruction::Instruction;
use super::looks::looks;
use super::memory::{Changed, Columns, Look, Memory};
use super::motion::{Motion, motions};
use super::noise::Noise;
use super::reckoned::Reckoned;
use super::roll::{Progress, Roll};
use super::round::Round;
use super::step::{Band, Planner, Step, Wanted};
use super::sweep::Sweep;

/// A scene in memory order, frame by frame; the lists are of one length, at least 1.
#[derive(Clone, Debug)]
pub struct Footage {
    pub pictures: Vec<Columns>,
    /// The cues handed over at each frame.
    pub cues: Vec<Vec<u8>>,
    pub contrast: Vec<u8>,
    /// The frames at which the display is off; empty when it never is. Their pictures are not seen.
    pub off: Vec<bool>,
    pub then: Next,
    /// Cells that live fields fill; a bit a page for each column, or empty. The pictures must be still in them.
    pub owned: Changed,
    /// The sweep that the player reckons by itself.
    pub sweep: Option<Sweep>,
    /// The noise that it makes by itself; not beside a sweep.
    pub noise: Option<Noise>,
}

impl Footage {
    /// Whether a live field fills a cell.
    pub fn owns(&self, page: usize, column: usize) -> bool {
        self.owned.get(column).is_some_and(|pages| pages >> page & 1 == 1)
    }

    /// Whether the display is on at a frame.
    pub fn is_on(&self, frame: usize) -> bool {
        !self.off.get(frame).copied().unwrap_or(false)
    }
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
#[derive(Clone, Debug, Default)]
pub struct Planned {
    pub instructions: Vec<Instruction>,
    /// Pictures that pass by, in page order, which [`Instruction::Strip`] speaks of.
    pub strips: Vec<Vec<u8>>,
    /// Whether of the strips only what changes is sent.
    pub changes: bool,
    /// The areas that [`Instruction::OpenAreas`] opens.
    pub areas: Option<Block>,
    /// For each frame where its instructions start, and its bus time in nanoseconds; a scene that repeats has one more,
    /// the way back to its first frame.
    pub frames: Vec<PlannedFrame>,
    /// What it is taken to cost: bus time, and flash as bus time.
    pub price: u64,
}

impl Planned {
    /// A scene without a frame.
    fn nothing() -> Self {
        Self { instructions: vec![Instruction::Hold], ..Self::default() }
    }

    /// Whether it has an instruction that sends only what changes of a stretch of a strip.
    pub fn sends_changes(&self) -> bool {
        let later = |instruction: &Instruction| matches!(instruction, Instruction::Strip { opens: false, .. });
        self.changes && self.instructions.iter().any(later)
    }

    /// Whether it has a beam that the player reckons.
    pub fn turns(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::OpenBeam { .. }))
    }

    /// Whether the start line moves.
    pub fn scrolls(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::Scroll(_)))
    }

    /// Whether rows roll into view that the player writes.
    pub fn rolls(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::OpenRoll { .. }))
    }

    /// Whether it has noise that the player makes.
    pub fn flickers(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::Grains { .. }))
    }

    /// Whether it has areas.
    pub fn has_areas(&self) -> bool {
        self.areas.is_some()
    }

    /// Whether a part of the picture goes round beside the rest.
    pub fn goes_round(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::OpenRound))
    }

    /// Its bus time in nanoseconds behind the key frame, the way back to the first frame counted.
    pub fn bus_nanoseconds(&self) -> u64 {
        self.frames.iter().skip(1).map(|frame| frame.bus_nanoseconds).sum()
    }
}

/// Where a frame's instructions start, and what it costs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PlannedFrame {
    pub first_instruction: usize,
    pub bus_nanoseconds: u64,
    pub windows: usize,
}

struct Writer<'a> {
    planner: &'a Planner,
    sweep: Option<&'a Sweep>,
    noise: Option<&'a Noise>,
    roll: Option<Roll>,
    progress: Progress,
    round: Option<&'a Round>,
    areas: Option<Play>,
    /// The noise's area as it was stated last.
    area: Option<Vec<u8>>,
    memory: Memory,
    look: Option<Look>,
    /// Frames behind this instruction may be merged with the one before them; earlier ones are outside the circle.
    merge_behind: usize,
    out: Planned,
}

impl Writer<'_> {
    fn frame(&mut self, number: usize, wanted: &Wanted<'_>, cues: &[u8]) {
        let (made, step) = self.step(number, wanted);
        let cost = &self.planner.cost;
        self.out.price += step.price + made.as_ref().map_or(0, |made| made.time + cost.flash(made.flash_bytes));
        let quiet = step.leading.is_empty() && step.line.is_none() && step.commands.is_empty();
        let still = quiet && step.windows.is_empty() && step.bands.is_empty();
        let still = still && made.as_ref().is_none_or(|made| made.instructions.is_empty());
        if self.out.instructions.len() > self.merge_behind
            && let Some(Instruction::Frame { more }) = self.out.instructions.last_mut()
            && cues.is_empty()
            && still
        {
            *more += 1;
            let first_instruction = self.out.instructions.len();
            let made = made.unwrap_or_default();
            let (bus_nanoseconds, windows) = (made.time, made.runs);
            self.out.frames.push(PlannedFrame { first_instruction, bus_nanoseconds, windows });
            return;
        }
        let first_instruction = self.out.instructions.len();
        self.out.instructions.extend(cues.iter().map(|cue| Instruction::Cue(*cue)));
        let mut carried = self.planner.carry_out(&mut self.memory, wanted, &step);
        let mut frame = PlannedFrame {
            first_instruction,
            bus_nanoseconds: step.time,
            windows: step.windows.len() + step.bands.len(),
        };
        if let Some(made) = made {
            // What makes the display go off comes first.
            let at = usize::from(!step.leading.is_empty());
            carried.splice(at..at, made.instructions);
            frame.bus_nanoseconds += made.time;
            frame.windows += made.runs;
        }
        self.out.instructions.extend(carried);
        self.out.instructions.push(Instruction::Frame { more: 0 });
        self.look = Some(step.look);
        self.out.frames.push(frame);
    }

    /// What the player makes of a frame by itself, and what is then still to be sent.
    fn step(&mut self, number: usize, wanted: &Wanted<'_>) -> (Option<Reckoned>, Step) {
        let (planner, cost) = (self.planner, &self.planner.cost);
        if let Some(sweep) = self.sweep {
            let turned = sweep.turn(number, &mut self.memory, cost, planner.first_column);
            return (turned, planner.step_to(&self.memory, self.look, wanted));
        }
        if let Some(areas) = &mut self.areas {
            let moved = areas.frame(number, &mut self.memory, cost, planner.first_column);
            return (moved, planner.step_to(&self.memory, self.look, wanted));
        }
        if let Some(roll) = &self.roll {
            let on = (cost, planner.first_column);
            let written = roll.write(number, &mut self.progress, &mut self.memory, on);
            return (written, planner.step_to(&self.memory, self.look, wanted));
        }
        if let Some(round) = self.round {
            let written = round.turn(number, &mut self.memory, cost);
            return (written, planner.step_to(&self.memory, self.look, wanted));
        }
        let told = planner.step_to(&self.memory, self.look, wanted);
        let (mut memory, mut area) = (self.memory.clone(), self.area.clone());
        let Some(made) = self.noise.and_then(|noise| noise.fill(number, &mut area, &mut memory, cost)) else {
            return (None, told);
        };
        let rest = planner.step_to(&memory, self.look, wanted);
        if made.time + cost.flash(made.flash_bytes) + rest.price >= told.price {
            return (None, told);
        }
        (self.memory, self.area) = (memory, area);
        (Some(made), rest)
    }
}

/// Plans a whole scene: first how each frame is to be looked at, then, all of that known, what is written.
pub fn plan_scene(footage: &Footage, planner: &Planner) -> Planned {
    plan(footage, planner, true)
}

/// Plans a whole scene, with what moves sideways shown from strips where they are worth it, or by windows alone.
pub(super) fn plan(footage: &Footage, planner: &Planner, strips: bool) -> Planned {
    let round = planner.rounds.then(|| Round::of(footage, &planner.cost)).flatten();
    // What the player makes by itself stands in memory as it is seen.
    let is_told = footage.sweep.is_none() && footage.noise.is_none() && round.is_none();
    let operations = planner.operations && footage.owned.is_empty() && is_told;
    let planner = &Planner { operations, owned: footage.owned.clone(), ..planner.clone() };
    let plans = looks(footage, planner)
        .into_iter()
        .map(|looks| plan_under(footage, (planner, round.as_ref()), strips, &looks, None));
    plans.min_by_key(|planned| planned.price).unwrap_or_else(Planned::nothing)
}

/// Plans a scene with areas, in which the whole picture is changed over at the frames that are told.
pub fn plan_with_areas(footage: &Footage, planner: &Planner, areas: &Block, inverted: &[bool]) -> Option<Planned> {
    let footage = &Footage { sweep: None, noise: None, ..footage.clone() };
    let planner =
        &Planner { operations: false, owned: footage.owned.clone(), rounds: false, rolls: false, ..planner.clone() };
    let mut looks = looks(footage, planner).into_iter().next()?;
    looks
        .iter_mut()
        .zip(inverted.iter().chain(inverted.first()))
        .for_each(|(look, inverted)| look.inverted = *inverted);
    let last = (footage.then == Next::Repeat).then(|| footage.pictures.len() - 1);
    let play = Play::new(areas.clone(), last);
    Some(plan_under(footage, (planner, None), false, &looks, Some(play)))
}

/// Plans a scene that is looked at in a given way.
fn plan_under(
    footage: &Footage,
    (planner, round): (&Planner, Option<&Round>),
    strips: bool,
    looks: &[Look],
    areas: Option<Play>,
) -> Planned {
    let Some(first) = footage.pictures.first() else { return Planned::nothing() };
    let (sweep, noise) = (footage.sweep.as_ref(), footage.noise.as_ref());
    let memory = Memory::unknown(first.width(), first.rows());
    let roll = planner.rolls.then(|| Roll::of(&footage.pictures, looks, planner.first_column)).flatten();
    // A band that moves may cover columns that stand still, and so a field; where there are fields, nothing moves in bands.
    let circle = (footage.then == Next::Repeat).then_some(first);
    let pictures: Vec<&Columns> = footage.pictures.iter().chain(circle).collect();
    let moving = if strips && footage.owned.is_empty() { pictures.as_slice() } else { &[] };
    let mut motions = motions(moving, &looks[..moving.len()], planner);
    if let Some(sweep) = sweep {
        motions.retain(|motion| !sweep.reaches(motion.page, motion.first_column..motion.last_column + 1));
    }
    if let Some(round) = round {
        motions.retain(|motion| !round.reaches(motion.page, motion.first_column..motion.last_column + 1));
    }
    let bands = bands(&motions, pictures.len());
    let sights = foresee(&pictures, looks);
    let scrolls = looks.iter().any(|look| look.start_line != 0);
    let strips = motions.into_iter().map(|motion| motion.strip).collect();
    let block = areas.as_ref().map(|areas| areas.block.clone());
    let goes_round = round.is_some() || areas.is_some();
    let out = Planned { strips, changes: planner.changes, areas: block, ..Planned::default() };
    let (area, look, progress) = (None, None, Progress::default());
    let writer =
        Writer { planner, sweep, noise, roll, progress, round, areas, area, memory, look, merge_behind: 0, out };
    let mut writer = writer;
    let mut after_key = 0;
    for (frame, picture) in pictures.into_iter().enumerate() {
        let bands = bands.get(frame).map_or(&[][..], Vec::as_slice);
        let wanted = Wanted { picture, look: looks[frame], sight: sights.get(frame), bands, scrolls };
        writer.frame(frame, &wanted, footage.cues.get(frame).unwrap_or(&footage.cues[0]));
        if frame == 0 {
            writer.memory.forget_hidden(looks[0]);
            let round = writer.round.iter().flat_map(|round| round.instructions(planner.first_column));
            writer.out.instructions.extend(round);
            after_key = writer.out.instructions.len();
            if footage.then == Next::Repeat {
                writer.merge_behind = after_key;
                writer.area = None; // the player comes here with the last one, too
            }
        }
    }
    follow(&mut writer.out.instructions, footage.then, after_key, goes_round);
    writer.out
}

/// The bands of each frame.
fn bands(motions: &[Motion], frames: usize) -> Vec<Vec<Band>> {
    let mut bands = vec![Vec::new(); frames];
    for (strip, motion) in motions.iter().enumerate() {
        let Motion { page, first_column, last_column, shift, .. } = *motion;
        for (number, (frame, offset)) in motion.frames.iter().enumerate() {
            let band = Band { page, first_column, last_column, strip, offset: *offset, shift, opens: number == 0 };
            bands[*frame].push(band);
        }
    }
    bands
}

/// What comes behind the last frame, which a round goes on to even where nothing else changes.
fn follow(instructions: &mut Vec<Instruction>, then: Next, after_key: usize, goes_round: bool) {
    match then {
        Next::Hold => {
            let last = instructions.pop();
            if goes_round && let Some(Instruction::Frame { more: more @ 1.. }) = last {
                instructions.push(Instruction::Frame { more: more - 1 });
            }
            instructions.push(Instruction::Hold);
        }
        Next::Scene(scene) => instructions.push(Instruction::Scene(scene)),
        Next::Back => instructions.push(Instruction::Back),
        Next::Repeat => instructions.push(Instruction::Jump(after_key)),
    }
}
