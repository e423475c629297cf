//! The table of the display for the supervisor: how it is switched on and off, and the set-up that is repeated.

use super::compile::Reel;
use super::encode::joined;
use super::instruction::Instruction;
use crate::panel::{MovedByShow, PowerStep, power_down_steps, power_up_steps, refresh_commands};
use crate::show::Show;
use crate::whole::limited;

/// The first bytes of the table: the wait after power-up, the offset of the groups, and the offset of the steps that switch off.
const OFFSETS: usize = 3;

/// The groups of commands that can be repeated while the reel plays. Each fits in one transaction.
pub fn refresh_groups(show: &Show, reel: &Reel) -> Vec<Vec<u8>> {
    let usual = usual_contrast(show);
    let groups = refresh_commands(show.panel(), show.mounting(), usual, moved(show, reel));
    joined(&groups, usize::from(show.bus().write_limit) - 1)
}

fn usual_contrast(show: &Show) -> u8 {
    show.scenes().get(show.start().0).map_or(0, |scene| scene.contrast_at(0.0))
}

/// The settings that the reel itself changes. A dense reel is assumed to invert the display.
fn moved(show: &Show, reel: &Reel) -> MovedByShow {
    let usual = usual_contrast(show);
    let any = |moves: fn(&Instruction) -> bool| reel.scenes.iter().flat_map(|scene| &scene.instructions).any(moves);
    let inverts = |commands: &Vec<u8>| show.panel().controller.may_invert(commands);
    let mut commands =
        reel.scenes.iter().flat_map(|scene| &scene.instructions).filter_map(|instruction| match instruction {
            Instruction::Commands(commands) => Some(commands),
            _ => None,
        });
    MovedByShow {
        power: show.scenes().iter().any(|scene| !scene.off.is_empty()),
        contrast: show.scenes().iter().any(|scene| {
            scene.contrast.all(scene.frames.0, show.frame_rate()).into_iter().any(|contrast| contrast != usual)
        }),
        start_line: any(|instruction| matches!(instruction, Instruction::Line(_) | Instruction::Scroll(_))),
        inversion: reel.parts.dense && !reel.parts.film || commands.any(inverts),
    }
}

/// The table.
///
/// ```text
/// milliseconds after power-up │ offset of the groups │ offset of the last steps │ steps after the reset │ groups │ steps of switching off
/// step:  milliseconds before it │ count │ commands     the last one has the count 0
/// group: count │ commands                              behind the last one stands a count of 0
/// ```
pub fn display_table(show: &Show, reel: &Reel) -> Vec<u8> {
    let panel = show.panel();
    let (up, down) = (steps(&power_up_steps(panel)), steps(&power_down_steps(panel)));
    let mut groups: Vec<u8> = Vec::new();
    for group in refresh_groups(show, reel) {
        groups.push(limited(group.len()));
        groups.extend(group);
    }
    groups.push(0);
    let groups_at = OFFSETS + up.len();
    let mut table = vec![panel.controller.power_up_milliseconds, limited(groups_at), limited(groups_at + groups.len())];
    table.extend([up, groups, down].concat());
    table
}

fn steps(steps: &[PowerStep]) -> Vec<u8> {
    let bytes = |step: &PowerStep| {
        let commands = step.commands.iter().copied();
        [step.wait_milliseconds, limited(step.commands.len())].into_iter().chain(commands).collect::<Vec<u8>>()
    };
    steps.iter().flat_map(bytes).collect()
}
