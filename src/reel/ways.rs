//! The ways in which a lean show can be planned, by what its player is built for, and what each costs.

use super::compile::Reel;
use super::cost::Cost;
use super::scene::{Footage, Planned, PlannedFrame, plan_scene};
use super::step::Planner;
use crate::panel::{CYCLES_A_CELL_OF_GRAINS, CYCLES_A_RECKONED_CELL};
use crate::show::Show;

/// What a player may do beside the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// It reckons a beam that turns.
    pub beam: bool,
    /// It makes noise; not beside a beam.
    pub grains: bool,
    /// It sends of what passes by only what changes.
    pub changes: bool,
}

/// All ways, the ones that need less of a player first, those alike but for the changes side by side.
pub const WAYS: [Way; 6] = [
    Way { beam: false, grains: false, changes: false },
    Way { beam: false, grains: false, changes: true },
    Way { beam: false, grains: true, changes: false },
    Way { beam: false, grains: true, changes: true },
    Way { beam: true, grains: false, changes: false },
    Way { beam: true, grains: false, changes: true },
];

impl Way {
    /// Whether scenes planned in all ways make use of all of this one, which is at `at` in [`WAYS`].
    pub fn is_used(self, scenes: &[[Planned; WAYS.len()]], at: usize) -> bool {
        let used = |needed: bool, uses: fn(&Planned) -> bool| !needed || scenes.iter().any(|ways| uses(&ways[at]));
        used(self.beam, Planned::turns)
            && used(self.grains, Planned::flickers)
            && used(self.changes, Planned::sends_changes)
    }
}

/// A scene planned in all ways.
pub fn plan_in_all_ways(footage: &Footage, planner: &Planner) -> [Planned; WAYS.len()] {
    let both = |footage: &Footage| {
        let changes = plan_scene(footage, &Planner { changes: true, ..planner.clone() });
        if changes.sends_changes() { [plan_scene(footage, planner), changes] } else { [changes.clone(), changes] }
    };
    let (told, (noise, beam)) = rayon::join(
        || both(&Footage { sweep: None, noise: None, ..footage.clone() }),
        || {
            let noise = footage.noise.is_some().then(|| both(&Footage { sweep: None, ..footage.clone() }));
            (noise, footage.sweep.is_some().then(|| both(&Footage { noise: None, ..footage.clone() })))
        },
    );
    let [[noise, noise_changes], [beam, beam_changes]] = [noise, beam].map(|way| way.unwrap_or_else(|| told.clone()));
    let [whole, changes] = told;
    [whole, changes, noise, noise_changes, beam, beam_changes]
}

/// Of the time between frames, how many hundredths drawing and sending a frame may take.
const MOST_OF_A_FRAME: u64 = 90;

/// Whether every frame behind its scene's opening is sent before the next one is due, what the player makes by itself counted.
pub fn keeps_up(show: &Show, reel: &Reel) -> bool {
    let period = show.frame_rate().period().0 * MOST_OF_A_FRAME / 100;
    let cycles_a_second = u64::from(show.microcontroller().clock.0.max(1));
    let making = |frame: &PlannedFrame| {
        let cycles = u64::from(frame.reckoned) * u64::from(CYCLES_A_RECKONED_CELL)
            + u64::from(frame.grains) * u64::from(CYCLES_A_CELL_OF_GRAINS);
        cycles * 1_000_000_000 / cycles_a_second
    };
    let late = |frame: &PlannedFrame| making(frame) > 0 && frame.bus_nanoseconds + making(frame) > period;
    !reel.scenes.iter().any(|scene| scene.frames.iter().skip(1).any(late))
}

/// What a reel is taken to cost: its bus time, and flash, the player's counted, as bus time.
pub fn price(show: &Show, reel: &Reel, cost: &Cost) -> u64 {
    let time = reel.scenes.iter().map(Planned::bus_nanoseconds).sum::<u64>();
    let player = show.microcontroller().player_cost().0.flash_with(reel.parts()).0;
    time + cost.flash(reel.bytes.len() as u64 + u64::from(player))
}
