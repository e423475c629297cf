//! The checked show. Later stages rely on it without checking again. Only the checker can build one.

use super::{
    Device, Lamp, Layer, LiveState, LiveValue, NOT_RECORDED, Photo, Power, Scene, SceneId, SetText, Stay, ValueHistory,
};
use crate::diag::Span;
use crate::font::Font;
use crate::panel::{BusSettings, Microcontroller, Mounting, Panel};
use crate::source::SourcePicture;
use crate::units::{FlashBytes, FrameRate, RamBytes};

/// A whole show, every name resolved and every number in its range.
#[derive(Clone, Debug)]
pub struct Show {
    pub(super) name: String,
    pub(super) panel: Panel,
    pub(super) mounting: Mounting,
    pub(super) bus: BusSettings,
    pub(super) devices: Vec<Device>,
    pub(super) microcontroller: Microcontroller,
    pub(super) room: Room,
    pub(super) frame_rate: FrameRate,
    pub(super) fonts: Vec<Font>,
    pub(super) pictures: Vec<SourcePicture>,
    pub(super) triggers: Vec<String>,
    pub(super) cues: Vec<String>,
    pub(super) scenes: Vec<Scene>,
    pub(super) live: Vec<LiveValue>,
    pub(super) histories: Vec<ValueHistory>,
    pub(super) live_texts: Vec<SetText>,
    pub(super) threshold_table: Vec<u8>,
    pub(super) lamps: Vec<Lamp>,
    pub(super) start: SceneId,
    pub(super) viewing_distance_millimetres: f64,
    pub(super) photos: Vec<Photo>,
    pub(super) profile: Option<Profile>,
    pub(super) power: Option<Power>,
    pub(super) day: Vec<Stay>,
    pub(super) spans: ShowSpans,
}

/// The places of parts of the show in the script, for findings of later stages.
#[derive(Clone, Copy, Debug)]
pub struct ShowSpans {
    pub whole: Span,
    pub panel: Span,
    pub bus: Span,
    pub microcontroller: Span,
    pub frame_rate: Span,
}

/// What of the microcontroller is left for the show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Room {
    pub flash: FlashBytes,
    pub ram: RamBytes,
}

/// How the reel is to be drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profile {
    /// Without a copy of the picture, in at most 64 bytes of RAM.
    Lean,
    /// From a copy of the picture in RAM: fewer bytes of reel, more of player, more time of the microcontroller.
    Dense,
}

impl Show {
    /// How the reel is to be drawn; `None` lets the compiler take the one that leaves the most room.
    pub fn profile(&self) -> Option<Profile> {
        self.profile
    }
    /// The show's name, also the stem of every file written for it.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// The display and its controller.
    pub fn panel(&self) -> &Panel {
        &self.panel
    }
    /// How the display is mounted in the model.
    pub fn mounting(&self) -> &Mounting {
        &self.mounting
    }
    /// The bus that carries the frames.
    pub fn bus(&self) -> &BusSettings {
        &self.bus
    }
    /// The other devices on that bus.
    pub fn devices(&self) -> &[Device] {
        &self.devices
    }
    /// The part that plays the show.
    pub fn microcontroller(&self) -> &Microcontroller {
        &self.microcontroller
    }
    /// What of the microcontroller is left for the show.
    pub fn room(&self) -> Room {
        self.room
    }
    /// Frames a second.
    pub fn frame_rate(&self) -> FrameRate {
        self.frame_rate
    }
    /// The fonts, by [`FontId`](crate::show::FontId).
    pub fn fonts(&self) -> &[Font] {
        &self.fonts
    }
    /// The pictures, by [`PictureId`](crate::show::PictureId).
    pub fn pictures(&self) -> &[SourcePicture] {
        &self.pictures
    }
    /// The triggers' names, by [`TriggerId`](crate::show::TriggerId).
    pub fn triggers(&self) -> &[String] {
        &self.triggers
    }
    /// The cues' names, by [`CueId`](crate::show::CueId).
    pub fn cues(&self) -> &[String] {
        &self.cues
    }
    /// The scenes, by [`SceneId`].
    pub fn scenes(&self) -> &[Scene] {
        &self.scenes
    }
    /// The live values, by [`LiveId`](crate::show::LiveId).
    pub fn live(&self) -> &[LiveValue] {
        &self.live
    }
    /// What previews set each live value to at a time of the scene.
    pub fn live_samples(&self, seconds: f64) -> Vec<i16> {
        self.live.iter().map(|live| live.sample(seconds)).collect()
    }
    /// The texts that the firmware sets character by character.
    pub fn live_texts(&self) -> &[SetText] {
        &self.live_texts
    }
    /// What charts keep of live values.
    pub fn histories(&self) -> &[ValueHistory] {
        &self.histories
    }
    /// What live layers are drawn from at a frame of a scene, live values at their samples; all histories began with the scene.
    pub fn sample_state(&self, frame: u32) -> LiveState {
        let step = |live: &LiveValue, frame: u32| live.step(live.sample(self.frame_rate.seconds_at(frame)));
        let held = |history: &ValueHistory| {
            let latest = frame / history.every;
            let value = |before: u32| match latest.checked_sub(before) {
                Some(number) => step(&self.live[history.value.0], number * history.every).saturating_add(1),
                None => NOT_RECORDED,
            };
            (0..history.columns).rev().map(value).collect()
        };
        LiveState {
            steps: self.live.iter().map(|live| step(live, frame)).collect(),
            histories: self.histories.iter().map(held).collect(),
        }
    }
    /// Records the live values of a state in the charts of a scene, if they are due at this frame of the scene.
    pub fn record(&self, scene: &Scene, frame: u32, state: &mut LiveState) {
        for id in scene.layers.iter().filter_map(Layer::history) {
            if let Some(history) = self.histories.get(id.0).filter(|history| frame.is_multiple_of(history.every)) {
                state.record(id, history);
            }
        }
    }
    /// What they are drawn from at power-up, before the first frame.
    pub fn first_state(&self) -> LiveState {
        LiveState {
            steps: self.live.iter().map(|live| live.step(live.start)).collect(),
            histories: self.histories.iter().map(|history| vec![NOT_RECORDED; history.columns as usize]).collect(),
        }
    }
    /// The table of thresholds, by which live values raise triggers, as the player reads it; empty without any.
    pub fn threshold_table(&self) -> &[u8] {
        &self.threshold_table
    }
    /// The patterns of light for lamps.
    pub fn lamps(&self) -> &[Lamp] {
        &self.lamps
    }
    /// The scene that plays first.
    pub fn start(&self) -> SceneId {
        self.start
    }
    /// The distance between eye and display in millimetres.
    pub fn viewing_distance_millimetres(&self) -> f64 {
        self.viewing_distance_millimetres
    }
    /// The photos that will be taken of it; empty when the script says nothing.
    pub fn photos(&self) -> &[Photo] {
        &self.photos
    }
    /// The supply and what draws on it; `None` when the script says nothing.
    pub fn power(&self) -> Option<&Power> {
        self.power.as_ref()
    }
    /// How long each scene plays on a day; empty when the script says nothing.
    pub fn day(&self) -> &[Stay] {
        &self.day
    }
    /// The places of parts of the show in the script.
    pub fn spans(&self) -> ShowSpans {
        self.spans
    }
    /// Width and height in pixels of what the viewer sees.
    pub fn view_size(&self) -> (u32, u32) {
        self.mounting.view_size(&self.panel)
    }
}
