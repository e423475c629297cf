//! The microcontroller: what share of its time the player takes when the firmware waits for each byte, and what is left.

use super::{Budget, Figure, SceneLoad};
use crate::show::Show;

/// CPU cycles that a waiting bus driver adds to each byte's time on the wire: call, flash read, poll.
const CYCLES_A_BYTE: f64 = 39.0;
const SOURCE: &str = "bus time as in the bus budget; 38 to 40 cycles a byte beside the wire, measured on a simulated ATmega328P \
                      (Debian's simavr 1.6, gcc-avr 5.4) with firmware that waits for each byte";

/// Reckons the time that the player takes.
pub fn cpu(show: &Show, loads: &[SceneLoad]) -> Budget {
    let period = show.frame_rate().period().milliseconds();
    let cycle = 1000.0 / f64::from(show.microcontroller().clock.0.max(1));
    let taken = |frame: &super::FrameLoad| frame.time.milliseconds() + f64::from(frame.bytes.0) * CYCLES_A_BYTE * cycle;
    let frames: Vec<f64> = loads.iter().flat_map(|load| &load.frames).map(taken).collect();
    let mean = frames.iter().sum::<f64>() / frames.len().max(1) as f64;
    let worst = frames.iter().copied().fold(0.0, f64::max);
    let formula = "(bus time + bytes × 39 / CPU clock) / time between frames";
    let figures = vec![
        Figure::new("time taken, mean", mean / period * 100.0, "%").from(formula, SOURCE).rough(),
        Figure::new("time taken, worst frame", worst / period * 100.0, "%").limit(100.0).from(formula, SOURCE).rough(),
        Figure::new("left for the rest of the firmware", 100.0 - mean / period * 100.0, "%")
            .from("100 % − mean", SOURCE)
            .rough(),
    ];
    Budget { title: "CPU", figures }
}
