//! Divides a scene into areas and the pictures below them, which a copy of the picture contains.

use super::block::Block;
use super::carrier::{Carriage, Carrier, NoAreas};
use super::layers::SceneInk;
use super::play::{LastFrame, Play};
use super::stack::{AreaChoice, Proposals};
use crate::reel::encode::LONGEST_REEL;
use crate::reel::memory::PageBitmap;
use crate::reel::scene::{Next, SceneFrames};

/// A scene as areas and pictures below them.
#[derive(Clone, Debug)]
pub struct Division {
    pub areas: Block,
    /// What the copy of the picture has in each frame.
    pub below: Vec<PageBitmap>,
    /// For each frame, whether the display is inverted.
    pub inverted: Vec<bool>,
    /// How each layer is carried.
    pub carriage: Carriage,
    /// For each layer that follows live values, the numbers of these values and the bytes of its areas.
    pub live_layers: Vec<(Vec<usize>, usize)>,
}

impl Division {
    /// Divides a scene. An error if nothing can be an area, or if the two do not look as the scene does.
    pub fn of(
        scene_frames: &SceneFrames,
        (ink, proposals): (&SceneInk, &Proposals),
        choice: AreaChoice,
        first_column: u8,
    ) -> Result<Self, NoAreas> {
        let (areas, below) = proposals.over_copy(choice)?;
        let block = Block::of(&areas, first_column, scene_frames.holds_live());
        let rows = scene_frames.pictures[0].rows();
        let below = below.into_iter().map(|bits| PageBitmap::new(rows, bits)).collect();
        let carried = |carrier| match carrier {
            Carrier::Windows | Carrier::Lowest => Carrier::Copy,
            carrier => carrier,
        };
        let carriers = proposals.carriers(&areas).into_iter().map(carried).collect();
        let division = Self {
            areas: block,
            below,
            inverted: ink.inverted.clone(),
            carriage: Carriage::Areas(carriers),
            live_layers: proposals.live_layers(),
        };
        if division.areas.len() >= LONGEST_REEL / 2 {
            return Err(NoAreas::TooLong);
        }
        let keeps = areas.iter().any(|area| area.sheet.history.is_some());
        if division.shows(scene_frames, keeps, first_column) { Ok(division) } else { Err(NoAreas::Covered) }
    }

    /// Returns whether areas and copy look as the scene does in all frames, and in the first one when the scene repeats, unless a
    /// chart `keeps` what it showed before.
    fn shows(&self, scene_frames: &SceneFrames, keeps: bool, first_column: u8) -> bool {
        let (frames, repeats) = (scene_frames.pictures.len(), scene_frames.then == Next::Repeat);
        let mut play = Play::new(self.areas.clone(), LastFrame::of(scene_frames), &scene_frames.live);
        (0..frames + usize::from(repeats && !keeps)).all(|frame| {
            let at = frame % frames;
            let wanted = &scene_frames.pictures[at];
            let over = PageBitmap::new(wanted.rows(), wanted.bits().iter().map(|bits| !bits));
            let wanted = if self.inverted[at] { &over } else { wanted };
            play.shows(frame, [&self.below[at], wanted], first_column)
        })
    }
}
