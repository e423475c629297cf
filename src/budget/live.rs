//! Live values: what each takes of flash and RAM, and how long a frame takes in which it moves by a step, or as far as it can.

use super::{Budget, Figure};
use crate::emulator::Playback;
use crate::player::Bus;
use crate::reel::{Planned, Reel, period, starting_with};
use crate::show::{LiveId, LiveValue, SceneId, Show};
use crate::units::Nanoseconds;

/// State of the player for each value: two bytes of it, its step, and the step that is drawn.
const VALUE_BYTES: f64 = 4.0;
const SOURCE: &str = "played by the player on modelled time";

/// The title of this budget.
pub const LIVE_VALUES: &str = "live values";

/// A bus that nothing listens to.
struct NoLiveValues;

impl Bus for NoLiveValues {
    type Error = std::convert::Infallible;
    fn start(&mut self, _: u8) -> Result<(), Self::Error> {
        Ok(())
    }
    fn write(&mut self, _: u8) -> Result<(), Self::Error> {
        Ok(())
    }
    fn stop(&mut self) -> Result<(), Self::Error> {
        Ok(())
    }
}

/// The figures of the live values; none without any.
pub fn live(show: &Show, reel: &Reel) -> Budget {
    let of = |(number, live): (usize, &LiveValue)| {
        let name = &live.name;
        let layers = reel.scenes.iter().flat_map(|scene: &Planned| &scene.live_layers);
        let flash: usize = layers.filter(|(values, _)| values.contains(&number)).map(|(_, bytes)| bytes).sum();
        let (step, jump) = times(show, reel, number);
        let limit = show.frame_rate().period().milliseconds();
        [
            Figure::new(format!("flash of {name}"), flash as f64, "B")
                .from("areas of the layers that follow it, each as if it stood alone", "the planner"),
            Figure::new(format!("RAM of {name}"), VALUE_BYTES, "B")
                .from("the value, its step, and the step that is drawn", "player.h"),
            Figure::new(format!("a step of {name}"), step.milliseconds(), "ms")
                .limit(limit)
                .from("the longest frame in which it moves by a step, with what else moves", SOURCE),
            Figure::new(format!("farthest jump of {name}"), jump.milliseconds(), "ms")
                .limit(limit)
                .from("the longer frame from its lowest to its highest value or back", SOURCE),
        ]
    };
    Budget { title: LIVE_VALUES, figures: show.live().iter().enumerate().flat_map(of).collect() }
}

/// The longest frame in which a value moves by a step, and from end to end, in any scene whose layers follow it.
fn times(show: &Show, reel: &Reel, number: usize) -> (Nanoseconds, Nanoseconds) {
    let follows =
        |scene: &usize| show.scenes()[*scene].layers.iter().any(|layer| layer.follows.contains(&LiveId(number)));
    let scenes = (0..show.scenes().len()).filter(follows);
    let times = scenes.map(|scene| times_in(show, reel, (scene, number)));
    times.fold(Default::default(), |(step, jump), one| (step.max(one.0), jump.max(one.1)))
}

fn times_in(show: &Show, reel: &Reel, (scene, number): (usize, usize)) -> (Nanoseconds, Nanoseconds) {
    let bytes = starting_with(&reel.bytes, SceneId(scene));
    let (milliseconds, fraction) = period(show.frame_rate());
    let period = u64::from(milliseconds) << 8 | u64::from(fraction);
    let begin = || Playback::new(&bytes, NoLiveValues, period, show.bus(), show.microcontroller());
    let mut playback = begin();
    let live = &show.live()[number];
    let mut values: Vec<i16> = show.live().iter().map(|live| live.start).collect();
    let mut play = |playback: &mut Playback<'_, NoLiveValues>, value: i16| {
        values[number] = value;
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
