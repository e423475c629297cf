//! The ways in which a lean show can be planned, by what its player is built for, and what each costs.

use super::compile::Reel;
use super::cost::Cost;
use super::scene::{Footage, Planned, PlannedFrame, plan_scene};
use super::step::Planner;
use crate::panel::CYCLES_A_RECKONED_CELL;
use crate::show::Show;

/// What a player may do beside the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// It reckons a beam that turns.
    pub beam: bool,
    /// It sends of what passes by only what changes.
    pub changes: bool,
}

/// All ways, the ones that need less of a player first.
pub const WAYS: [Way; 4] = [
    Way { beam: false, changes: false },
    Way { beam: false, changes: true },
    Way { beam: true, changes: false },
    Way { beam: true, changes: true },
];

impl Way {
    /// Whether scenes planned in this way make use of all of it.
    pub fn is_used(self, scenes: &[Planned]) -> bool {
        (!self.beam || scenes.iter().any(Planned::turns))
            && (!self.changes || scenes.iter().any(Planned::sends_changes))
    }
}

/// A scene planned in all ways.
pub fn plan_in_all_ways(footage: &Footage, planner: &Planner) -> [Planned; WAYS.len()] {
    let both = |footage: &Footage| {
        let changes = plan_scene(footage, &Planner { changes: true, ..planner.clone() });
        if changes.sends_changes() { [plan_scene(footage, planner), changes] } else { [changes.clone(), changes] }
    };
    let [whole, changes] = both(&Footage { sweep: None, ..footage.clone() });
    let [turning, turning_changes] =
        if footage.sweep.is_some() { both(footage) } else { [whole.clone(), changes.clone()] };
    [whole, changes, turning, turning_changes]
}

/// Of the time between frames, how many hundredths drawing and sending a frame may take.
const MOST_OF_A_FRAME: u64 = 90;

/// Whether every frame behind its scene's opening is sent before the next one is due, the reckoning of a beam counted.
pub fn keeps_up(show: &Show, reel: &Reel) -> bool {
    let period = show.frame_rate().period().0 * MOST_OF_A_FRAME / 100;
    let cycles_a_second = u64::from(show.microcontroller().clock.0.max(1));
    let reckoning = |frame: &PlannedFrame| {
        u64::from(frame.reckoned) * u64::from(CYCLES_A_RECKONED_CELL) * 1_000_000_000 / cycles_a_second
    };
    let late = |frame: &PlannedFrame| frame.reckoned > 0 && frame.bus_nanoseconds + reckoning(frame) > period;
    !reel.scenes.iter().any(|scene| scene.frames.iter().skip(1).any(late))
}

/// What a reel is taken to cost: its bus time, and flash, the player's counted, as bus time.
pub fn price(show: &Show, reel: &Reel, cost: &Cost) -> u64 {
    let time = reel.scenes.iter().map(Planned::bus_nanoseconds).sum::<u64>();
    let player = show.microcontroller().player_cost().0.flash_with(reel.parts()).0;
    time + cost.flash(reel.bytes.len() as u64 + u64::from(player))
}
