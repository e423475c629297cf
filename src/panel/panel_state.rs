//! The commands that show, hide and invert the picture and set its contrast, as each command set has them.

use super::{BusSettings, CommandSet, Controller, Panel};

/// What replaces the I²C address in the reel of a display whose pointer is set by bank and column (40, 80): it has no I²C.
pub const BANKED_POINTER: u8 = 1;

/// What the display shows its memory with, the start line aside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PanelState {
    /// Whether it is on.
    pub on: bool,
    /// Whether it shows memory inverted.
    pub inverted: bool,
    /// Contrast, 0 to 255; `None` where something else sees to it.
    pub contrast: Option<u8>,
}

const NORMAL: u8 = 0xA6;
const INVERSE: u8 = 0xA7;
const DISPLAY_OFF: u8 = 0xAE;
const DISPLAY_ON: u8 = 0xAF;
const CONTRAST: u8 = 0x81;
/// PCD8544, function set with H = 1 and H = 0; Vop with H = 1; display control.
pub(super) const EXTENDED: u8 = 0x21;
pub(super) const BASIC: u8 = 0x20;
pub(super) const VOP: u8 = 0x80;
pub(super) const BLANK: u8 = 0x08;
pub(super) const SHOWN: u8 = 0x0C;
const SHOWN_INVERSE: u8 = 0x0D;

impl Controller {
    /// Returns the commands that follow the data of a frame and change the display from one state to another. If the former state
    /// is unknown, these are all commands. Switching on comes last, so that the picture is complete by then.
    pub fn state_commands(&self, former: Option<PanelState>, state: PanelState) -> Vec<u8> {
        let differs = |part: fn(PanelState) -> u8| former.is_none_or(|former| part(former) != part(state));
        let inverts = differs(|state| u8::from(state.inverted));
        let switches_on = state.on && differs(|state| u8::from(state.on));
        let mut bytes = Vec::new();
        let contrast = state.contrast.filter(|contrast| former.is_none_or(|former| former.contrast != Some(*contrast)));
        match self.command_set {
            CommandSet::Paged => {
                if inverts {
                    bytes.push(if state.inverted { INVERSE } else { NORMAL });
                }
                if let Some(contrast) = contrast {
                    bytes.extend([CONTRAST, contrast]);
                }
                if switches_on {
                    bytes.push(DISPLAY_ON);
                }
            }
            CommandSet::Banked => {
                if let Some(contrast) = contrast {
                    bytes.extend([EXTENDED, VOP | contrast, BASIC]);
                }
                if state.on && (inverts || switches_on) {
                    bytes.push(if state.inverted { SHOWN_INVERSE } else { SHOWN });
                }
            }
        }
        bytes
    }

    /// The commands that come before the data: switching off is the first, so that nothing of the frame is seen.
    pub fn hide_commands(&self, former: Option<PanelState>, state: PanelState) -> Vec<u8> {
        let goes_off = !state.on && former.is_none_or(|former| former.on);
        let off = if self.command_set == CommandSet::Banked { BLANK } else { DISPLAY_OFF };
        if goes_off { vec![off] } else { Vec::new() }
    }

    /// Returns whether one of these commands can invert the picture. Parameters with that value count too.
    pub fn may_invert(&self, commands: &[u8]) -> bool {
        commands.contains(if self.command_set == CommandSet::Banked { &SHOWN_INVERSE } else { &INVERSE })
    }

    /// Command bytes that set the pointer.
    pub fn seek_bytes(&self) -> u8 {
        if self.command_set == CommandSet::Banked { 2 } else { 3 }
    }
}

impl Panel {
    /// Returns the address of the display in a reel. On SPI it is no address, but says how the pointer is set.
    pub fn address_on(&self, bus: &BusSettings) -> u8 {
        if self.controller.command_set == CommandSet::Banked { BANKED_POINTER } else { bus.address() }
    }
}
