//! Plays every scene with the shipped player on modelled time, call by call, as the firmware's main loop would.

use crate::emulator::{Clocked, FrameTime, Playback, Traffic};
use crate::panel::{BusSettings, set_up_commands};
use crate::player::{Bus, SilentBus, Work};
use crate::reel::{joined, period, starting_with};
use crate::show::{SceneId, Show, Then};
use crate::units::{BusBytes, Nanoseconds};
use serde::Serialize;

/// What one frame takes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct FrameLoad {
    /// On the bus, address and control bytes counted.
    pub bytes: BusBytes,
    pub transactions: u32,
    /// How long the bus is held.
    pub time: Nanoseconds,
    /// How long the frame is made and sent, bus and CPU together.
    pub taken: Nanoseconds,
    /// Calls of the player.
    pub calls: u32,
    /// The longest time in one call, bus and CPU together.
    pub longest_call: Nanoseconds,
}

/// What a scene takes, frame by frame; a scene that repeats has one frame more, the way back to its first.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct SceneLoad {
    pub frames: Vec<FrameLoad>,
}

/// Measures the load of every scene, played from its key frame on such a bus. The set-up is part of the first frame of the start
/// scene.
pub fn measure(show: &Show, reel: &[u8], wire: &BusSettings) -> Vec<SceneLoad> {
    (0..show.scenes().len()).map(|scene| measure_scene(show, reel, wire, SceneId(scene))).collect()
}

fn measure_scene(show: &Show, reel: &[u8], wire: &BusSettings, scene: SceneId) -> SceneLoad {
    let reel = starting_with(reel, scene);
    let (milliseconds, fraction) = period(show.frame_rate());
    let period = u64::from(milliseconds) << 8 | u64::from(fraction);
    let mut playback = Playback::new(&reel, SilentBus, period, wire, show.microcontroller());
    let played = &show.scenes()[scene.0];
    let frames = u64::from(played.frames.0) + u64::from(played.then == Then::Repeat);
    // A reel that the player refuses is found where it is compared with what was drawn.
    let mut frame = |frame: u64| {
        let frame = u32::try_from(frame % u64::from(played.frames.0)).unwrap_or(0);
        playback.set_live(&show.live_samples(show.frame_rate().seconds_at(frame)));
        playback.frame().ok()
    };
    let mut loads: Vec<FrameLoad> =
        (0..frames).map_while(&mut frame).map(|frame| load(frame.time, frame.traffic)).collect();
    if scene != show.start()
        && let Some(first) = loads.first_mut()
    {
        *first = without(*first, set_up(show, wire));
    }
    SceneLoad { frames: loads }
}

fn load(time: FrameTime, traffic: Traffic) -> FrameLoad {
    FrameLoad {
        bytes: traffic.bytes,
        transactions: traffic.transactions,
        time: traffic.time,
        taken: time.taken(),
        calls: time.calls,
        longest_call: time.longest_call,
    }
}

/// What the set-up alone takes.
fn set_up(show: &Show, wire: &BusSettings) -> FrameLoad {
    let groups = set_up_commands(show.panel(), show.mounting(), 0);
    let limit = usize::from(wire.write_limit) - 1;
    let mut bus = Clocked::new(SilentBus, wire, show.microcontroller());
    for group in joined(&groups, limit) {
        bus.work(Work::Instruction, 1);
        bus.work(Work::Group, 1);
        let sent = bus.start(wire.address()).and_then(|()| bus.write(0));
        let sent = group.iter().fold(sent, |sent, byte| sent.and_then(|()| bus.write(*byte)));
        let Ok(()) = sent.and_then(|()| bus.stop());
    }
    let traffic = bus.take_traffic();
    load(FrameTime { done: bus.now(), ..FrameTime::default() }, traffic)
}

fn without(load: FrameLoad, part: FrameLoad) -> FrameLoad {
    let less = |time: Nanoseconds, part: Nanoseconds| Nanoseconds(time.0.saturating_sub(part.0));
    FrameLoad {
        bytes: BusBytes(load.bytes.0.saturating_sub(part.bytes.0)),
        transactions: load.transactions.saturating_sub(part.transactions),
        time: less(load.time, part.time),
        taken: less(load.taken, part.taken),
        ..load
    }
}
