//! Live values: what each takes of flash and RAM, and how long a frame takes in which it moves by a step, or as far as it can.

use super::{Budget, Figure};
use crate::emulator::Playback;
use crate::player::SilentBus;
use crate::reel::{Planned, Reel, period, starting_with};
use crate::show::{LiveId, Scene, SceneId, Show};
use crate::units::Nanoseconds;
use std::ops::Range;

/// State of the player for each value: two bytes of it, its step, and the step at which areas are drawn.
const VALUE_BYTES: f64 = 3.0;
const DRAWN_BYTES: f64 = 1.0;
const SOURCE: &str = "played by the player on modelled time";

/// The title of this budget.
pub const LIVE_VALUES: &str = "live values";

/// The figures of the live values; none without any.
pub fn live(show: &Show, reel: &Reel) -> Budget {
    let ram = VALUE_BYTES + if reel.parts.areas > 0 { DRAWN_BYTES } else { 0.0 };
    let of = |(name, numbers): (&String, Range<usize>)| {
        let layers = reel.scenes.iter().flat_map(|scene: &Planned| &scene.live_layers);
        let own = layers.filter(|(values, _)| values.iter().any(|value| numbers.contains(value)));
        let flash: usize = own.map(|(_, bytes)| bytes).sum();
        let flash = flash + numbers.clone().map(|number| contrast_bytes(show, number)).sum::<usize>();
        let ram = ram * numbers.len() as f64;
        let (step, jump) = times(show, reel, &numbers);
        let limit = show.frame_rate().period().milliseconds();
        [
            Figure::new(format!("flash of {name}"), flash as f64, "B")
                .from("areas of the layers that follow it, each as if it stood alone, and contrasts", "the planner"),
            Figure::new(format!("RAM of {name}"), ram, "B")
                .from("the value, its step, and the step at which areas are drawn", "player.h"),
            Figure::new(format!("a step of {name}"), step.milliseconds(), "ms")
                .limit(limit)
                .from("the longest frame in which it moves by a step, with what else moves", SOURCE),
            Figure::new(format!("farthest jump of {name}"), jump.milliseconds(), "ms")
                .limit(limit)
                .from("the longer frame from its lowest to its highest value or back", SOURCE),
        ]
    };
    Budget { title: LIVE_VALUES, figures: named(show).into_iter().flat_map(of).collect() }
}

/// Each live value, and each live text with the values of its characters, by name.
fn named(show: &Show) -> Vec<(&String, Range<usize>)> {
    let in_text = |number: usize| show.live_texts().iter().any(|own| own.values().contains(&number));
    let values = show.live().iter().enumerate().filter(|(number, _)| !in_text(*number));
    let values = values.map(|(number, live)| (&live.name, number..number + 1));
    values.chain(show.live_texts().iter().map(|own| (&own.field.name, own.values()))).collect()
}

/// Bytes of the contrasts that follow a value: an instruction in each scene, and each table once.
fn contrast_bytes(show: &Show, number: usize) -> usize {
    const INSTRUCTION_BYTES: usize = 4;
    let own = |scene: &Scene| scene.contrast.at_steps().filter(|(value, _)| value.0 == number).map(|(_, all)| all);
    let mut tables: Vec<Vec<u8>> = show.scenes().iter().filter_map(own).collect();
    let scenes = tables.len();
    tables.sort();
    tables.dedup();
    scenes * INSTRUCTION_BYTES + tables.iter().map(Vec::len).sum::<usize>()
}

/// The longest frame in which one of the values moves by a step, and in which all of them go from end to end, in any scene whose layers
/// follow them.
fn times(show: &Show, reel: &Reel, numbers: &Range<usize>) -> (Nanoseconds, Nanoseconds) {
    let follows = |scene: &usize| numbers.clone().any(|number| show.scenes()[*scene].follows(LiveId(number)));
    let one_by_one =
        numbers.clone().map(|number| number..number + 1).chain((numbers.len() > 1).then(|| numbers.clone()));
    let of = |numbers: Range<usize>| {
        let scenes = (0..show.scenes().len()).filter(follows);
        let times = scenes.map(|scene| times_in(show, reel, scene, &numbers));
        times.fold(Default::default(), |(step, jump): (Nanoseconds, Nanoseconds), one| {
            (step.max(one.0), jump.max(one.1))
        })
    };
    let times: Vec<(Nanoseconds, Nanoseconds)> = one_by_one.map(of).collect();
    let step = times.iter().take(numbers.len()).map(|times| times.0).max().unwrap_or_default();
    (step, times.last().copied().unwrap_or_default().1)
}

fn times_in(show: &Show, reel: &Reel, scene: usize, numbers: &Range<usize>) -> (Nanoseconds, Nanoseconds) {
    let bytes = starting_with(&reel.bytes, SceneId(scene));
    let (milliseconds, fraction) = period(show.frame_rate());
    let period = u64::from(milliseconds) << 8 | u64::from(fraction);
    let begin = || Playback::new(&bytes, SilentBus, period, show.bus(), show.microcontroller());
    let mut playback = begin();
    let live = &show.live()[numbers.start];
    let mut values: Vec<i16> = show.live().iter().map(|live| live.start).collect();
    let mut play = |playback: &mut Playback<'_, SilentBus>, value: i16| {
        values[numbers.clone()].fill(value);
        playback.set_live(&values);
        // A reel that the player refuses is found where it is compared with what was drawn.
        let taken = playback.frame().map_or(Nanoseconds(0), |frame| frame.time.taken());
        (usize::from(playback.player().scene()) == scene).then_some(taken)
    };
    let mut before = live.from;
    play(&mut playback, before);
    // Where another scene follows, this one begins again with the value before.
    let mut frame_at = |value: i16| {
        let taken = play(&mut playback, value).or_else(|| {
            playback = begin();
            play(&mut playback, before);
            play(&mut playback, value)
        });
        before = value;
        taken.unwrap_or_default()
    };
    let steps = (1..=live.steps).chain((0..live.steps).rev());
    let step = steps.map(|step| frame_at(live.value_at(step))).max().unwrap_or_default();
    let jump = frame_at(live.to).max(frame_at(live.from));
    (step, jump)
}
