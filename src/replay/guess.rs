//! Guesses the panel of a capture without a show: the one whose model finds the fewest faults, and whose settings were sent.

use super::decoded::DisplayByte;
use crate::emulator::Emulator;
use crate::panel::{Panel, panels};

/// The panel that fits best, and the controllers that fit as well; `spi` says which bus they must have.
pub fn guess_panel(items: &[DisplayByte], spi: bool) -> (&'static Panel, Vec<&'static str>) {
    let has_bus = |panel: &&Panel| {
        let controller = panel.controller;
        if spi { controller.highest_spi_clock.is_some() } else { controller.highest_i2c_clock.is_some() }
    };
    let all: Vec<&'static Panel> = panels().iter().filter(has_bus).collect();
    let scores: Vec<(u64, u32)> = all.iter().map(|panel| score(panel, items)).collect();
    // The table has panels for both.
    let best = (0..all.len()).min_by_key(|at| scores[*at]).unwrap_or(0);
    let mut alike: Vec<&'static str> = Vec::new();
    for (panel, score) in all.iter().zip(&scores) {
        if score.0 == scores[best].0 && !alike.contains(&panel.controller.name) {
            alike.push(panel.controller.name);
        }
    }
    (all[best], alike)
}

/// Faults, then settings and columns that differ from the panel's own.
fn score(panel: &Panel, items: &[DisplayByte]) -> (u64, u32) {
    let mut display = Emulator::new(panel);
    let (mut outside, mut least, mut most) = (0u32, u8::MAX, 0u8);
    for item in items {
        if item.data {
            let (_, column) = display.position();
            (least, most) = (least.min(column), most.max(column));
        }
        display.byte_on_spi(item.byte, item.data);
    }
    let (registers, wiring) = (display.registers(), panel.wiring);
    let differs = [
        registers.multiplex != wiring.multiplex,
        registers.common_pins != wiring.common_pins,
        registers.display_offset != wiring.display_offset,
        registers.segments_reversed != wiring.segments_reversed,
        registers.commons_reversed != wiring.commons_reversed,
    ];
    if least <= most {
        let last = u32::from(wiring.first_column) + panel.width - 1;
        outside = u32::from(least).abs_diff(wiring.first_column.into()) + u32::from(most).abs_diff(last);
    }
    const SETTING: u32 = 40;
    (display.faults_in_all(), outside + SETTING * differs.map(u32::from).iter().sum::<u32>())
}
