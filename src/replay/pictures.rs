//! Gives what was sent to the controller's model, and keeps each picture that the display showed for a while.

use super::decoded::{Decoded, DisplayByte, Event};
use super::trace::PICOSECONDS_A_NANOSECOND;
use crate::emulator::{Emulator, Fault};
use crate::panel::{Mounting, Panel, PanelState, set_up_commands};
use crate::preview::Shown;
use crate::render::Bitmap;
use crate::units::Nanoseconds;

/// A picture counts when nothing was sent for so long: the pause of a main loop between two calls is shorter.
const QUIET: u64 = 1_500_000 * PICOSECONDS_A_NANOSECOND;

/// What the display showed.
#[derive(Clone, Debug)]
pub struct ReplayedPictures {
    /// Each picture, for as long as it stood.
    pub shown: Vec<Shown>,
    /// The picture when the items up to the ones asked for were through, in the order asked.
    pub at: Vec<(usize, Bitmap)>,
    /// What the controller would refuse.
    pub faults: Vec<Fault>,
    /// The model at the end.
    pub display: Emulator,
}

/// The commands that switch a display on.
pub fn shown(panel: &Panel, contrast: u8) -> Vec<u8> {
    panel.controller.state_commands(None, PanelState { on: true, inverted: false, contrast: Some(contrast) })
}

/// A display that was set up before the capture began, with nothing in its memory.
pub fn set_up(panel: &Panel, mounting: &Mounting) -> Emulator {
    let mut display = Emulator::new(panel).blank();
    let groups = set_up_commands(panel, mounting, panel.drive.contrast).concat();
    groups.into_iter().chain(shown(panel, panel.drive.contrast)).for_each(|byte| display.byte_on_spi(byte, false));
    display
}

/// Plays the events of the display at an address into a model; pictures are kept after pauses, and when as many items as any of
/// `wanted` (ascending) are through.
pub fn draw(
    decoded: &Decoded,
    items: &[DisplayByte],
    mut display: Emulator,
    mounting: &Mounting,
    wanted: &[usize],
) -> ReplayedPictures {
    let (mut shown, mut at): (Vec<Shown>, Vec<(usize, Bitmap)>) = (Vec::new(), Vec::new());
    let mut wanted = wanted.iter().copied().peekable();
    let mut times: Vec<u64> = Vec::new();
    // A byte that was refused did not get there, unless the module never acknowledges.
    let never = items.iter().all(|item| !item.acknowledged);
    for (number, item) in items.iter().enumerate() {
        if item.acknowledged || never {
            display.byte_on_spi(item.byte, item.data);
        }
        let through = number + 1;
        let asked = wanted.next_if_eq(&through).is_some();
        let quiet = items.get(through).is_none_or(|next| next.begun.saturating_sub(item.time) > QUIET);
        if asked || quiet {
            let picture = display.as_mounted(mounting);
            if asked {
                at.push((through, picture.clone()));
            }
            times.push(item.time);
            shown.push(Shown {
                picture,
                changing: None,
                frames: 1,
                stays: Nanoseconds(0),
                contrast: display.contrast(),
                on: display.is_on(),
                scene: String::new(),
            });
        }
    }
    let end = decoded.events.last().map_or(0, Event::time);
    let next = times.iter().skip(1).copied().chain([end]);
    for ((shown, time), next) in shown.iter_mut().zip(&times).zip(next) {
        shown.stays = Nanoseconds(next.saturating_sub(*time) / PICOSECONDS_A_NANOSECOND);
    }
    ReplayedPictures { shown, at, faults: display.faults().to_vec(), display }
}
