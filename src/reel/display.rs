//! What firmware's supervisor knows of the display: how long it needs after power-up, and the set-up that can be sent again.

use super::encode::joined;
use crate::panel::{MovedByShow, refresh_commands};
use crate::show::Show;

/// The table: milliseconds after power-up, then groups of commands (count, bytes), and a count of 0. Each group fits a transaction.
pub fn display_table(show: &Show) -> Vec<u8> {
    let usual = show.scenes().get(show.start().0).map_or(0, |scene| scene.contrast_at(0.0));
    let moved = MovedByShow {
        power: show.scenes().iter().any(|scene| !scene.off.is_empty()),
        contrast: show.scenes().iter().any(|scene| {
            let seconds = (0..scene.frames.0).map(|frame| show.frame_rate().seconds_at(frame));
            seconds.map(|seconds| scene.contrast_at(seconds)).any(|contrast| contrast != usual)
        }),
    };
    let groups = refresh_commands(show.panel(), show.mounting(), usual, moved);
    let mut table = vec![show.panel().controller.power_up_milliseconds];
    for group in joined(&groups, usize::from(show.bus().write_limit) - 1) {
        table.push(group.len() as u8);
        table.extend(group);
    }
    table.push(0);
    table
}
