//! A display controller as a bus device, written from its data sheet: bytes in, lit pixels out; faults are reported, nothing panics.
//!
//! It knows nothing of reels. It keeps memory by segment and row, as the controller does, and derives from the panel's own
//! wiring which segment and which common driver each display pixel hangs on. So settings that differ from what the display
//! needs (multiplex, offset, start line, COM pins, remap, a pump never switched on) give the wrong picture a real display
//! would show. Time is not modelled: fading, blinking and scrolling are recognised and checked but do not move.

mod clock;
mod commands;
mod commons;
mod crystal;
mod cycles;
mod execute;
mod fault;
mod link;
mod memory;
mod picture;
mod playback;
mod pointer;
mod registers;
#[cfg(test)]
mod tests;

pub(crate) use clock::{Clocked, Traffic};
pub(crate) use commands::command_words;
pub use cycles::{KINDS_OF_WORK, bus_cycles, cycles_of, kinds_of_work};
pub(crate) use fault::Fault;
pub use fault::FaultKind;
pub use playback::Playback;
pub(crate) use playback::{FrameTime, PlayedFrame};
pub(crate) use registers::Registers;

use crate::panel::{Controller, Panel};
use link::Link;
use memory::DisplayMemory;
use pointer::Pointer;

/// The address that a display answers to when its address pin is low (SSD1306 data sheet Rev 1.5 §8.1.5).
pub const USUAL_ADDRESS: u8 = 0x3C;
/// Seed of the noise that memory holds at power-up unless another is asked for.
const USUAL_SEED: u64 = 0x005E_ED0F_0A1A_555E;

/// A panel on the bus, just powered up and reset.
#[derive(Clone, Debug)]
pub struct Emulator {
    panel: Panel,
    address: u8,
    registers: Registers,
    pointer: Pointer,
    memory: DisplayMemory,
    link: Link,
    faults: Vec<Fault>,
    faults_in_all: u64,
}

impl Emulator {
    /// A panel at address 3C with noise in its memory, since no data sheet promises zeros.
    pub fn new(panel: &Panel) -> Self {
        let controller = panel.controller;
        Self {
            registers: Registers::after_reset(panel),
            pointer: Pointer::after_reset(controller),
            memory: DisplayMemory::noisy(controller, USUAL_SEED),
            panel: panel.clone(),
            address: USUAL_ADDRESS,
            link: Link::default(),
            faults: Vec::new(),
            faults_in_all: 0,
        }
    }
    /// The same panel at another seven-bit address.
    pub fn at_address(self, address: u8) -> Self {
        Self { address, ..self }
    }
    /// The same panel with other noise in its memory.
    pub fn with_noise(self, seed: u64) -> Self {
        Self { memory: DisplayMemory::noisy(self.panel.controller, seed), ..self }
    }
    /// The same panel with nothing in its memory, where what it held is not known and is of no account.
    pub fn blank(self) -> Self {
        Self { memory: DisplayMemory::blank(self.panel.controller), ..self }
    }
    /// The panel.
    pub fn panel(&self) -> &Panel {
        &self.panel
    }
    /// The controller's settings.
    pub fn registers(&self) -> &Registers {
        &self.registers
    }
    /// Contrast, 0 to 255.
    pub fn contrast(&self) -> u8 {
        self.registers.contrast
    }
    /// Whether the display is on (AF).
    pub fn is_on(&self) -> bool {
        self.registers.on
    }
    /// Whether set bits are shown dark (A7).
    pub fn inverted(&self) -> bool {
        self.registers.inverted
    }
    /// The byte of memory that a column and page address now, by the present segment remap; 0 outside.
    pub fn memory(&self, page: u8, column: u8) -> u8 {
        self.load(page, column)
    }
    /// Page and column of the next data byte. The column is one after the last if such a byte would be lost.
    pub fn position(&self) -> (u8, u8) {
        (self.pointer.page, self.pointer.column.min(self.controller().memory_columns))
    }
    /// What was wrong so far, in order; at most [`Emulator::FAULTS_KEPT`] are kept.
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }
    /// How many faults there were, those not kept included.
    pub fn faults_in_all(&self) -> u64 {
        self.faults_in_all
    }

    /// Most faults kept; the rest are only counted.
    pub const FAULTS_KEPT: usize = 1000;

    fn controller(&self) -> &'static Controller {
        self.panel.controller
    }
    /// The byte that the present remap reaches at a page and column; 0 outside.
    fn load(&self, page: u8, column: u8) -> u8 {
        let (page, column, reversed) = self.place_of(page, column);
        let byte = self.memory.get(page, column);
        if reversed { byte.reverse_bits() } else { byte }
    }
    fn store(&mut self, page: u8, column: u8, byte: u8) {
        let (page, column, reversed) = self.place_of(page, column);
        self.memory.set(page, column, if reversed { byte.reverse_bits() } else { byte });
    }
    /// Where a byte of a page and column lies by the present remap (SSD1306 data sheet Rev 1.5 §10.1.8), and whether its bits are
    /// reversed (SH1107 data sheet V2.1, command A1, which reverses pages and the bits in a byte).
    fn place_of(&self, page: u8, column: u8) -> (u8, u8, bool) {
        let controller = self.controller();
        match (self.registers.segments_reversed, controller.sideways) {
            (false, _) => (page, column, false),
            (true, false) => (page, (controller.memory_columns - 1).wrapping_sub(column), false),
            (true, true) => ((controller.pages() - 1).wrapping_sub(page), column, true),
        }
    }
    fn fault(&mut self, kind: FaultKind) {
        self.faults_in_all += 1;
        if self.faults.len() < Self::FAULTS_KEPT {
            self.faults.push(Fault { transaction: self.link.transactions, byte: self.link.bytes, kind });
        }
    }
}

/// The bus refused a byte or an address.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refused;

impl crate::player::Bus for Emulator {
    type Error = Refused;

    fn start(&mut self, address: u8) -> Result<(), Refused> {
        if Emulator::start(self, address) { Ok(()) } else { Err(Refused) }
    }
    fn write(&mut self, byte: u8) -> Result<(), Refused> {
        if Emulator::write(self, byte) { Ok(()) } else { Err(Refused) }
    }
    fn stop(&mut self) -> Result<(), Refused> {
        Emulator::stop(self);
        Ok(())
    }
}
