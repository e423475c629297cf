//! A show on stage: the shipped player plays the reel into the controller model, frame by frame, on modelled time.

use super::shown::Shown;
use crate::emulator::{Emulator, FrameTime, Playback, PlayedFrame, Traffic};
use crate::player::{Field, Shows, Status};
use crate::reel::{FieldTable, period};
use crate::render::Bitmap;
use crate::show::{Reaction, Show, Then, TriggerId};
use crate::units::Nanoseconds;
use crate::whole::limited;

/// Calls that filling one field may take, far beyond any field's pieces.
const MOST_CALLS: u32 = 4096;

/// What came of one frame.
#[derive(Clone, Debug)]
pub struct Played {
    pub shown: Shown,
    /// The number of the current scene in the player, and its current frame, from 0.
    pub scene: u8,
    pub frame: u32,
    /// The cues handed over, in order.
    pub cues: Vec<u8>,
    pub traffic: Traffic,
    pub time: FrameTime,
}

/// A player at its reel, with the display that it plays on.
pub struct Stage<'a> {
    show: &'a Show,
    playback: Playback<'a, Emulator>,
    fields: Vec<(&'a FieldTable, Field<'a, Vec<u8>>)>,
    /// The player's count of scenes entered, and the frame of the scene.
    entries: u8,
    scene_frame: u32,
    /// The picture after the last frame. It does not change while the bus is idle.
    seen: Option<Bitmap>,
}

impl<'a> Stage<'a> {
    /// The show at its start, on a display just powered up with noise in its memory.
    pub fn new(show: &'a Show, reel: &'a [u8], tables: &'a [FieldTable]) -> Self {
        let (milliseconds, fraction) = period(show.frame_rate());
        let period = u64::from(milliseconds) << 8 | u64::from(fraction);
        let display = Emulator::new(show.panel()).at_address(show.panel().address_on(show.bus()));
        let field = |table: &'a FieldTable| (table, Field::new(&table.bytes, vec![0; 2 * table.cells as usize]));
        Self {
            show,
            fields: tables.iter().map(field).collect(),
            entries: 0,
            scene_frame: 0,
            playback: Playback::new(reel, display, period, show.bus(), show.microcontroller()),
            seen: None,
        }
    }

    /// The current display.
    pub fn display(&self) -> &Emulator {
        self.playback.far_end()
    }

    /// When the next frame will begin, since power-up.
    pub fn next_begins(&self) -> Nanoseconds {
        self.playback.next_begins()
    }

    /// Raises a trigger; it takes effect with the next frame.
    pub fn trigger(&mut self, trigger: TriggerId) {
        let scene = self.show.scenes().get(usize::from(self.playback.player().scene()));
        let reaction = scene.and_then(|scene| scene.reactions.get(trigger.0));
        self.playback.trigger(limited(trigger.0), reaction.is_some_and(|reaction| *reaction != Reaction::Ignore));
    }

    /// Sets the live values to their samples at a frame of its scene.
    pub fn set_live(&mut self, frame: u32) {
        self.set_values(&self.show.live_samples(self.show.frame_rate().seconds_at(frame)));
    }

    /// The samples of the live values at the frame that comes next, if no trigger leads elsewhere.
    pub fn next_samples(&self) -> Vec<i16> {
        let next = if self.seen.is_none() { 0 } else { self.scene_frame + 1 };
        self.show.live_samples(self.show.frame_rate().seconds_at(next))
    }

    /// Sets the live values, by their numbers.
    pub fn set_values(&mut self, values: &[i16]) {
        self.playback.set_live(values);
    }

    /// Plays the next frame; `Err` says in words why it could not.
    pub fn frame(&mut self) -> Result<Played, String> {
        let mut played = self.playback.frame()?;
        self.fill_fields()?;
        let (_, bus) = self.playback.parts();
        played.traffic += bus.take_traffic();
        played.time.done = bus.now();
        Ok(self.played(played))
    }

    /// Fills the fields of the scene with their samples for this frame, as firmware would with what it measured.
    fn fill_fields(&mut self) -> Result<(), String> {
        let (player, bus) = self.playback.parts();
        let Some(scene) = self.show.scenes().get(usize::from(player.scene())) else { return Ok(()) };
        self.scene_frame = match scene.then {
            _ if self.entries != player.entries => 0,
            Then::Repeat if self.scene_frame + 1 >= scene.frames.0 => 0,
            _ => (self.scene_frame + 1).min(scene.frames.0.saturating_sub(1)),
        };
        self.entries = player.entries;
        let seconds = self.show.frame_rate().seconds_at(self.scene_frame);
        for at in 0..self.fields.len() {
            let (before, rest) = self.fields.split_at_mut(at);
            let Some(((table, field), after)) = rest.split_first_mut() else { break };
            let others: Vec<&dyn Shows> =
                before.iter().chain(after.iter()).map(|(_, field)| field as &dyn Shows).collect();
            let sampled = scene.fields.get(table.number).filter(|_| table.scene == usize::from(player.scene()));
            let Some(sampled) = sampled else { continue };
            // A field's characters are of Latin-1, so each is one byte.
            let text: Vec<u8> = sampled.sample(seconds).chars().map(|letter| limited(u32::from(letter))).collect();
            field.set(&text);
            let mut calls = (0..MOST_CALLS).map(|_| field.tick_beside(player, bus, &others));
            match calls.find(|status| *status != Status::Busy) {
                Some(Status::Idle) => {}
                _ => return Err(format!("the field `{}` cannot be filled", table.name)),
            }
        }
        Ok(())
    }

    fn played(&mut self, PlayedFrame { time, traffic, cues }: PlayedFrame) -> Played {
        let scene = self.playback.player().scene();
        let display = self.playback.far_end();
        let unchanged = self.seen.take().filter(|_| traffic == Traffic::default());
        let picture = unchanged.unwrap_or_else(|| display.as_mounted(self.show.mounting()));
        self.seen = Some(picture.clone());
        let name = self.show.scenes().get(usize::from(scene)).map_or(String::new(), |scene| scene.name.clone());
        let stays = self.show.frame_rate().period();
        let shown = Shown {
            picture,
            frames: 1,
            stays,
            contrast: display.contrast(),
            on: display.is_on(),
            scene: name,
            changing: None,
        };
        Played { shown, scene, frame: self.scene_frame, cues, traffic, time }
    }
}
