//! What controllers of liquid crystals do with their own commands.

use super::commands::CommandAction;
use super::pointer::AddressingMode;
use super::{Emulator, FaultKind};

const LOW_THREE: u8 = 7;
/// Volume after a reset.
const VOLUME: u8 = 0x20;
/// Function set of the PCD8544.
const POWER_DOWN: u8 = 4;
const VERTICAL: u8 = 2;
const EXTENDED: u8 = 1;
/// Value of Vop and column.
const LOW_SEVEN: u8 = 0x7F;

impl Emulator {
    /// Bias, power circuits, ratio and reset of ST7567A, ST7565R and UC1701x.
    pub(super) fn set_crystal(&mut self, opcode: u8, action: CommandAction) {
        match action {
            CommandAction::Bias => self.registers.bias = opcode & 1,
            CommandAction::PowerCircuits => self.registers.power_circuits = opcode & LOW_THREE,
            CommandAction::Ratio => self.registers.ratio = opcode & LOW_THREE,
            // Not bias, segment direction, inversion and power (ST7567A Ver 1.2a).
            _ => {
                (self.registers.start_line, self.registers.commons_reversed) = (0, false);
                (self.registers.ratio, self.registers.contrast) = (0, VOLUME);
                self.pointer.go_to_page(0);
                self.pointer.go_to_column(0);
            }
        }
        self.check_crystal_voltage(opcode);
    }

    /// The commands of the PCD8544 (data sheet of 1999-04-12).
    pub(super) fn execute_banked(&mut self, opcode: u8, action: CommandAction) {
        let controller = self.controller();
        let refused = FaultKind::OutOfRange { command: opcode & !LOW_SEVEN, parameter: opcode & LOW_SEVEN };
        match action {
            CommandAction::Bank if opcode & LOW_THREE < controller.pages() => {
                self.pointer.go_to_page(opcode & LOW_THREE)
            }
            CommandAction::BankColumn if opcode & LOW_SEVEN < controller.memory_columns => {
                self.pointer.go_to_column(opcode & LOW_SEVEN);
            }
            CommandAction::Bank | CommandAction::BankColumn => self.fault(refused),
            CommandAction::Function => {
                self.registers.sleeping = opcode & POWER_DOWN != 0;
                self.registers.extended = opcode & EXTENDED != 0;
                self.pointer.mode =
                    if opcode & VERTICAL != 0 { AddressingMode::Vertical } else { AddressingMode::Horizontal };
            }
            CommandAction::Shown => {
                self.registers.on = opcode != 0x08;
                self.registers.all_on = opcode == 0x09;
                self.registers.inverted = opcode == 0x0D;
                if self.registers.on && !self.has_high_voltage() {
                    self.fault(FaultKind::NoHighVoltage);
                }
            }
            CommandAction::BiasSystem => self.registers.bias = opcode & LOW_THREE,
            CommandAction::Voltage => {
                self.registers.contrast = opcode & LOW_SEVEN;
                self.check_crystal_voltage(opcode);
            }
            _ => {}
        }
    }

    /// A voltage that the part is not made for is reported.
    pub(super) fn check_crystal_voltage(&mut self, command: u8) {
        let controller = self.controller();
        let drive =
            crate::panel::CrystalDrive { ratio: self.registers.ratio, bias: self.registers.bias, booster: None };
        let millivolts = controller.crystal_millivolts(drive, self.registers.contrast);
        if millivolts.zip(controller.highest_crystal_millivolts()).is_some_and(|(now, highest)| now > highest) {
            self.fault(FaultKind::CrystalVoltage { command, millivolts: millivolts.unwrap_or(0) });
        }
    }
}
