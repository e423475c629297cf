//! Carrying out commands and storing display data.

use super::commands::CommandAction;
use super::pointer::{AddressSpan, AddressingMode};
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
    pub(super) fn execute(&mut self, opcode: u8, action: CommandAction, parameters: &[u8]) {
        if self.registers.locked && action != CommandAction::Lock {
            self.fault(FaultKind::Locked(opcode));
            return;
        }
        match action {
            CommandAction::ColumnLow | CommandAction::ColumnHigh | CommandAction::Page => {
                self.place_in_page(opcode, action)
            }
            CommandAction::AddressingMode => self.set_addressing_mode(opcode, first(parameters)),
            CommandAction::ColumnWindow | CommandAction::PageWindow => self.set_window(opcode, action, parameters),
            CommandAction::KeepColumn => self.pointer.kept_column = Some(self.pointer.column),
            CommandAction::ColumnBack => {
                if let Some(column) = self.pointer.kept_column.take() {
                    self.pointer.go_to_column(column);
                }
            }
            CommandAction::ScrollSideways
            | CommandAction::ScrollDiagonally
            | CommandAction::ScrollOnce
            | CommandAction::ScrollStop
            | CommandAction::ScrollStart
            | CommandAction::ScrollArea => self.scroll(opcode, action, parameters),
            CommandAction::Pump | CommandAction::PumpAd | CommandAction::PumpVoltage | CommandAction::Power => {
                self.set_power(opcode, action, first(parameters));
            }
            CommandAction::AllOn => self.registers.all_on = opcode & 1 == 1,
            CommandAction::Inverse => self.registers.inverted = opcode & 1 == 1,
            CommandAction::SegmentRemap => self.registers.segments_reversed = opcode & 1 == 1,
            CommandAction::CommonScan => self.registers.commons_reversed = opcode & 8 == 8,
            CommandAction::StartLine => self.registers.start_line = opcode & ROW_BITS,
            CommandAction::Nothing | CommandAction::Other => {}
            CommandAction::PlainMode => {
                self.pointer.mode = if opcode & 1 == 1 { AddressingMode::Column } else { AddressingMode::Page }
            }
            CommandAction::Wrap => self.pointer.wraps = first(parameters) & 2 == 2,
            CommandAction::Bias | CommandAction::PowerCircuits | CommandAction::Ratio | CommandAction::Reset => {
                self.set_crystal(opcode, action)
            }
            CommandAction::Bank
            | CommandAction::BankColumn
            | CommandAction::Function
            | CommandAction::Shown
            | CommandAction::Temperature
            | CommandAction::BiasSystem
            | CommandAction::Voltage => self.execute_banked(opcode, action),
            _ => self.set_value(opcode, action, first(parameters)),
        }
    }

    /// Page and column of page addressing; ignored while windows are addressed.
    fn place_in_page(&mut self, opcode: u8, action: CommandAction) {
        if matches!(self.pointer.mode, AddressingMode::Horizontal | AddressingMode::Vertical) {
            self.fault(FaultKind::PageCommandInWindowMode(opcode));
            return;
        }
        let low = opcode & NIBBLE;
        match action {
            CommandAction::Page => self.pointer.go_to_page(opcode & NIBBLE),
            CommandAction::ColumnLow => self.pointer.go_to_column(self.pointer.column & !NIBBLE | low),
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
            0 => self.pointer.mode = AddressingMode::Horizontal,
            1 => self.pointer.mode = AddressingMode::Vertical,
            2 => self.pointer.mode = AddressingMode::Page,
            _ => self.fault(FaultKind::OutOfRange { command: opcode, parameter: value }),
        }
    }

    /// Start and end of a window; the pointer goes to the start.
    fn set_window(&mut self, opcode: u8, action: CommandAction, parameters: &[u8]) {
        self.forbid_while_scrolling();
        if self.pointer.mode == AddressingMode::Page {
            self.fault(FaultKind::WindowCommandInPageMode(opcode));
        }
        let columns = action == CommandAction::ColumnWindow;
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
        let span = AddressSpan { first: wanted_first % count, last: wanted_last % count };
        if columns {
            self.pointer.columns = span;
            self.pointer.go_to_column(span.first);
        } else {
            self.pointer.pages = span;
            self.pointer.go_to_page(span.first);
        }
    }

    /// Scrolling is checked and remembered, not moved; after it has run the memory is noise until rewritten.
    fn scroll(&mut self, opcode: u8, action: CommandAction, parameters: &[u8]) {
        match action {
            CommandAction::ScrollStop => {
                if self.registers.scrolling {
                    self.memory.scramble();
                }
                self.registers.scrolling = false;
            }
            CommandAction::ScrollStart => {
                if !self.registers.scroll_set_up {
                    self.fault(FaultKind::ScrollNotSetUp);
                }
                self.registers.scrolling = true;
            }
            CommandAction::ScrollArea => {
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

    fn set_power(&mut self, opcode: u8, action: CommandAction, value: u8) {
        let refused = FaultKind::OutOfRange { command: opcode, parameter: value };
        match (action, self.controller().pump) {
            (CommandAction::Power, _) => {
                self.registers.on = opcode & 1 == 1 || opcode == ON_DIMMED;
                if self.registers.on && !self.has_high_voltage() {
                    self.fault(FaultKind::NoHighVoltage);
                }
            }
            (CommandAction::PumpVoltage, _) => self.registers.pump_voltage = opcode,
            (CommandAction::PumpAd, _) if self.registers.on => self.fault(FaultKind::PumpWhileOn),
            (CommandAction::PumpAd, PumpCommand::CommandAd { on, off, .. }) if value == on || value == off => {
                self.registers.pump = value == on;
            }
            (CommandAction::PumpAd, _) => self.fault(refused),
            (_, PumpCommand::Command8D { on_values }) if on_values.contains(&value) => self.registers.pump = true,
            (..) if value == 0x10 => self.registers.pump = false,
            (..) => self.fault(refused),
        }
    }

    /// Commands that put one parameter into one register; a value outside the table is reported and not taken.
    fn set_value(&mut self, opcode: u8, action: CommandAction, value: u8) {
        let controller = self.controller();
        let allowed = match action {
            CommandAction::Contrast => (controller.contrast_lowest..=controller.contrast_highest).contains(&value),
            CommandAction::Multiplex => value < controller.commons() && value + 1 >= controller.multiplex_lowest,
            CommandAction::DisplayOffset | CommandAction::StartLineByte => value < controller.commons(),
            CommandAction::Precharge => value & NIBBLE != 0 && value >> 4 != 0,
            CommandAction::CommonPins => controller.common_pin_values.contains(&value),
            CommandAction::Deselect => {
                controller.deselect_levels.is_empty() || controller.deselect_levels.contains(&value)
            }
            CommandAction::Reference => value & !0x30 == 0,
            CommandAction::Zoom => value <= 1,
            CommandAction::Fade => value & !0x3F == 0 && value >> 4 != 1,
            CommandAction::Lock => value == LOCK || value == UNLOCK,
            _ => true,
        };
        if !allowed {
            self.fault(FaultKind::OutOfRange { command: opcode, parameter: value });
            return;
        }
        let registers = &mut self.registers;
        match action {
            CommandAction::Contrast => {
                registers.contrast = value;
                self.check_crystal_voltage(opcode);
            }
            CommandAction::Multiplex => registers.multiplex = value + 1,
            CommandAction::DisplayOffset => registers.display_offset = value,
            CommandAction::StartLineByte => registers.start_line = value,
            CommandAction::Clock => registers.clock = value,
            CommandAction::Precharge => registers.precharge = value,
            CommandAction::CommonPins => registers.common_pins = value,
            CommandAction::Deselect => registers.deselect = value,
            CommandAction::Reference => registers.reference = value,
            CommandAction::Zoom => registers.zoomed = value == 1,
            CommandAction::Fade => registers.fade = value,
            CommandAction::Lock => registers.locked = value == LOCK,
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
