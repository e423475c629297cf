//! Carrying out commands and storing display data.

use super::commands::Action;
use super::pointer::{Mode, Span};
use super::{Emulator, FaultKind};
use crate::panel::{PumpCommand, Supply};

/// Low six bits: rows 0 to 63.
const ROW_BITS: u8 = 0x3F;
const NIBBLE: u8 = 0x0F;
/// Booster, regulator and follower.
const ALL_CIRCUITS: u8 = 7;
/// Values of FD (SSD1309, from memory).
/// On in dim mode (SSD1305 data sheet Rev 1.8).
const ON_DIMMED: u8 = 0xAC;
const UNLOCK: u8 = 0x12;
const LOCK: u8 = 0x16;

impl Emulator {
    /// Stores a byte and moves the pointer.
    pub(super) fn display_data(&mut self, byte: u8) {
        if self.registers.scrolling {
            self.fault(FaultKind::WhileScrolling);
        }
        if self.pointer.past_forgotten_window {
            self.fault(FaultKind::PastForgottenWindow);
        }
        if self.pointer.beyond_last_column() {
            self.fault(FaultKind::PastLastColumn);
            return;
        }
        self.store(self.pointer.page, self.pointer.column, byte);
        self.pointer.advance();
    }

    /// Carries out a command with all its parameters.
    pub(super) fn execute(&mut self, opcode: u8, action: Action, parameters: &[u8]) {
        if self.registers.locked && action != Action::Lock {
            self.fault(FaultKind::Locked(opcode));
            return;
        }
        match action {
            Action::ColumnLow | Action::ColumnHigh | Action::Page => self.place_in_page(opcode, action),
            Action::AddressingMode => self.set_addressing_mode(opcode, first(parameters)),
            Action::ColumnWindow | Action::PageWindow => self.set_window(opcode, action, parameters),
            Action::KeepColumn => self.pointer.kept_column = Some(self.pointer.column),
            Action::ColumnBack => {
                if let Some(column) = self.pointer.kept_column.take() {
                    self.pointer.go_to_column(column);
                }
            }
            Action::ScrollSideways
            | Action::ScrollDiagonally
            | Action::ScrollOnce
            | Action::ScrollStop
            | Action::ScrollStart
            | Action::ScrollArea => self.scroll(opcode, action, parameters),
            Action::Pump | Action::PumpAd | Action::PumpVoltage | Action::Power => {
                self.set_power(opcode, action, first(parameters));
            }
            Action::AllOn => self.registers.all_on = opcode & 1 == 1,
            Action::Inverse => self.registers.inverted = opcode & 1 == 1,
            Action::SegmentRemap => self.registers.segments_reversed = opcode & 1 == 1,
            Action::CommonScan => self.registers.commons_reversed = opcode & 8 == 8,
            Action::StartLine => self.registers.start_line = opcode & ROW_BITS,
            Action::Nothing | Action::Other => {}
            Action::PlainMode => self.pointer.mode = if opcode & 1 == 1 { Mode::Column } else { Mode::Page },
            Action::Wrap => self.pointer.wraps = first(parameters) & 2 == 2,
            Action::Bias | Action::PowerCircuits | Action::Ratio | Action::Reset => self.set_crystal(opcode, action),
            Action::Bank
            | Action::BankColumn
            | Action::Function
            | Action::Shown
            | Action::Temperature
            | Action::BiasSystem
            | Action::Voltage => self.execute_banked(opcode, action),
            _ => self.set_value(opcode, action, first(parameters)),
        }
    }

    /// Page and column of page addressing; ignored while windows are addressed.
    fn place_in_page(&mut self, opcode: u8, action: Action) {
        if matches!(self.pointer.mode, Mode::Horizontal | Mode::Vertical) {
            self.fault(FaultKind::PageCommandInWindowMode(opcode));
            return;
        }
        let low = opcode & NIBBLE;
        match action {
            Action::Page => self.pointer.go_to_page(opcode & NIBBLE),
            Action::ColumnLow => self.pointer.go_to_column(self.pointer.column & !NIBBLE | low),
            _ => self.pointer.go_to_column(self.pointer.column & NIBBLE | low << 4),
        }
        // High and low nibble come one after the other, so a column beyond the memory shows only when data is written there.
        if !self.pointer.beyond_last_column() || !self.controller().memory_columns.is_power_of_two() {
            return;
        }
        self.fault(FaultKind::OutOfRange { command: opcode, parameter: self.pointer.column });
        self.pointer.go_to_column(self.pointer.column % self.controller().memory_columns);
    }

    fn set_addressing_mode(&mut self, opcode: u8, value: u8) {
        self.forbid_while_scrolling();
        match value {
            0 => self.pointer.mode = Mode::Horizontal,
            1 => self.pointer.mode = Mode::Vertical,
            2 => self.pointer.mode = Mode::Page,
            _ => self.fault(FaultKind::OutOfRange { command: opcode, parameter: value }),
        }
    }

    /// Start and end of a window; the pointer goes to the start.
    fn set_window(&mut self, opcode: u8, action: Action, parameters: &[u8]) {
        self.forbid_while_scrolling();
        if self.pointer.mode == Mode::Page {
            self.fault(FaultKind::WindowCommandInPageMode(opcode));
        }
        let columns = action == Action::ColumnWindow;
        let count = if columns { self.controller().memory_columns } else { self.controller().pages() };
        let (wanted_first, wanted_last) = (first(parameters), second(parameters));
        for value in [wanted_first, wanted_last] {
            if value >= count {
                self.fault(FaultKind::OutOfRange { command: opcode, parameter: value });
            }
        }
        if wanted_first > wanted_last {
            self.fault(FaultKind::OutOfRange { command: opcode, parameter: wanted_last });
        }
        let span = Span { first: wanted_first % count, last: wanted_last % count };
        if columns {
            self.pointer.columns = span;
            self.pointer.go_to_column(span.first);
        } else {
            self.pointer.pages = span;
            self.pointer.go_to_page(span.first);
        }
    }

    /// Scrolling is checked and remembered, not moved; after it has run the memory is noise until rewritten.
    fn scroll(&mut self, opcode: u8, action: Action, parameters: &[u8]) {
        match action {
            Action::ScrollStop => {
                if self.registers.scrolling {
                    self.memory.scramble();
                }
                self.registers.scrolling = false;
            }
            Action::ScrollStart => {
                if !self.registers.scroll_set_up {
                    self.fault(FaultKind::ScrollNotSetUp);
                }
                self.registers.scrolling = true;
            }
            Action::ScrollArea => {
                self.forbid_while_scrolling();
                let rows = u16::from(first(parameters)) + u16::from(second(parameters));
                if rows > u16::from(self.registers.multiplex) {
                    self.fault(FaultKind::OutOfRange { command: opcode, parameter: second(parameters) });
                }
            }
            _ => {
                self.forbid_while_scrolling();
                self.check_scroll_pages(opcode, parameters);
                self.registers.scroll_set_up = true;
            }
        }
    }

    /// Second parameter: start page; fourth: end page, not before it.
    fn check_scroll_pages(&mut self, opcode: u8, parameters: &[u8]) {
        if let [_, start, _, end, ..] = *parameters {
            let pages = self.controller().pages();
            for parameter in [start, end] {
                if parameter >= pages {
                    self.fault(FaultKind::OutOfRange { command: opcode, parameter });
                }
            }
            if end < start {
                self.fault(FaultKind::OutOfRange { command: opcode, parameter: end });
            }
        }
    }

    fn set_power(&mut self, opcode: u8, action: Action, value: u8) {
        let refused = FaultKind::OutOfRange { command: opcode, parameter: value };
        match (action, self.controller().pump) {
            (Action::Power, _) => {
                self.registers.on = opcode & 1 == 1 || opcode == ON_DIMMED;
                if self.registers.on && !self.has_high_voltage() {
                    self.fault(FaultKind::NoHighVoltage);
                }
            }
            (Action::PumpVoltage, _) => self.registers.pump_voltage = opcode,
            (Action::PumpAd, _) if self.registers.on => self.fault(FaultKind::PumpWhileOn),
            (Action::PumpAd, PumpCommand::CommandAd { on, off, .. }) if value == on || value == off => {
                self.registers.pump = value == on;
            }
            (Action::PumpAd, _) => self.fault(refused),
            (_, PumpCommand::Command8D { on_values }) if on_values.contains(&value) => self.registers.pump = true,
            (..) if value == 0x10 => self.registers.pump = false,
            (..) => self.fault(refused),
        }
    }

    /// Commands that put one parameter into one register; a value outside the table is reported and not taken.
    fn set_value(&mut self, opcode: u8, action: Action, value: u8) {
        let controller = self.controller();
        let allowed = match action {
            Action::Contrast => (controller.contrast_lowest..=controller.contrast_highest).contains(&value),
            Action::Multiplex => value < controller.commons() && value + 1 >= controller.multiplex_lowest,
            Action::DisplayOffset | Action::StartLineByte => value < controller.commons(),
            Action::Precharge => value & NIBBLE != 0 && value >> 4 != 0,
            Action::CommonPins => controller.common_pin_values.contains(&value),
            Action::Deselect => controller.deselect_levels.is_empty() || controller.deselect_levels.contains(&value),
            Action::Reference => value & !0x30 == 0,
            Action::Zoom => value <= 1,
            Action::Fade => value & !0x3F == 0 && value >> 4 != 1,
            Action::Lock => value == LOCK || value == UNLOCK,
            _ => true,
        };
        if !allowed {
            self.fault(FaultKind::OutOfRange { command: opcode, parameter: value });
            return;
        }
        let registers = &mut self.registers;
        match action {
            Action::Contrast => {
                registers.contrast = value;
                self.check_crystal_voltage(opcode);
            }
            Action::Multiplex => registers.multiplex = value + 1,
            Action::DisplayOffset => registers.display_offset = value,
            Action::StartLineByte => registers.start_line = value,
            Action::Clock => registers.clock = value,
            Action::Precharge => registers.precharge = value,
            Action::CommonPins => registers.common_pins = value,
            Action::Deselect => registers.deselect = value,
            Action::Reference => registers.reference = value,
            Action::Zoom => registers.zoomed = value == 1,
            Action::Fade => registers.fade = value,
            Action::Lock => registers.locked = value == LOCK,
            _ => {}
        }
    }

    fn forbid_while_scrolling(&mut self) {
        if self.registers.scrolling {
            self.fault(FaultKind::WhileScrolling);
        }
    }

    /// Whether the display has its high voltage: from outside, or from a pump that runs.
    pub(super) fn has_high_voltage(&self) -> bool {
        match self.controller().pump {
            PumpCommand::PowerCircuits => self.registers.power_circuits == ALL_CIRCUITS,
            PumpCommand::Multiplier => !self.registers.sleeping && self.registers.contrast > 0,
            _ => self.panel.drive.supply == Supply::External || self.registers.pump,
        }
    }
}

fn first(parameters: &[u8]) -> u8 {
    parameters.first().copied().unwrap_or(0)
}

fn second(parameters: &[u8]) -> u8 {
    parameters.get(1).copied().unwrap_or(0)
}
