//! CPU cycles of the player's work, a unit of each kind, on each kind of core.

use crate::panel::Core;
use crate::player::Work;

/// Cycles of one unit of work.
struct WorkCycles {
    work: Work,
    avr: u32,
    /// Of Arm and RISC-V parts.
    wide: u32,
}

const fn row(work: Work, avr: u32, wide: u32) -> WorkCycles {
    WorkCycles { work, avr, wide }
}

/// Of AVR parts: fitted to calls of the C player (avr-gcc 5.4 -Os) on the simulated ATmega328P over a bus that takes no time, for
/// the shows of the bench and seeded random ones (tests/root/firmware/timing.rs fits them again); those of
/// areas are raised by 3 %, so that a frame is rarely predicted shorter than it is. Of others: estimated at two thirds of
/// that, near 1.5 cycles for each instruction that QEMU counts on a Cortex-M3.
static WORK: [WorkCycles; KINDS_OF_WORK] = [
    row(Work::Tick, 66, 43),
    row(Work::Step, 116, 75),
    row(Work::Instruction, 33, 21),
    row(Work::Replay, 187, 122),
    row(Work::Group, 27, 18),
    row(Work::Compared, 56, 36),
    row(Work::FarCount, 395, 257),
    row(Work::PassedCell, 155, 101),
    row(Work::BeamCell, 150, 98),
    row(Work::BeamPixel, 216, 140),
    row(Work::NoiseCell, 470, 305),
    row(Work::HistoryCell, 236, 154),
    row(Work::PassedLine, 77, 50),
    row(Work::RolledCell, 486, 316),
    row(Work::InkPiece, 127, 83),
    row(Work::AreaChunk, 102, 66),
    row(Work::AreaAsked, 30, 20),
    row(Work::AreaCheck, 84, 55),
    row(Work::AreaPaint, 581, 378),
    row(Work::AreaItem, 75, 49),
    row(Work::AreaCell, 96, 62),
    row(Work::AreaShift, 6, 4),
    row(Work::AreaBlank, 14, 9),
    row(Work::LiveValue, 150, 98),
    row(Work::LivePart, 150, 98),
    row(Work::Page, 1000, 650),
    row(Work::Eight, 360, 234),
    row(Work::MovedEight, 400, 260),
    row(Work::DenseCell, 262, 170),
    row(Work::PredictedCell, 200, 130),
    row(Work::Pixel, 198, 129),
    row(Work::Decision, 262, 170),
    row(Work::Node, 51, 33),
    row(Work::SentCell, 55, 36),
    // Counted from the code, not fitted: six operands are read and the marks are cleared, 71 bytes for 72×40.
    row(Work::OpenedStream, 900, 585),
    row(Work::ComposedRun, 150, 98),
    row(Work::CopiedCell, 22, 14),
    row(Work::BlankedCell, 9, 6),
    row(Work::FilmCell, 606, 394),
    row(Work::FilmDrawn, 1815, 1180),
    row(Work::FilmDecision, 250, 163),
];

/// How many kinds of work there are.
pub const KINDS_OF_WORK: usize = 41;

/// Every kind of work.
pub fn kinds_of_work() -> [Work; KINDS_OF_WORK] {
    WORK.each_ref().map(|row| row.work)
}

/// Cycles of the player and of the example's bus driver around a transaction and its bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BusCycles {
    /// Of the player before each transaction.
    pub begin: u32,
    /// Of the player before each byte, the address aside.
    pub byte: u32,
    /// Of the driver from the call to START, or until chip select and D/C are set.
    pub to_start: u32,
    /// Of the driver from the end of START to the address; none on SPI.
    pub to_address: u32,
    /// Of the driver from the end of a byte to the start of the next.
    pub to_byte: u32,
    /// Of the driver from the end of the last byte to STOP, or until chip select is released.
    pub to_stop: u32,
}

/// Fitted in the same way; the driver's measured on the bus of examples/atmega328p at 100 kHz, 400 kHz and 1 MHz.
const AVR_BUS: BusCycles = BusCycles { begin: 20, byte: 29, to_start: 16, to_address: 14, to_byte: 36, to_stop: 26 };
const WIDE_BUS: BusCycles = BusCycles { begin: 13, byte: 19, to_start: 10, to_address: 9, to_byte: 23, to_stop: 17 };

/// Measured on the bus of examples/atmega328p-spi at 8 MHz, 4 MHz and 1 MHz; of others estimated in the same way.
const AVR_SPI: BusCycles = BusCycles { begin: 20, byte: 29, to_start: 14, to_address: 0, to_byte: 18, to_stop: 14 };
const WIDE_SPI: BusCycles = BusCycles { begin: 13, byte: 19, to_start: 9, to_address: 0, to_byte: 12, to_stop: 9 };

/// Cycles of one unit of work on a core.
pub fn cycles_of(work: Work, core: Core) -> u32 {
    let row = WORK.iter().find(|row| row.work == work);
    row.map_or(0, |row| if core == Core::Avr { row.avr } else { row.wide })
}

/// Cycles around the bytes on the bus on a core.
pub fn bus_cycles(core: Core, spi: bool) -> BusCycles {
    match (core == Core::Avr, spi) {
        (true, false) => AVR_BUS,
        (false, false) => WIDE_BUS,
        (true, true) => AVR_SPI,
        (false, true) => WIDE_SPI,
    }
}
