//! The microcontroller: what share of its time the player takes when the firmware waits for each byte, and what is left.

use super::{Budget, Figure, FrameLoad, SceneLoad};
use crate::panel::{CYCLES_A_CELL_OF_GRAINS, CYCLES_A_COMPOSED_CELL, CYCLES_A_RECKONED_CELL, CYCLES_A_ROLLED_CELL};
use crate::reel::{Effort, Reel};
use crate::show::Show;

/// CPU cycles that a waiting bus driver adds to each byte's time on the wire: call, flash read, poll.
const CYCLES_A_BYTE: f64 = 39.0;
const SOURCE: &str = "bus time as in the bus budget; 38 to 40 cycles a byte beside the wire, measured on a simulated ATmega328P \
                      (Debian's simavr 1.6, gcc-avr 5.4) with firmware that waits for each byte";

/// CPU cycles of one choice of a dense frame, the place where it is made counted, and of each node that it passes in its tree.
pub const CYCLES_A_CHOICE: f64 = 500.0;
pub const CYCLES_A_NODE: f64 = 48.0;
/// CPU cycles of a cell in the columns that a beam reaches.
pub const CYCLES_A_BEAMED_CELL: f64 = 1700.0;
const MADE_SOURCE: &str = "as in a reel that tells all; cycles a cell that a beam may touch, of noise, of a roll or of an area, fitted to frames of the player on a \
                                simulated ATmega328P (simavr 1.6, gcc-avr 5.4 -Os)";
const DENSE_SOURCE: &str = "as in a lean reel; 500 cycles a choice, 48 a node and 1,700 a cell within reach of a beam, fitted to \
                            frames of the dense player on a simulated ATmega328P (simavr 1.6, gcc-avr 5.4 -Os)";

/// CPU cycles that drawing a frame takes beside sending it.
pub fn drawing_cycles(effort: Effort) -> f64 {
    f64::from(effort.choices) * CYCLES_A_CHOICE
        + f64::from(effort.nodes) * CYCLES_A_NODE
        + f64::from(effort.beamed) * CYCLES_A_BEAMED_CELL
        + f64::from(effort.reckoned) * f64::from(CYCLES_A_RECKONED_CELL)
        + f64::from(effort.grains) * f64::from(CYCLES_A_CELL_OF_GRAINS)
        + f64::from(effort.rolled) * f64::from(CYCLES_A_ROLLED_CELL)
        + f64::from(effort.composed) * f64::from(CYCLES_A_COMPOSED_CELL)
}

/// Reckons the time that the player takes.
pub fn cpu(show: &Show, reel: &Reel, loads: &[SceneLoad]) -> Budget {
    let period = show.frame_rate().period().milliseconds();
    let cycle = 1000.0 / f64::from(show.microcontroller().clock.0.max(1));
    let effort = |scene: usize, frame| reel.efforts.get(scene).and_then(|efforts| efforts.get(frame)).copied();
    let taken = |scene, (at, frame): (usize, &FrameLoad)| {
        let drawing = effort(scene, at).map_or(0.0, drawing_cycles);
        frame.time.milliseconds() + (f64::from(frame.bytes.0) * CYCLES_A_BYTE + drawing) * cycle
    };
    let of_scene = |(scene, load): (usize, &SceneLoad)| -> Vec<f64> {
        load.frames.iter().enumerate().map(|frame| taken(scene, frame)).collect()
    };
    let frames: Vec<f64> = loads.iter().enumerate().flat_map(of_scene).collect();
    let mean = frames.iter().sum::<f64>() / frames.len().max(1) as f64;
    let worst = frames.iter().copied().fold(0.0, f64::max);
    let made = format!(
        "(bus time + (bytes × {CYCLES_A_BYTE} + reckoned cells × {CYCLES_A_RECKONED_CELL} + cells of noise × \
         {CYCLES_A_CELL_OF_GRAINS} + cells of a roll × {CYCLES_A_ROLLED_CELL} + cells of areas × {CYCLES_A_COMPOSED_CELL}) / CPU clock) / time between frames"
    );
    let (formula, source) = if reel.parts.dense {
        (
            "(bus time + (bytes × 39 + choices × 500 + nodes × 48 + beamed cells × 1,700) / CPU clock) / time between frames",
            DENSE_SOURCE,
        )
    } else if reel.parts.makes() {
        (made.as_str(), MADE_SOURCE)
    } else {
        ("(bus time + bytes × 39 / CPU clock) / time between frames", SOURCE)
    };
    let figures = vec![
        Figure::new("time taken, mean", mean / period * 100.0, "%").from(formula, source).rough(),
        Figure::new("time taken, worst frame", worst / period * 100.0, "%").limit(100.0).from(formula, source).rough(),
        Figure::new("left for the rest of the firmware", 100.0 - mean / period * 100.0, "%")
            .from("100 % − mean", source)
            .rough(),
    ];
    Budget { title: "CPU", figures }
}
