//! Plays every scene with the shipped player on a bus that only counts, call by call, as the firmware's main loop would.

use crate::panel::Bus as Wire;
use crate::player::{AnyPlayer, Bus, Status, any_player};
use crate::reel::period;
use crate::show::{Show, Then};
use crate::units::{BusBytes, Nanoseconds};
use serde::Serialize;

/// Place of the start scene in a reel's header.
const START: usize = 8;
/// Calls that one frame may take, far beyond any whole picture.
const MOST_CALLS: u32 = 16_384;

/// What one frame puts on the bus.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct FrameLoad {
    /// Address and control bytes counted.
    pub bytes: BusBytes,
    pub transactions: u32,
    /// Bus time; the firmware's own work is not counted.
    pub time: Nanoseconds,
    /// Calls of the player that sent something.
    pub calls: u32,
    /// The longest time that one call held the bus.
    pub longest_call: Nanoseconds,
}

/// What a scene puts on the bus, frame by frame; a scene that repeats has one frame more, the way back to its first.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct SceneLoad {
    pub frames: Vec<FrameLoad>,
}

/// A bus on which every byte is acknowledged and counted.
struct Counter<'a> {
    wire: &'a Wire,
    open_bytes: u32,
    load: FrameLoad,
    call: Nanoseconds,
}

impl Bus for Counter<'_> {
    type Error = std::convert::Infallible;
    fn start(&mut self, _address: u8) -> Result<(), Self::Error> {
        self.open_bytes = 0;
        Ok(())
    }
    fn write(&mut self, _byte: u8) -> Result<(), Self::Error> {
        self.open_bytes += 1;
        Ok(())
    }
    fn stop(&mut self) -> Result<(), Self::Error> {
        let time = self.wire.transaction_time(self.open_bytes);
        self.call += time;
        self.load.time += time;
        self.load.transactions += 1;
        self.load.bytes += BusBytes(self.open_bytes + 1);
        Ok(())
    }
}

/// The bus load of every scene, played from its key frame, at the show's allowance of bytes a call; set-up aside.
pub fn measure(show: &Show, reel: &[u8]) -> Vec<SceneLoad> {
    (0..show.scenes().len()).map(|scene| measure_scene(show, reel, scene)).collect()
}

fn measure_scene(show: &Show, reel: &[u8], scene: usize) -> SceneLoad {
    let mut reel = reel.to_vec();
    if let Some(start) = reel.get_mut(START) {
        *start = scene as u8;
    }
    let (milliseconds, fraction) = period(show.frame_rate());
    let period = u64::from(milliseconds) << 8 | u64::from(fraction);
    let set_up = set_up_load(show);
    let mut player = any_player(&reel);
    let mut bus = Counter { wire: show.bus(), open_bytes: 0, load: FrameLoad::default(), call: Nanoseconds(0) };
    let played = &show.scenes()[scene];
    let extra = u64::from(played.then == Then::Repeat);
    let frames = (0..u64::from(played.frames.0) + extra).map(|frame| {
        bus.load = FrameLoad::default();
        play_frame(show, &mut player, &mut bus, ((frame * period) >> 8) as u16);
        let load = bus.load;
        if frame == 0 { without(load, set_up) } else { load }
    });
    SceneLoad { frames: frames.collect() }
}

fn play_frame(show: &Show, player: &mut AnyPlayer<'_>, bus: &mut Counter<'_>, now: u16) {
    let allowance = show.bus().per_call.min(u16::from(u8::MAX)) as u8;
    for _ in 0..MOST_CALLS {
        bus.call = Nanoseconds(0);
        let status = player.tick(bus, now, allowance);
        bus.load.calls += u32::from(bus.call.0 > 0);
        bus.load.longest_call = bus.load.longest_call.max(bus.call);
        if matches!(status, Status::Idle | Status::Fault) {
            return;
        }
    }
}

/// What the set-up alone puts on the bus.
fn set_up_load(show: &Show) -> FrameLoad {
    let groups = crate::panel::set_up_commands(show.panel(), show.mounting(), 0);
    let limit = usize::from(show.bus().write_limit) - 1;
    crate::reel::joined(&groups, limit).iter().fold(FrameLoad::default(), |load, group| {
        let bytes = group.len() as u32 + 1;
        FrameLoad {
            bytes: load.bytes + BusBytes(bytes + 1),
            transactions: load.transactions + 1,
            time: load.time + show.bus().transaction_time(bytes),
            ..load
        }
    })
}

fn without(load: FrameLoad, part: FrameLoad) -> FrameLoad {
    FrameLoad {
        bytes: BusBytes(load.bytes.0.saturating_sub(part.bytes.0)),
        transactions: load.transactions.saturating_sub(part.transactions),
        time: Nanoseconds(load.time.0.saturating_sub(part.time.0)),
        ..load
    }
}
