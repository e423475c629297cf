//! How times on the display's wires come about, in words for the figures: formulas and their sources, for I²C and for SPI.

use crate::panel::{BusSettings, DataCommand, Wires};

/// How the time of a frame, bus and CPU together, is computed.
pub fn frame_formula(bus: &BusSettings) -> &'static str {
    match bus.wires {
        Wires::I2c { .. } => {
            "each byte: wait for the byte before, then 9 bus clocks while the player prepares the next byte"
        }
        Wires::Spi { data_command: DataCommand::Line } => {
            "each byte: wait for the byte before, then 8 bus clocks while the player prepares the next byte"
        }
        Wires::Spi { data_command: DataCommand::Bit } => "each byte: 9 bus clocks, sent bit by bit",
    }
}

/// How the time on the bus alone is computed.
pub fn bus_formula(bus: &BusSettings) -> &'static str {
    match bus.wires {
        Wires::I2c { .. } => {
            "9 clocks a byte, address counted, with start hold, stop set-up and bus free for each transaction"
        }
        Wires::Spi { data_command: DataCommand::Line } => {
            "8 clocks a byte, and 330 ns of chip select and D/C for each transaction"
        }
        Wires::Spi { data_command: DataCommand::Bit } => {
            "9 clocks a byte, D/C the first of them, and 330 ns of chip select for each transaction"
        }
    }
}

/// Where the times on the bus come from.
pub fn bus_source(bus: &BusSettings) -> &'static str {
    match bus.wires {
        Wires::I2c { .. } => "UM10204 Rev 7.0 §3.1 and Table 11, played by the player at per_call bytes a call",
        Wires::Spi { .. } => {
            "SSD1306 Rev 1.5 §8.1.3, SSD1305 Rev 1.8 Table 13-4, played by the player at per_call bytes a call"
        }
    }
}
