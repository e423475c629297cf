//! The bus side: START, address, control bytes, and which bytes are commands and which are display data.

use super::commands::{CommandAction, MOST_PARAMETERS, command};
use super::{Emulator, FaultKind};

/// What the next byte of a transaction is (SSD1306 data sheet Rev 1.5 §8.1.5).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Expected {
    /// No transaction with this display is open.
    #[default]
    Nothing,
    /// A control byte.
    Control,
    /// One byte, then a control byte again (Co = 1).
    One { data: bool },
    /// Bytes of one kind until STOP (Co = 0).
    Rest { data: bool },
}

/// A command that still lacks parameters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Pending {
    opcode: u8,
    action: CommandAction,
    wanted: u8,
    parameters: [u8; MOST_PARAMETERS],
    have: u8,
}

/// The state of the bus interface.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Link {
    expected: Expected,
    pending: Option<Pending>,
    pub transactions: u64,
    pub bytes: u64,
}

impl Pending {
    fn missing(&self) -> u8 {
        self.wanted - self.have
    }
}

/// Bits of a control byte.
const CONTINUATION: u8 = 0x80;
const DATA_NOT_COMMAND: u8 = 0x40;
/// The bit of a word of nine that says the same.
const DATA_WORD: u16 = 0x100;

impl Emulator {
    /// START (or repeated START) and the seven-bit address for writing; true when this display acknowledges.
    pub fn start(&mut self, address: u8) -> bool {
        self.end_of_transaction();
        let mine = address == self.address;
        if mine {
            self.link.transactions += 1;
            self.link.expected = Expected::Control;
        }
        mine
    }

    /// A byte after the address; true when this display acknowledges, which it does for every byte meant for it.
    pub fn write(&mut self, byte: u8) -> bool {
        self.link.bytes += 1;
        match self.link.expected {
            Expected::Nothing => {
                self.fault(FaultKind::OutsideTransaction);
                return false;
            }
            Expected::Control => self.control_byte(byte),
            Expected::One { data } => {
                self.link.expected = Expected::Control;
                self.payload(byte, data);
            }
            Expected::Rest { data } => self.payload(byte, data),
        }
        true
    }

    /// A byte on SPI, where the D/C line says whether it is display data or a command or parameter.
    pub fn byte_on_spi(&mut self, byte: u8, data: bool) {
        self.link.bytes += 1;
        self.payload(byte, data);
    }

    /// Nine bits on 3-wire SPI, of which the first, D/C, is the highest.
    pub fn word_on_spi(&mut self, word: u16) {
        self.byte_on_spi(word.to_le_bytes()[0], word & DATA_WORD != 0);
    }

    /// STOP.
    pub fn stop(&mut self) {
        self.end_of_transaction();
    }

    /// A missing parameter is a fault, yet the command stays open, since the command decoder does not see STOP.
    fn end_of_transaction(&mut self) {
        if self.link.expected != Expected::Nothing
            && let Some(pending) = self.link.pending
        {
            self.fault(FaultKind::Unfinished { command: pending.opcode, missing: pending.missing() });
        }
        self.link.expected = Expected::Nothing;
    }

    fn control_byte(&mut self, byte: u8) {
        if byte & !(CONTINUATION | DATA_NOT_COMMAND) != 0 {
            self.fault(FaultKind::ControlByte(byte));
        }
        let data = byte & DATA_NOT_COMMAND != 0;
        self.link.expected = if byte & CONTINUATION != 0 { Expected::One { data } } else { Expected::Rest { data } };
    }

    fn payload(&mut self, byte: u8, data: bool) {
        match (data, self.link.pending) {
            (true, Some(pending)) => {
                self.fault(FaultKind::DataForParameter { command: pending.opcode });
                self.link.pending = None;
                self.display_data(byte);
            }
            (true, None) => self.display_data(byte),
            (false, Some(pending)) => self.parameter(pending, byte),
            (false, None) => self.opcode(byte),
        }
    }

    fn opcode(&mut self, opcode: u8) {
        match command(self.controller().family, self.registers.extended, opcode) {
            None => self.fault(FaultKind::Prohibited(opcode)),
            Some((action, 0)) => self.execute(opcode, action, &[]),
            Some((action, wanted)) => {
                let parameters = [0; MOST_PARAMETERS];
                self.link.pending = Some(Pending { opcode, action, wanted, parameters, have: 0 });
            }
        }
    }

    fn parameter(&mut self, mut pending: Pending, byte: u8) {
        if let Some(slot) = pending.parameters.get_mut(usize::from(pending.have)) {
            *slot = byte;
        }
        pending.have += 1;
        if pending.missing() > 0 {
            self.link.pending = Some(pending);
        } else {
            self.link.pending = None;
            let parameters = pending.parameters;
            self.execute(pending.opcode, pending.action, &parameters[..usize::from(pending.wanted)]);
        }
    }
}
