//! A quick reel of one scene, made of windows only. It shows a picture before the whole show is compiled.

use super::areas::LiveFrames;
use super::compile::{footage_of, header, kept, planner};
use super::encode::{Header, LONGEST_REEL, encode};
use super::fields::{FieldTable, field_tables};
use super::scene::{Next, Planned, SceneFrames, plan_at_once};
use crate::diag::Findings;
use crate::render::Bitmap;
use crate::show::{SceneId, Show};
use crate::whole::limited;

/// Returns the bytes of a reel with only this scene, and the fields of the show. `None` if the reel is too long for the player's
/// offsets, or a field cannot be where it is. Live values stay at their samples.
pub fn draft_reel(show: &Show, scene: SceneId, frames: &[Vec<Bitmap>]) -> Option<(Vec<u8>, Vec<FieldTable>)> {
    let fields = field_tables(show, frames, &mut Findings::default())?;
    let own = show.scenes().get(scene.0)?;
    let pictures = kept(show, own, frames.get(scene.0)?);
    let (then, live, dimming) = (Next::Hold, LiveFrames::default(), None);
    let scene_frames = SceneFrames { then, live, dimming, ..footage_of(show, own, &pictures) };
    let mut scenes = vec![Planned::nothing(); show.scenes().len()];
    scenes[scene.0] = plan_at_once(&scene_frames, &planner(show.panel(), show.mounting(), show.bus()));
    let (bytes, _) = encode(&Header { start: limited(scene.0), ..header(show) }, &scenes);
    (bytes.len() <= LONGEST_REEL).then_some((bytes, fields))
}
