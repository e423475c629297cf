//! A reel played frame by frame by the shipped player on modelled time: when each frame is due, begins and is whole.

use super::clock::{Clocked, Traffic};
use crate::panel::{BusSettings, Microcontroller};
use crate::player::{AnyPlayer, Bus, SMALLEST_ALLOWANCE, Status, any_player};
use crate::units::Nanoseconds;

/// Calls that one frame may take, far beyond any whole picture; more mean that the reel never completes a frame.
const MOST_CALLS: u32 = 16_384;
/// The player counts time in 1/256 ms.
const TICKS_A_MILLISECOND_SHIFT: u32 = 8;
const NANOSECONDS_A_MILLISECOND: u64 = 1_000_000;
/// A player that is later than this takes the present for the time that its frame is due (`LATEST_MILLISECONDS` of the player).
const LATEST: Nanoseconds = Nanoseconds(256 * NANOSECONDS_A_MILLISECOND);

/// The time that one frame took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FrameTime {
    /// When it was due, since power-up.
    pub due: Nanoseconds,
    /// When the player began to send it: when it was due, or when the frame before was whole.
    pub begun: Nanoseconds,
    /// When it was whole on the display.
    pub done: Nanoseconds,
    /// Calls of the player that sent something or drew.
    pub calls: u32,
    /// The longest time in one call, bus and CPU together.
    pub longest_call: Nanoseconds,
}

impl FrameTime {
    /// How late it was: when it was whole against when the next one was due.
    pub fn late(&self, period: Nanoseconds) -> Nanoseconds {
        Nanoseconds(self.done.0.saturating_sub(self.due.0 + period.0))
    }

    /// When it counts as shown: when it was due, or later by as much as it was late.
    pub fn shown(&self, period: Nanoseconds) -> Nanoseconds {
        self.due + self.late(period)
    }

    /// How long it was made and sent, bus and CPU together.
    pub fn taken(&self) -> Nanoseconds {
        Nanoseconds(self.done.0.saturating_sub(self.begun.0))
    }
}

/// A frame that was played.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlayedFrame {
    pub time: FrameTime,
    pub traffic: Traffic,
    /// The cues handed over, in order.
    pub cues: Vec<u8>,
}

/// A player at its reel on a bus with a clock. The firmware is taken to call it again at once while it is busy.
pub struct Playback<'r, G> {
    player: AnyPlayer<'r>,
    bus: Clocked<G>,
    byte_budget: u8,
    /// The time of a frame, and when the next one is due by the player's clock, in 1/256 ms.
    period: u64,
    due: u64,
    /// How far the player's clock is behind the time since power-up, as it took the present for the time due.
    behind: Nanoseconds,
}

impl<'r, G: Bus> Playback<'r, G> {
    /// A player at the start of a reel whose frames last `period` (in 1/256 ms), with `far_end` at the other end of the wire.
    pub fn new(reel: &'r [u8], far_end: G, period: u64, wire: &BusSettings, part: &Microcontroller) -> Self {
        Self {
            player: any_player(reel),
            bus: Clocked::new(far_end, wire, part),
            byte_budget: u8::try_from(wire.per_call).unwrap_or(u8::MAX).max(SMALLEST_ALLOWANCE),
            period,
            due: 0,
            behind: Nanoseconds(0),
        }
    }

    /// The player.
    pub fn player(&mut self) -> &mut AnyPlayer<'r> {
        &mut self.player
    }

    /// The player and its bus.
    pub fn parts(&mut self) -> (&mut AnyPlayer<'r>, &mut Clocked<G>) {
        (&mut self.player, &mut self.bus)
    }

    /// The far end of the bus.
    pub fn far_end(&self) -> &G {
        &self.bus.far_end
    }

    /// The bus.
    pub fn bus(&self) -> &Clocked<G> {
        &self.bus
    }

    /// When the next frame will begin: when it is due, or now.
    pub fn next_begins(&self) -> Nanoseconds {
        self.next_due().max(self.bus.now())
    }

    fn next_due(&self) -> Nanoseconds {
        Nanoseconds((self.due >> TICKS_A_MILLISECOND_SHIFT) * NANOSECONDS_A_MILLISECOND) + self.behind
    }

    /// Sets the live values, by their numbers.
    pub fn set_live(&mut self, values: &[i16]) {
        let kept = self.player.keeps();
        values.iter().enumerate().for_each(|(number, value)| kept.set(number, *value));
    }

    /// Raises a trigger, which takes effect with the next frame; `counts` says whether the scene reacts to it, as a scene entered
    /// by a trigger starts its clock in whole milliseconds.
    pub fn trigger(&mut self, trigger: u8, counts: bool) {
        self.player.trigger(trigger);
        if counts {
            self.due &= !((1 << TICKS_A_MILLISECOND_SHIFT) - 1);
        }
    }

    /// Plays the next frame, or says in words why it could not be played.
    pub fn frame(&mut self) -> Result<PlayedFrame, String> {
        let [low, high, ..] = (self.due >> TICKS_A_MILLISECOND_SHIFT).to_le_bytes();
        // The clock of the firmware wraps after 16 bits.
        let (milliseconds, due) = (u16::from_le_bytes([low, high]), self.next_due());
        self.bus.wait_until(due);
        let begun = self.bus.now();
        if begun > due + LATEST {
            self.behind += begun - due;
        }
        let mut time = FrameTime { due, begun, ..FrameTime::default() };
        let mut cues = Vec::new();
        for _ in 0..MOST_CALLS {
            let before = self.bus.now();
            let status = self.player.tick(&mut self.bus, milliseconds, self.byte_budget);
            time.calls += 1;
            time.done = self.bus.now();
            time.longest_call = time.longest_call.max(time.done - before);
            match status {
                Status::Busy => {}
                Status::Cue(cue) => cues.push(cue),
                Status::Fault => return Err("the player reports a fault".into()),
                Status::Idle => {
                    self.due += self.period;
                    return Ok(PlayedFrame { time, traffic: self.bus.take_traffic(), cues });
                }
            }
        }
        Err(format!("a frame is not complete after {MOST_CALLS} calls of the player"))
    }
}
