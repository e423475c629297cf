//! A scene as instructions: a key frame, the steps from picture to picture, and what follows.

use super::areas::{Block, Carriage, LastFrame, LiveFrames, Play};
use super::dimming::LiveContrast;
use super::display_states::display_states;
use super::generated::Generated;
use super::instruction::Instruction;
use super::memory::{DirtyMask, DisplayState, Memory, PageBitmap};
use super::motion::{Motion, motions};
use super::prefetch::prefetch;
use super::roll::{Progress, Roll};
use super::round::Round;
use super::step::{Band, Planner, Step, Wanted};
use super::sweep::Sweep;

/// A scene in memory order, frame by frame. All lists have the same length, at least 1.
#[derive(Clone, Debug)]
pub struct SceneFrames {
    /// The pictures, in memory order.
    pub pictures: Vec<PageBitmap>,
    /// The cues reported in each frame.
    pub cues: Vec<Vec<u8>>,
    /// The contrast of each frame, 0 to 255.
    pub contrast: Vec<u8>,
    /// For each frame, whether the display is off; empty if it never is. Pictures of these frames are not visible.
    pub off: Vec<bool>,
    /// What follows the last frame.
    pub then: Next,
    /// Cells of live fields: one bit per page for each column, or empty. The pictures must not change in them.
    pub owned: DirtyMask,
    /// The live values, as previews set them.
    pub live: LiveFrames,
    /// The live value that the contrast follows. `contrast` is then what previews show.
    pub dimming: Option<LiveContrast>,
    /// The sweep that the player computes.
    pub sweep: Option<Sweep>,
}

impl SceneFrames {
    /// Returns whether a cell belongs to a live field.
    pub fn owns(&self, page: usize, column: usize) -> bool {
        self.owned.get(column).is_some_and(|pages| pages >> page & 1 == 1)
    }

    /// Returns whether the scene holds its last picture while layers still follow live values.
    pub fn holds_live(&self) -> bool {
        self.then == Next::Hold && (!self.live.words.is_empty() || self.dimming.is_some())
    }

    /// The contrast that is sent for a frame; `None` if it follows a live value.
    pub fn sent_contrast(&self, frame: usize) -> Option<u8> {
        if self.dimming.is_some() { None } else { self.contrast.get(frame).copied() }
    }

    /// Whether the display is on at a frame.
    pub fn is_on(&self, frame: usize) -> bool {
        !self.off.get(frame).copied().unwrap_or(false)
    }
}

/// What follows the last frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// The last picture stays.
    Hold,
    /// The scene starts again.
    Repeat,
    /// Another scene, by number.
    Scene(u8),
    /// The scene from which a trigger led here.
    Back,
}

/// A planned scene.
#[derive(Clone, Debug, Default)]
pub struct Planned {
    /// The instructions, in order.
    pub instructions: Vec<Instruction>,
    /// The strips that `Instruction::Strip` uses, in page order.
    pub strips: Vec<Vec<u8>>,
    /// Whether only the changes of strips are sent.
    pub changes: bool,
    /// How each of its layers is carried.
    pub carriage: Carriage,
    /// For each layer that follows live values, the numbers of these values and the bytes of its areas.
    pub live_layers: Vec<(Vec<usize>, usize)>,
    /// The live value that `Instruction::Contrast` follows.
    pub dimming: Option<LiveContrast>,
    /// The areas that `Instruction::OpenAreas` opens.
    pub areas: Option<Block>,
    /// For each frame, where its instructions start, and its bus time in nanoseconds. A scene that repeats has one more entry, the
    /// way back to its first frame.
    pub frames: Vec<PlannedFrame>,
    /// Its price: bus time, plus flash as bus time.
    pub price: u64,
}

impl Planned {
    /// A scene without a frame.
    pub(super) fn nothing() -> Self {
        Self { instructions: vec![Instruction::Hold], ..Self::default() }
    }

    /// Returns whether it has an instruction that sends only the changes of a strip.
    pub fn sends_changes(&self) -> bool {
        let later = |instruction: &Instruction| matches!(instruction, Instruction::Strip { opens: false, .. });
        self.changes && self.instructions.iter().any(later)
    }

    /// Returns whether it has a beam that the player computes.
    pub fn turns(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::OpenBeam { .. }))
    }

    /// Whether the start line moves.
    pub fn scrolls(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::Scroll(_)))
    }

    /// Returns whether the player writes rows that scroll into view.
    pub fn rolls(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::OpenRoll { .. }))
    }

    /// Returns whether it has noise that the player computes.
    pub fn flickers(&self) -> bool {
        self.areas.as_ref().is_some_and(|areas| areas.flickers)
    }

    /// Whether it has areas.
    pub fn has_areas(&self) -> bool {
        self.areas.is_some()
    }

    /// Returns whether it sends cells that do not belong to areas.
    pub fn sends_windows(&self) -> bool {
        use Instruction::{
            Back, CloseAreas, Commands, Contrast, Cue, Frame, Hold, Jump, OpenAreas, RestartAreas, Scene,
        };
        let of_areas = |instruction: &Instruction| {
            matches!(
                instruction,
                OpenAreas { .. }
                    | RestartAreas
                    | CloseAreas
                    | Commands(_)
                    | Contrast { .. }
                    | Cue(_)
                    | Frame { .. }
                    | Hold
                    | Jump(_)
                    | Scene(_)
                    | Back
            )
        };
        !self.instructions.iter().all(of_areas)
    }

    /// Bytes of its areas.
    pub fn area_bytes(&self) -> usize {
        self.areas.as_ref().map_or(0, Block::len)
    }

    /// Returns whether it has a loop.
    pub fn goes_round(&self) -> bool {
        self.instructions.iter().any(|instruction| matches!(instruction, Instruction::OpenRound))
    }

    /// Its bus time in nanoseconds after the key frame, including the way back to the first frame.
    pub fn bus_nanoseconds(&self) -> u64 {
        self.frames.iter().skip(1).map(|frame| frame.bus_nanoseconds).sum()
    }
}

/// Where the instructions of a frame start, and what the frame costs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PlannedFrame {
    pub first_instruction: usize,
    pub bus_nanoseconds: u64,
    pub windows: usize,
}

struct SceneWriter<'a> {
    planner: &'a Planner,
    sweep: Option<&'a Sweep>,
    roll: Option<Roll>,
    progress: Progress,
    round: Option<&'a Round>,
    areas: Option<Play>,
    memory: Memory,
    state: Option<DisplayState>,
    /// Frames after this instruction can be merged with the one before them. Earlier ones are not repeated with the scene.
    merge_behind: usize,
    out: Planned,
}

impl SceneWriter<'_> {
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
        if number == 0
            && let Some(LiveContrast { value, .. }) = self.out.dimming
        {
            self.out.instructions.push(Instruction::Contrast { value, address: 0 });
        }
        let mut carried = self.planner.carry_out(&mut self.memory, wanted, &step);
        let mut frame = PlannedFrame {
            first_instruction,
            bus_nanoseconds: step.time,
            windows: step.windows.len() + step.bands.len(),
        };
        if let Some(made) = made {
            // Commands that switch the display off come first.
            let at = usize::from(!step.leading.is_empty());
            carried.splice(at..at, made.instructions);
            frame.bus_nanoseconds += made.time;
            frame.windows += made.runs;
        }
        self.out.instructions.extend(carried);
        self.out.instructions.push(Instruction::Frame { more: 0 });
        self.state = Some(step.state);
        self.out.frames.push(frame);
    }

    /// Returns what the player computes of a frame, and what must be sent in addition.
    fn step(&mut self, number: usize, wanted: &Wanted<'_>) -> (Option<Generated>, Step) {
        let (planner, cost) = (self.planner, &self.planner.cost);
        if let Some(sweep) = self.sweep {
            let turned = sweep.turn(number, &mut self.memory, cost, planner.first_column);
            return (turned, planner.step_to(&self.memory, self.state, wanted));
        }
        if let Some(areas) = &mut self.areas {
            let moved = areas.frame(number, &mut self.memory, cost, planner.first_column);
            return (moved, planner.step_to(&self.memory, self.state, wanted));
        }
        if let Some(roll) = &self.roll {
            let on = (cost, planner.first_column);
            let written = roll.write(number, &mut self.progress, &mut self.memory, on);
            return (written, planner.step_to(&self.memory, self.state, wanted));
        }
        if let Some(round) = self.round {
            let written = round.turn(number, &mut self.memory, cost);
            return (written, planner.step_to(&self.memory, self.state, wanted));
        }
        (None, planner.step_to(&self.memory, self.state, wanted))
    }
}

/// Plans a whole scene: first the display state of each frame, then what is written.
pub fn plan_scene(scene_frames: &SceneFrames, planner: &Planner) -> Planned {
    plan(scene_frames, planner, true)
}

/// Plans a whole scene. With `strips`, pictures that move sideways are shown from strips if that is cheaper; else all is sent by
/// windows.
pub(super) fn plan(scene_frames: &SceneFrames, planner: &Planner, strips: bool) -> Planned {
    // A loop continues as long as frames pass. So it would not stop in a scene that holds.
    let rounds = planner.rounds && !scene_frames.holds_live();
    let round = rounds.then(|| Round::of(scene_frames, &planner.cost)).flatten();
    // What the player computes is stored in memory as it is seen, not inverted.
    let all_is_sent = scene_frames.sweep.is_none() && round.is_none();
    let operations = planner.operations && scene_frames.owned.is_empty() && all_is_sent;
    let planner = &Planner { operations, owned: scene_frames.owned.clone(), ..planner.clone() };
    let plans = display_states(scene_frames, planner)
        .into_iter()
        .map(|display_states| plan_under(scene_frames, (planner, round.as_ref()), strips, &display_states, None));
    plans.min_by_key(|planned| planned.price).unwrap_or_else(Planned::nothing)
}

/// Plans a scene quickly, by windows only. The whole picture is never moved or inverted.
pub(super) fn plan_at_once(scene_frames: &SceneFrames, planner: &Planner) -> Planned {
    let planner = &Planner { operations: false, owned: scene_frames.owned.clone(), ..planner.clone() };
    let state = |frame: usize| DisplayState {
        on: scene_frames.is_on(frame),
        ..DisplayState::opening(scene_frames.sent_contrast(frame))
    };
    let mut states: Vec<DisplayState> = (0..scene_frames.pictures.len()).map(state).collect();
    if scene_frames.then == Next::Repeat {
        states.extend(states.first().copied());
    }
    plan_under(scene_frames, (planner, None), false, &states, None)
}

/// Plans a scene with areas. The whole picture is inverted at the given frames.
pub fn plan_with_areas(
    scene_frames: &SceneFrames,
    planner: &Planner,
    areas: &Block,
    live: &DirtyMask,
    inverted: &[bool],
) -> Option<Planned> {
    let scene_frames = &SceneFrames { sweep: None, ..scene_frames.clone() };
    let planner = &Planner {
        operations: false,
        owned: both(&scene_frames.owned, live),
        live: live.clone(),
        rounds: false,
        rolls: false,
        ..planner.clone()
    };
    let mut display_states = display_states(scene_frames, planner).into_iter().next()?;
    display_states
        .iter_mut()
        .zip(inverted.iter().chain(inverted.first()))
        .for_each(|(state, inverted)| state.inverted = *inverted);
    let play = Play::new(areas.clone(), LastFrame::of(scene_frames), &scene_frames.live);
    Some(plan_under(scene_frames, (planner, None), false, &display_states, Some(play)))
}

/// The cells of both masks.
fn both(one: &DirtyMask, other: &DirtyMask) -> DirtyMask {
    if one.is_empty() || other.is_empty() {
        return [one.as_slice(), other].concat();
    }
    one.iter().zip(other).map(|(one, other)| one | other).collect()
}

/// Plans a scene with given display states.
fn plan_under(
    scene_frames: &SceneFrames,
    (planner, round): (&Planner, Option<&Round>),
    strips: bool,
    display_states: &[DisplayState],
    areas: Option<Play>,
) -> Planned {
    let Some(first) = scene_frames.pictures.first() else { return Planned::nothing() };
    let sweep = scene_frames.sweep.as_ref();
    let memory = Memory::unknown(first.width(), first.rows());
    let roll = planner.rolls.then(|| Roll::of(&scene_frames.pictures, display_states, planner.first_column)).flatten();
    // A moving band can cover columns that do not change, and so a field. If there are fields, there are no bands.
    let circle = (scene_frames.then == Next::Repeat).then_some(first);
    let pictures: Vec<&PageBitmap> = scene_frames.pictures.iter().chain(circle).collect();
    let moving = if strips && scene_frames.owned.is_empty() { pictures.as_slice() } else { &[] };
    let mut motions = motions(moving, &display_states[..moving.len()], planner);
    if let Some(sweep) = sweep {
        motions.retain(|motion| !sweep.reaches(motion.page, motion.first_column..motion.last_column + 1));
    }
    if let Some(round) = round {
        motions.retain(|motion| !round.reaches(motion.page, motion.first_column..motion.last_column + 1));
    }
    let bands = bands(&motions, pictures.len());
    let all_coming = prefetch(&pictures, display_states);
    let scrolls = display_states.iter().any(|state| state.start_line != 0);
    let strips = motions.into_iter().map(|motion| motion.strip).collect();
    let block = areas.as_ref().map(|areas| areas.block.clone());
    let goes_round = round.is_some() || areas.is_some();
    let dimming = scene_frames.dimming.clone();
    let out = Planned { strips, changes: planner.changes, areas: block, dimming, ..Planned::default() };
    let (state, progress) = (None, Progress::default());
    let mut writer = SceneWriter { planner, sweep, roll, progress, round, areas, memory, state, merge_behind: 0, out };
    let mut after_key = 0;
    for (frame, picture) in pictures.into_iter().enumerate() {
        let bands = bands.get(frame).map_or(&[][..], Vec::as_slice);
        let wanted = Wanted { picture, state: display_states[frame], coming: all_coming.get(frame), bands, scrolls };
        writer.frame(frame, &wanted, scene_frames.cues.get(frame).unwrap_or(&scene_frames.cues[0]));
        if frame == 0 {
            writer.memory.forget_hidden(display_states[0]);
            let round = writer.round.iter().flat_map(|round| round.instructions(planner.first_column));
            writer.out.instructions.extend(round);
            after_key = writer.out.instructions.len();
            if scene_frames.then == Next::Repeat {
                writer.merge_behind = after_key;
            }
        }
    }
    if scene_frames.holds_live() {
        wait_for_ever(&mut writer.out.instructions);
    } else {
        follow(&mut writer.out.instructions, scene_frames.then, after_key, goes_round);
    }
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

/// The largest number of frames that one instruction waits in addition to its own.
pub(super) const LONGEST_WAIT: u32 = 255;

/// Appends waiting without end, during which layers follow live values.
fn wait_for_ever(instructions: &mut Vec<Instruction>) {
    let start = instructions.len();
    instructions.extend([Instruction::Frame { more: LONGEST_WAIT }, Instruction::Jump(start)]);
}

/// Appends what follows the last frame. A loop needs this even if nothing else changes.
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
