//! A show on stage: the shipped player plays the reel into the controller model, frame by frame, while the bus is measured.

use super::shown::Shown;
use crate::emulator::Emulator;
use crate::player::{AnyPlayer, Bus, Field, Shows, Status, any_player};
use crate::reel::{FieldTable, period};
use crate::render::Bitmap;
use crate::show::{Reaction, Show, Then, TriggerId};
use crate::units::{BusBytes, Nanoseconds};

/// Bytes that one call of the player may send on stage; the longest that its parameter holds.
const ALLOWANCE: u8 = u8::MAX;
/// Calls that one frame may take, far beyond any whole picture; more mean that the reel never completes a frame.
const MOST_CALLS: u32 = 4096;

/// What one frame put on the bus.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Traffic {
    pub transactions: u32,
    /// Address and control bytes counted.
    pub bytes: BusBytes,
    /// How long the bus was held, the firmware's own work not counted.
    pub time: Nanoseconds,
}

/// The controller model behind a bus that measures.
struct Wire {
    glass: Emulator,
    bus: crate::panel::Bus,
    /// Bytes after the address of the open transaction.
    open_bytes: u32,
    traffic: Traffic,
}

impl Bus for Wire {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        self.open_bytes = 0;
        if self.glass.start(address) { Ok(()) } else { Err(()) }
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        self.open_bytes += 1;
        if self.glass.write(byte) { Ok(()) } else { Err(()) }
    }
    fn stop(&mut self) -> Result<(), ()> {
        self.glass.stop();
        self.traffic.transactions += 1;
        self.traffic.bytes += BusBytes(self.open_bytes + 1);
        self.traffic.time += self.bus.transaction_time(self.open_bytes);
        Ok(())
    }
}

/// What came of one frame.
#[derive(Clone, Debug)]
pub struct Played {
    pub shown: Shown,
    /// The number of the scene that plays, as the player gives it.
    pub scene: u8,
    /// The cues handed over, in order.
    pub cues: Vec<u8>,
    pub traffic: Traffic,
}

/// A player at its reel, with the glass that it plays on.
pub struct Stage<'a> {
    show: &'a Show,
    player: AnyPlayer<'a>,
    fields: Vec<(&'a FieldTable, Field<'a, Vec<u8>>)>,
    /// The player's count of scenes entered, and the frame of the scene.
    entries: u8,
    scene_frame: u32,
    wire: Wire,
    /// The picture after the last frame; nothing on the bus leaves it as it is.
    seen: Option<Bitmap>,
    /// When the next frame is due, in 1/256 ms.
    due: u64,
    /// The time of a frame in 1/256 ms.
    period: u64,
}

impl<'a> Stage<'a> {
    /// The show at its start, on a glass just powered up with noise in its memory.
    pub fn new(show: &'a Show, reel: &'a [u8], tables: &'a [FieldTable]) -> Self {
        let (milliseconds, fraction) = period(show.frame_rate());
        let glass = Emulator::new(show.panel()).at_address(show.bus().address);
        let field = |table: &'a FieldTable| (table, Field::new(&table.bytes, vec![0; 2 * table.cells as usize]));
        Self {
            show,
            fields: tables.iter().map(field).collect(),
            entries: 0,
            scene_frame: 0,
            player: any_player(reel),
            wire: Wire { glass, bus: *show.bus(), open_bytes: 0, traffic: Traffic::default() },
            seen: None,
            due: 0,
            period: u64::from(milliseconds) << 8 | u64::from(fraction),
        }
    }

    /// The glass as it is now.
    pub fn glass(&self) -> &Emulator {
        &self.wire.glass
    }

    /// Raises a trigger; it takes effect with the next frame.
    pub fn trigger(&mut self, trigger: TriggerId) {
        self.player.trigger(trigger.0 as u8);
        let scene = self.show.scenes().get(usize::from(self.player.scene()));
        let reaction = scene.and_then(|scene| scene.reactions.get(trigger.0));
        if reaction.is_some_and(|reaction| *reaction != Reaction::Ignore) {
            // A scene entered by a trigger starts its clock in whole milliseconds.
            self.due &= !0xFF;
        }
    }

    /// Plays the next frame; `Err` says in words why it could not.
    pub fn frame(&mut self) -> Result<Played, String> {
        self.wire.traffic = Traffic::default();
        let now = (self.due >> 8) as u16;
        let mut cues = Vec::new();
        for _ in 0..MOST_CALLS {
            match self.player.tick(&mut self.wire, now, ALLOWANCE) {
                Status::Busy => {}
                Status::Cue(cue) => cues.push(cue),
                Status::Fault => return Err("the player reports a fault".into()),
                Status::Idle => {
                    self.due += self.period;
                    self.fill_fields()?;
                    return Ok(self.played(cues));
                }
            }
        }
        Err(format!("a frame is not complete after {MOST_CALLS} calls of the player"))
    }

    /// Fills the fields of the scene with their samples for this frame, as firmware would with what it measured.
    fn fill_fields(&mut self) -> Result<(), String> {
        let Some(scene) = self.show.scenes().get(usize::from(self.player.scene())) else { return Ok(()) };
        self.scene_frame = match scene.then {
            _ if self.entries != self.player.entries => 0,
            Then::Repeat if self.scene_frame + 1 >= scene.frames.0 => 0,
            _ => (self.scene_frame + 1).min(scene.frames.0.saturating_sub(1)),
        };
        self.entries = self.player.entries;
        let seconds = self.show.frame_rate().seconds_at(self.scene_frame);
        for at in 0..self.fields.len() {
            let (before, rest) = self.fields.split_at_mut(at);
            let Some(((table, field), after)) = rest.split_first_mut() else { break };
            let others: Vec<&dyn Shows> =
                before.iter().chain(after.iter()).map(|(_, field)| field as &dyn Shows).collect();
            let sampled = scene.fields.get(table.number).filter(|_| table.scene == usize::from(self.player.scene()));
            let Some(sampled) = sampled else { continue };
            // A field's characters are of Latin-1, so each is one byte.
            let text: Vec<u8> = sampled.sample(seconds).chars().map(|letter| u32::from(letter) as u8).collect();
            field.set(&text);
            let mut calls = (0..MOST_CALLS).map(|_| field.tick_beside(&mut self.player, &mut self.wire, &others));
            match calls.find(|status| *status != Status::Busy) {
                Some(Status::Idle) => {}
                _ => return Err(format!("the field `{}` cannot be filled", table.name)),
            }
        }
        Ok(())
    }

    fn played(&mut self, cues: Vec<u8>) -> Played {
        let unchanged = self.seen.take().filter(|_| self.wire.traffic == Traffic::default());
        let picture = unchanged.unwrap_or_else(|| self.wire.glass.as_mounted(self.show.mounting()));
        self.seen = Some(picture.clone());
        let (glass, scene) = (&self.wire.glass, self.player.scene());
        let name = self.show.scenes().get(usize::from(scene)).map_or(String::new(), |scene| scene.name.clone());
        let shown = Shown { picture, frames: 1, contrast: glass.contrast(), on: glass.is_on(), scene: name };
        Played { shown, scene, cues, traffic: self.wire.traffic }
    }
}
