//! Two displays on one I²C bus in Rust, each with its own player. embedded-hal-bus shares the bus. The shows are those of
//! `examples/two-displays`. `cargo run --example two_displays` plays them without hardware, on simulated displays.
//!
//! For firmware, `pageloom build depth.ron engine.ron` writes `depth.rs`, `engine.rs`, `pageloom_player.rs` and the other files.
//! Then use `depth::show_player()` and `engine::show_player()` instead of the library's player.

use embedded_hal::i2c::{ErrorKind, ErrorType, I2c, NoAcknowledgeSource, Operation};
use embedded_hal_bus::i2c::RefCellDevice;
use pageloom::build::BuildOptions;
use pageloom::emulator::Emulator;
use pageloom::player::{Player, Status};
use std::cell::RefCell;

/// In firmware this is the file `pageloom_player.rs`, which `pageloom build` writes.
mod pageloom_player {
    pub mod player {
        pub use pageloom::player::Bus;
    }
}

/// The same file that `pageloom build` writes as `pageloom_i2c.rs`.
#[path = "../src/player/i2c.rs"]
#[rustfmt::skip]
#[allow(dead_code, clippy::duplicate_mod, reason = "not every firmware takes the bus back; the tests load both examples")]
mod pageloom_i2c;

/// The write limit of the shows' scripts.
const WRITE_LIMIT: usize = 255;
/// Bytes on the bus for each display in one pass of the loop.
const BYTE_BUDGET: u8 = 16;
/// A display that does not answer is tried again after this time.
const RETRY_MILLISECONDS: u16 = 100;

/// A display with its show.
pub struct Console<'a, I> {
    player: Player<'a>,
    display: pageloom_i2c::I2cDisplay<I, WRITE_LIMIT>,
    failed_at: Option<u16>,
}

impl<'a, I: I2c> Console<'a, I> {
    /// A display of `bus` that plays `reel`.
    pub fn new(reel: &'a [u8], bus: I) -> Self {
        Self { player: Player::new(reel), display: pageloom_i2c::I2cDisplay::new(bus), failed_at: None }
    }

    /// Raises a trigger of the show.
    pub fn trigger(&mut self, trigger: u8) {
        self.player.trigger(trigger);
    }

    /// One pass of the main loop. `now` is a clock in milliseconds that may wrap.
    pub fn turn(&mut self, now: u16) {
        if let Some(failed_at) = self.failed_at {
            if now.wrapping_sub(failed_at) < RETRY_MILLISECONDS {
                return;
            }
            self.failed_at = None;
            self.player.restart();
        }
        if self.player.tick(&mut self.display, now, BYTE_BUDGET) == Status::Fault {
            self.failed_at = Some(now);
        }
    }
}

/// A bus with two simulated displays.
pub struct Wires {
    /// The displays by their addresses.
    pub displays: [(u8, Emulator); 2],
}

impl ErrorType for Wires {
    type Error = ErrorKind;
}

impl I2c for Wires {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
        let display = self.displays.iter_mut().find(|(known, _)| *known == address);
        let (_, display) = display.ok_or(ErrorKind::NoAcknowledge(NoAcknowledgeSource::Address))?;
        let mut taken = display.start(address);
        for operation in operations {
            if let Operation::Write(bytes) = operation {
                taken = taken && bytes.iter().all(|byte| display.write(*byte));
            }
        }
        display.stop();
        if taken { Ok(()) } else { Err(ErrorKind::NoAcknowledge(NoAcknowledgeSource::Data)) }
    }
}

/// Plays two reels on a bus for some milliseconds. At `trigger_at`, the first trigger of the second show is raised.
pub fn play(reels: [&[u8]; 2], wires: Wires, milliseconds: u16, trigger_at: u16) -> Wires {
    let bus = RefCell::new(wires);
    let [mut left, mut right] = reels.map(|reel| Console::new(reel, RefCellDevice::new(&bus)));
    for now in 0..=milliseconds {
        if now == trigger_at {
            right.trigger(0);
        }
        // A millisecond is long enough for several passes.
        for _ in 0..8 {
            left.turn(now);
            right.turn(now);
        }
    }
    bus.into_inner()
}

/// A simulated display and its address.
fn display(production: &pageloom::build::Production) -> (u8, Emulator) {
    let address = production.show.bus().address();
    (address, Emulator::new(production.show.panel()).at_address(address))
}

/// The shows of the example, built.
pub fn shows() -> [pageloom::build::Production; 2] {
    ["depth", "engine"].map(|name| {
        let built = pageloom::build(format!("examples/two-displays/{name}.ron"), &BuildOptions::default());
        let words = built.words();
        built.production.unwrap_or_else(|| panic!("run this in the project's folder: {words}"))
    })
}

fn main() {
    let [depth, engine] = shows();
    let wires = Wires { displays: [display(&depth), display(&engine)] };
    let wires = play([&depth.reel().bytes, &engine.reel().bytes], wires, 1_900, 1_200);
    for ((_, display), production) in wires.displays.iter().zip([&depth, &engine]) {
        println!("{}\n{}", production.show.name(), display.as_mounted(production.show.mounting()));
    }
}
