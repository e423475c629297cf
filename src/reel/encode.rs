//! Scenes of instructions as the bytes of a reel, with a listing of where each byte goes.

use super::areas::{Block, live_bytes};
use super::dimming::{LiveContrast, put_contrasts};
use super::instruction::{CellPlace, Instruction, LONGEST_GROUP};
use super::scene::Planned;
use super::scene_code::{CostToGo, Memories, SceneCode, encode_scene};
use super::shares::shared_out;
use super::strips::{place, pool, resolved};
pub use crate::player::REEL_VERSION;
use crate::player::operation as op;
use crate::units::FrameRate;
use crate::whole::limited;

/// The longest reel that the player's 16-bit offsets reach.
pub const LONGEST_REEL: usize = 0xFFFF;
/// A trigger that does nothing.
pub const IGNORED: u8 = 0xFF;
/// A trigger, or the end of a scene, that goes back to the scene before.
pub const BACK: u8 = 0xFE;
/// How often all scenes are encoded, each time with the cost-to-go of the time before.
const ATTEMPTS: usize = 2;
const TABLES: usize = 11;
/// Added to a start line that is set, not moved.
const SETS_LINE: u8 = 0x80;
/// Added to the distance in a strip.
const NO_SHIFT: u8 = 128;

/// The contents of a reel in addition to its scenes.
#[derive(Clone, Debug)]
pub struct Header {
    /// Seven-bit address.
    pub address: u8,
    /// Bytes after the address in one transaction, including the control byte.
    pub write_limit: u8,
    /// Frames per second.
    pub frame_rate: FrameRate,
    /// The number of the first scene.
    pub start: u8,
    /// For each scene, what each trigger does: a scene, [`IGNORED`] or [`BACK`].
    pub reactions: Vec<Vec<u8>>,
    /// The live values: start, highest, lowest, factor.
    pub live: Vec<[u16; 4]>,
    /// The command groups that set the display up.
    pub set_up: Vec<Vec<u8>>,
}

/// Where the bytes of a reel went.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// Bytes of the header.
    pub header_bytes: usize,
    /// Bytes of the set-up.
    pub set_up_bytes: usize,
    /// The strips of pictures that move sideways.
    pub strip_bytes: usize,
    /// The contrasts at the steps of live values.
    pub contrast_bytes: usize,
    /// The trees or tables of a dense reel.
    pub model_bytes: usize,
    /// For each scene its offset and bytes, and the bytes of each of its frames.
    pub scenes: Vec<SceneLayout>,
}

/// Where the bytes of one scene went.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SceneLayout {
    pub offset: usize,
    pub bytes: usize,
    /// Bytes elsewhere in the reel: the stream of a dense scene, or the strips of a lean one.
    pub stream_bytes: usize,
    /// Bytes of its areas, if no scene before has the same.
    pub area_bytes: usize,
    /// Flash bytes of each frame, in the order of the planned frames, including its part of the bytes elsewhere.
    pub frames: Vec<usize>,
}

impl SceneLayout {
    /// All flash bytes of the scene.
    pub fn all(&self) -> usize {
        self.bytes + self.stream_bytes + self.area_bytes
    }
}

/// Encodes the scenes. If the result is longer than [`LONGEST_REEL`], the caller reports it.
pub fn encode(header: &Header, scenes: &[Planned]) -> (Vec<u8>, Layout) {
    let (mut reel, mut layout) = begin(header, &[]);
    let strips: Vec<&[u8]> = scenes.iter().flat_map(|scene| &scene.strips).map(Vec::as_slice).collect();
    let pool = pool(&strips);
    let pool_offset = reel.len();
    layout.strip_bytes = pool.len();
    reel.extend(&pool);
    let dimming: Vec<Option<&LiveContrast>> = scenes.iter().map(|scene| scene.dimming.as_ref()).collect();
    let contrasts = put_contrasts(&mut reel, &mut layout, &dimming);
    let blocks: Vec<Option<&Block>> = scenes.iter().map(|scene| scene.areas.as_ref()).collect();
    let areas = put_areas(&mut reel, &blocks);
    let resolved: Vec<Vec<Instruction>> = scenes
        .iter()
        .zip(areas.iter().zip(&contrasts))
        .map(|(scene, (areas, contrasts))| {
            let addresses: Vec<usize> = scene.strips.iter().map(|strip| pool_offset + place(&pool, strip)).collect();
            let mut instructions = resolved(&scene.instructions, &addresses, scene.changes);
            for instruction in &mut instructions {
                match instruction {
                    Instruction::OpenAreas { address, .. } => *address = limited(*areas),
                    Instruction::Contrast { address, .. } => *address = *contrasts,
                    _ => {}
                }
            }
            instructions
        })
        .collect();
    let lengths: Vec<f64> =
        scenes.iter().map(|scene| scene.strips.iter().map(Vec::len).sum::<usize>() as f64).collect();
    let strip_parts = shared_out(pool.len(), &lengths);
    let (mut reel, starts) = written(reel, layout.header_bytes, &resolved);
    for (number, (scene, starts)) in scenes.iter().zip(&starts).enumerate() {
        let offset = starts[0];
        put_scene_offset(&mut reel, number, offset);
        let elsewhere = [strip_parts[number], area_bytes(&blocks, &areas, number)];
        layout.scenes.push(scene_layout(scene, offset, starts, elsewhere));
    }
    (reel, layout)
}

/// Appends the areas of all scenes to the reel, equal ones once. Returns the offset of each scene's areas.
pub fn put_areas(reel: &mut Vec<u8>, scenes: &[Option<&Block>]) -> Vec<usize> {
    let mut offsets: Vec<usize> = Vec::new();
    for (number, areas) in scenes.iter().enumerate() {
        let same = scenes[..number].iter().position(|other| other.is_some() && other == areas);
        let offset = same.map_or(reel.len(), |same| offsets[same]);
        if same.is_none() {
            reel.extend(areas.map_or(Vec::new(), |areas| areas.placed(offset)));
        }
        offsets.push(offset);
    }
    offsets
}

/// The bytes of a scene's areas at these offsets, if it is the first that has them.
pub fn area_bytes(scenes: &[Option<&Block>], offsets: &[usize], number: usize) -> usize {
    let is_first = offsets[..number].iter().zip(scenes).all(|(at, areas)| areas.is_none() || *at != offsets[number]);
    scenes[number].filter(|_| is_first).map_or(0, Block::len)
}

/// Appends the scenes to the reel. Returns the reel, and for each scene the offsets of its instructions. It is the shortest of some
/// attempts, each with the cost-to-go of the one before.
fn written(head: Vec<u8>, header_bytes: usize, scenes: &[Vec<Instruction>]) -> (Vec<u8>, Vec<Vec<usize>>) {
    let mut best: Option<(Vec<u8>, Vec<Vec<usize>>)> = None;
    let mut outlooks: Vec<CostToGo> = Vec::new();
    for _ in 0..ATTEMPTS {
        let (mut reel, mut memories) = (head.clone(), Memories::behind(header_bytes));
        let codes: Vec<SceneCode> = (scenes.iter().enumerate())
            .map(|(number, scene)| encode_scene(scene, &mut reel, &mut memories, outlooks.get(number)))
            .collect();
        let starts;
        (starts, outlooks) = codes.into_iter().map(|code| (code.starts, code.cost_to_go)).unzip();
        if best.as_ref().is_none_or(|(best, _)| reel.len() < best.len()) {
            best = Some((reel, starts));
        }
    }
    best.unwrap_or((head, Vec::new()))
}

/// The header, its tables and the set-up sequence, which ends with the instructions `more`.
pub fn begin(header: &Header, more: &[u8]) -> (Vec<u8>, Layout) {
    let (scenes, triggers) = (header.reactions.len(), header.reactions.first().map_or(0, Vec::len));
    let mut reel = vec![REEL_VERSION, header.address, header.write_limit];
    let (milliseconds, fraction) = period(header.frame_rate);
    reel.extend(milliseconds.to_le_bytes());
    reel.extend([fraction, limited(scenes), limited(triggers), header.start, 0, 0]);
    reel.resize(TABLES + 2 * scenes, 0);
    reel.extend(header.reactions.iter().flatten());
    reel.extend(live_bytes(&header.live));
    let mut layout = Layout { header_bytes: reel.len(), ..Layout::default() };
    put_offset(&mut reel, TABLES - 2, layout.header_bytes);
    for group in joined(&header.set_up, usize::from(header.write_limit) - 1) {
        push_commands(&mut reel, &group);
    }
    reel.extend(more);
    reel.push(op::SET_UP_ENDS);
    layout.set_up_bytes = reel.len() - layout.header_bytes;
    (reel, layout)
}

/// Command groups, in their order, joined to transactions that are as long as player and bus allow.
pub fn joined(groups: &[Vec<u8>], write_limit: usize) -> Vec<Vec<u8>> {
    let most = LONGEST_GROUP.min(write_limit);
    let mut all: Vec<Vec<u8>> = Vec::new();
    for group in groups {
        match all.last_mut() {
            Some(last) if last.len() + group.len() <= most => last.extend(group),
            _ => all.push(group.clone()),
        }
    }
    all
}

/// Fills in the offset of a scene.
pub fn put_scene_offset(reel: &mut [u8], scene: usize, offset: usize) {
    put_offset(reel, TABLES + 2 * scene, offset);
}

/// The frame period in whole milliseconds and 1/256 of a millisecond, rounded to the nearest.
pub fn period(rate: FrameRate) -> (u16, u8) {
    const PARTS: u32 = 256_000;
    let rate = u32::from(rate.frames_per_second());
    let parts = (PARTS + rate / 2) / rate;
    (limited(parts >> 8), (parts & 0xFF) as u8)
}

/// A place in a reel, or a length, as the player reads it: the low byte first. A reel in which a place is beyond the highest word is
/// refused for its length ([`LONGEST_REEL`]).
pub fn word(place: usize) -> [u8; 2] {
    limited::<u16, _>(place).to_le_bytes()
}

/// Writes a place over two bytes of a reel.
pub fn put_offset(reel: &mut [u8], at: usize, offset: usize) {
    reel[at..at + 2].copy_from_slice(&word(offset));
}

/// Returns whether the player continues with the instruction that follows this one in the reel.
pub fn goes_on(instruction: &Instruction) -> bool {
    use Instruction::{Back, EndRound, Hold, Jump, OpenRound, RoundFrame, Scene};
    !matches!(instruction, Jump(_) | Hold | Scene(_) | Back | OpenRound | RoundFrame | EndRound)
}

/// Appends one instruction. `starts` are the offsets of the earlier ones of the scene.
pub fn encode_instruction(instruction: &Instruction, reel: &mut Vec<u8>, starts: &[usize]) {
    match instruction {
        Instruction::Seek(place) => push_seek(reel, *place),
        Instruction::Data(_) | Instruction::Strip { .. } => {} // parted or resolved before
        Instruction::CopyAbsolute { place, address, count } => {
            if *count > 0 {
                push_seek(reel, *place);
            }
            push_take(reel, op::TAKE, *count, *address);
        }
        Instruction::CopyRelative { place, step, count } => {
            push_seek(reel, *place);
            push_take(reel, op::ONWARD, *count, *step);
        }
        Instruction::CopyChanged { place, step, shift, count } => {
            push_take(reel, op::CHANGES, *count, *step);
            let shift = shift.cast_unsigned().wrapping_add(NO_SHIFT);
            reel.extend([place.page, place.column.wrapping_add(*count), shift]);
        }
        Instruction::OpenBeam { direction, record } => {
            reel.extend([op::OPEN_BEAM, *direction]);
            reel.extend(record);
        }
        Instruction::Turn(turn) => reel.extend([op::TURN, *turn]),
        Instruction::OpenRoll(record) => {
            reel.push(op::OPEN_ROLL);
            reel.extend(word(record.len()));
            reel.extend(record);
        }
        Instruction::Roll(operand) => reel.extend([op::ROLL, *operand]),
        Instruction::OpenAreas { count, address } => {
            reel.extend([op::OPEN_AREAS, *count]);
            reel.extend(address.to_le_bytes());
        }
        Instruction::RestartAreas => reel.push(op::RESTART_AREAS),
        Instruction::CloseAreas => reel.push(op::CLOSE_AREAS),
        Instruction::Contrast { value, address } => {
            reel.extend([op::CONTRAST, *value]);
            reel.extend(address.to_le_bytes());
        }
        Instruction::OpenRound => reel.extend([op::ROUND, 0, 0]),
        Instruction::RoundFrame => push_frame(reel, 0),
        Instruction::EndRound => reel.extend([op::JUMP, 0, 0]),
        Instruction::Line(line) => reel.extend([op::LINE, SETS_LINE | line]),
        Instruction::Scroll(rows) => reel.extend([op::LINE, *rows]),
        Instruction::Commands(bytes) => push_commands(reel, bytes),
        Instruction::Cue(cue) => reel.extend([op::CUE, *cue]),
        Instruction::Frame { more } => push_frame(reel, *more),
        Instruction::Hold => reel.push(op::HOLD),
        Instruction::Jump(to) => {
            let to = starts.get(*to).copied().unwrap_or(reel.len());
            reel.push(op::JUMP);
            reel.extend(word(to));
        }
        Instruction::Scene(scene) => reel.extend([op::SCENE, *scene]),
        Instruction::Back => reel.extend([op::SCENE, BACK]),
    }
}

fn push_seek(reel: &mut Vec<u8>, place: CellPlace) {
    reel.extend([op::SEEK | place.page, place.column]);
}

fn push_take(reel: &mut Vec<u8>, operation: u8, count: u8, offset: u16) {
    let [low, high] = offset.to_le_bytes();
    reel.extend([operation, count, low, high]);
}

fn push_commands(reel: &mut Vec<u8>, bytes: &[u8]) {
    reel.extend([op::COMMANDS, limited(bytes.len())]);
    reel.extend(bytes);
}

/// Appends one frame and `more` frames without change. One wait instruction is for up to 256 frames.
fn push_frame(reel: &mut Vec<u8>, more: u32) {
    let mut frames = more + 1;
    while frames > 1 {
        let waits = (frames - 1).min(255);
        reel.extend([op::WAIT, waits as u8]);
        frames -= waits + 1;
    }
    if frames == 1 {
        reel.push(op::FRAME);
    }
}

fn scene_layout(
    scene: &Planned,
    offset: usize,
    starts: &[usize],
    [strip_bytes, area_bytes]: [usize; 2],
) -> SceneLayout {
    let end = starts.last().copied().unwrap_or(offset);
    let first = |frame: usize| scene.frames.get(frame).map_or(end, |frame| starts[frame.first_instruction]);
    let strips = shared_out(strip_bytes + area_bytes, &strip_weights(scene));
    let frames = strips.iter().enumerate().map(|(at, strip)| first(at + 1).saturating_sub(first(at)) + strip).collect();
    SceneLayout { offset, bytes: end - offset, stream_bytes: strip_bytes, area_bytes, frames }
}

/// The part of the scene's strips that each frame shows. The bytes of a strip are divided equally among the frames that show it.
fn strip_weights(scene: &Planned) -> Vec<f64> {
    let mut shown: Vec<(usize, usize)> = Vec::new();
    let mut times = vec![0usize; scene.strips.len()];
    for (at, instruction) in scene.instructions.iter().enumerate() {
        if let Instruction::Strip { strip, .. } = instruction {
            let frame = scene.frames.partition_point(|frame| frame.first_instruction <= at).saturating_sub(1);
            shown.push((frame, *strip));
            times[*strip] += 1;
        }
    }
    let mut weights = vec![0.0; scene.frames.len()];
    if let (Some(areas), Some(first)) = (&scene.areas, weights.first_mut()) {
        *first += areas.len() as f64;
    }
    for (frame, strip) in shown {
        weights[frame] += scene.strips[strip].len() as f64 / times[strip] as f64;
    }
    weights
}
