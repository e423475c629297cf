//! Every scene as the display shows it, frame by frame from its start.

use super::shown::Shown;
use super::stage::Stage;
use crate::reel::Reel;
use crate::show::Show;
use rayon::prelude::*;

/// Place of the start scene in a reel's header.
const START: usize = 8;

/// Plays every scene from power-up to its last frame; `Err` says in words why one could not be.
pub fn scenes_shown(show: &Show, reel: &Reel) -> Result<Vec<Vec<Shown>>, String> {
    let play = |number: usize| {
        let mut bytes = reel.bytes.clone();
        if let Some(start) = bytes.get_mut(START) {
            *start = number as u8;
        }
        let mut stage = Stage::new(show, &bytes, &reel.fields);
        (0..show.scenes()[number].frames.0)
            .map(|frame| {
                stage.set_live(frame);
                stage.frame().map(|played| played.shown)
            })
            .collect()
    };
    (0..show.scenes().len()).into_par_iter().map(play).collect()
}
