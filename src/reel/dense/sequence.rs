//! A scene for the dense player: the display memory in each frame, and the frames that invert the display.

use super::predictor::Predictor;
use crate::panel::{CommandSet, Controller};
use crate::reel::areas::{Block, Division};
use crate::reel::dimming::LiveContrast;
use crate::reel::memory::{DisplayState, PageBitmap, cell};
use crate::reel::scene::{Next, SceneFrames};

/// One frame: all its cells page by page, and the commands sent with them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Frame {
    pub cells: Vec<u8>,
    /// Whether this frame inverts the display or sets it back.
    pub inverts: bool,
    /// Commands before and after the picture, for contrast and for off and on.
    pub before: Vec<u8>,
    pub behind: Vec<u8>,
    pub cues: Vec<u8>,
}

/// The frames of a scene. A scene that repeats has its first frame again at the end.
#[derive(Clone, Debug)]
pub struct FrameSequence {
    pub frames: Vec<Frame>,
    pub then: Next,
    /// By how many columns to the left and rows up much of the picture moves.
    pub movement: (u8, u8),
    /// The beam of the scene, if it has one instead of a movement.
    pub predictor: Option<Predictor>,
    /// The live value that its contrast follows.
    pub dimming: Option<LiveContrast>,
    /// Whether many cells become copies of the cell on their left. Only films use this, instead of movement, beam and inversion.
    pub copies: bool,
    /// The areas over the picture.
    pub areas: Option<Block>,
    /// Whether its last frame stays while layers or the contrast still follow live values.
    pub holds_live: bool,
}

/// Which frames invert the display.
enum Inversions<'a> {
    None,
    /// Those in which few cells then change.
    WhereItPays,
    /// For each frame, whether the display is inverted.
    As(&'a [bool]),
}

/// Returns whether a player of frames can invert the display of a controller: by the commands A6 and A7 only.
pub fn may_invert(controller: &Controller) -> bool {
    controller.command_set == CommandSet::Paged
}

/// The display is inverted if fewer than one in this many of the changed cells then change.
const WORTH_INVERTING: usize = 2;

/// The sequence of a scene, which can have a beam, and areas over its picture.
pub fn sequence(
    scene_frames: &SceneFrames,
    division: Option<&Division>,
    predictor: Option<Predictor>,
    controller: &Controller,
) -> FrameSequence {
    let inversions = match division {
        Some(division) => Inversions::As(&division.inverted),
        None if may_invert(controller) => Inversions::WhereItPays,
        None => Inversions::None,
    };
    let frames = frames(scene_frames, pictures(scene_frames, division), controller, &inversions);
    let movement = match predictor {
        Some(_) => (0, 0),
        None => movement(&frames, width(scene_frames)),
    };
    FrameSequence { movement, predictor, ..of(scene_frames, division, frames) }
}

/// The sequence of a scene for a film.
pub fn film_sequence(
    scene_frames: &SceneFrames,
    division: Option<&Division>,
    controller: &Controller,
) -> FrameSequence {
    let frames = frames(scene_frames, pictures(scene_frames, division), controller, &Inversions::None);
    FrameSequence { copies: copies(&frames, width(scene_frames)), ..of(scene_frames, division, frames) }
}

fn of(scene_frames: &SceneFrames, division: Option<&Division>, frames: Vec<Frame>) -> FrameSequence {
    FrameSequence {
        frames,
        then: scene_frames.then,
        movement: (0, 0),
        predictor: None,
        dimming: scene_frames.dimming.clone(),
        copies: false,
        areas: division.map(|division| division.areas.clone()),
        holds_live: scene_frames.holds_live(),
    }
}

/// What the copy of the picture has in each frame.
fn pictures<'a>(scene_frames: &'a SceneFrames, division: Option<&'a Division>) -> &'a [PageBitmap] {
    division.map_or(&scene_frames.pictures, |division| &division.below)
}

fn width(scene_frames: &SceneFrames) -> usize {
    scene_frames.pictures.first().map_or(0, PageBitmap::width)
}

fn frames(
    scene_frames: &SceneFrames,
    pictures: &[PageBitmap],
    controller: &Controller,
    inversions: &Inversions<'_>,
) -> Vec<Frame> {
    let repeats = scene_frames.then == Next::Repeat;
    let count = pictures.len();
    let (mut frames, mut inverted): (Vec<Frame>, bool) = (Vec::new(), false);
    for number in 0..count + usize::from(repeats) {
        let at = number % count;
        let plain = cells(&pictures[at]);
        let pays = || {
            frames.last().is_some_and(|last| {
                let changed =
                    |inverted: bool| last.cells.iter().zip(&plain).filter(|(a, b)| **a != shown(**b, inverted)).count();
                changed(!inverted) * WORTH_INVERTING < changed(inverted)
            })
        };
        // The first frame is not inverted, also when it comes again. The picture is stored as it is before an inversion.
        let (wanted, stored) = match inversions {
            _ if at == 0 => (false, false),
            Inversions::None => (false, false),
            Inversions::WhereItPays => {
                let wanted = inverted != pays();
                (wanted, wanted)
            }
            Inversions::As(inverted) => (inverted[at], false),
        };
        let former = number.checked_sub(1).map(|former| state(scene_frames, former).panel_state());
        let now = state(scene_frames, at).panel_state();
        frames.push(Frame {
            cells: plain.iter().map(|cell| shown(*cell, stored)).collect(),
            inverts: wanted != inverted,
            before: controller.hide_commands(former, now),
            behind: controller.state_commands(former, now),
            cues: scene_frames.cues[at].clone(),
        });
        inverted = wanted;
    }
    frames
}

/// The display state of a frame. Inversion is left out, because the stream contains it.
fn state(scene_frames: &SceneFrames, frame: usize) -> DisplayState {
    DisplayState { on: scene_frames.is_on(frame), ..DisplayState::opening(scene_frames.sent_contrast(frame)) }
}

fn shown(cell: u8, inverted: bool) -> u8 {
    if inverted { !cell } else { cell }
}

fn cells(picture: &PageBitmap) -> Vec<u8> {
    let pages = picture.rows().div_ceil(8) as usize;
    (0..pages).flat_map(|page| picture.bits().iter().map(move |column| cell(*column, page))).collect()
}

/// The largest movement that is searched for; four bits of columns, three of rows.
const FARTHEST: (u8, u8) = (8, 7);
/// A movement is used if it explains at least one changed cell in this many.
const WORTH_MOVING: usize = 6;

/// Returns the movement that explains the most changed cells; (0, 0) if it explains too few.
fn movement(frames: &[Frame], width: usize) -> (u8, u8) {
    let changing: Vec<(&Frame, &Frame)> =
        frames.iter().zip(frames.iter().skip(1)).filter(|(a, b)| a.cells != b.cells).collect();
    let changed: usize =
        changing.iter().map(|(a, b)| a.cells.iter().zip(&b.cells).filter(|(a, b)| a != b).count()).sum();
    let movements = (0..=FARTHEST.1).flat_map(|up| (0..=FARTHEST.0).map(move |left| (left, up))).skip(1);
    let explained =
        |movement: (u8, u8)| -> usize { changing.iter().map(|(old, new)| explained(old, new, width, movement)).sum() };
    let best = movements.map(|movement| (explained(movement), movement)).max_by_key(|(cells, _)| *cells);
    best.filter(|(cells, _)| cells * WORTH_MOVING > changed).map_or((0, 0), |(_, movement)| movement)
}

fn explained(old: &Frame, new: &Frame, width: usize, (left, up): (u8, u8)) -> usize {
    let cell = |at: usize, column: usize| {
        let from = at + usize::from(left);
        if column + usize::from(left) < width { old.cells.get(from).copied().unwrap_or(0) } else { 0 }
    };
    let mut count = 0;
    for (at, (before, after)) in old.cells.iter().zip(&new.cells).enumerate() {
        if before != after {
            let both = u16::from(cell(at, at % width)) | u16::from(cell(at + width, at % width)) << 8;
            count += usize::from((both >> up & 0xFF) as u8 == *after);
        }
    }
    count
}

/// Copies from the left are used if they explain at least one changed cell in this many. They save the time of its pixels.
const WORTH_COPYING: usize = 5;

fn copies(frames: &[Frame], width: usize) -> bool {
    let (mut changed, mut alike) = (0, 0);
    for (old, new) in frames.iter().zip(frames.iter().skip(1)) {
        for at in (0..new.cells.len()).filter(|at| old.cells[*at] != new.cells[*at]) {
            changed += 1;
            alike += usize::from(at % width > 0 && new.cells[at - 1] == new.cells[at]);
        }
    }
    alike * WORTH_COPYING > changed
}
