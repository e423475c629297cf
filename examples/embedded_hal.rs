//! The show in Rust with embedded-hal 1.0. You can use `Model` in firmware without changes, with the peripherals of your
//! microcontroller. `cargo run --example embedded_hal` runs it without hardware, on a simulated display.
//!
//! For firmware, `pageloom build` writes `helm.rs`, `pageloom_player.rs`, `pageloom_i2c.rs` and `pageloom_config.rs`. Add `mod
//! helm; mod pageloom_config; mod pageloom_i2c; mod pageloom_player;`. Use `pageloom_player::player` and
//! `pageloom_player::lamp::level` instead of the library, and `helm::show_player()` and `helm::LAMP_BEACON` instead of what is
//! compiled below.
#![allow(clippy::cast_possible_truncation, reason = "the clock wraps after 16 bits, and a duty is a byte")]

use embedded_hal::digital::{ErrorType as PinErrorType, InputPin};
use embedded_hal::i2c::{ErrorKind, ErrorType, I2c, NoAcknowledgeSource, Operation};
use embedded_hal::pwm::{ErrorType as LampErrorType, SetDutyCycle};
use pageloom::emulator::Emulator;
use pageloom::player::{Player, Status, lamp_level};
use std::cell::{Cell, RefCell};
use std::convert::Infallible;

/// The write limit of the show's script: the largest number of bytes after the address in one transaction.
const WRITE_LIMIT: usize = 32;
/// Bytes on the bus in one pass of the loop.
const ALLOWANCE: u8 = 16;
const RETRY_MILLISECONDS: u16 = 100;
/// The button is read at this interval. It counts as pressed after this number of equal readings.
const LOOK_MILLISECONDS: u16 = 5;
const LOOKS: u8 = 4;

/// In firmware this is the file `pageloom_player.rs`, which `pageloom build` writes.
mod pageloom_player {
    pub mod player {
        pub use pageloom::player::Bus;
    }
}

/// The same file that `pageloom build` writes as `pageloom_i2c.rs`.
#[path = "../src/player/i2c.rs"]
#[rustfmt::skip]
mod pageloom_i2c;

/// The display on an I²C bus.
pub type Display<I> = pageloom_i2c::I2cDisplay<I, WRITE_LIMIT>;

/// A model with a display, the red lamp of its alert, and a button that closes to ground.
pub struct Model<'a, I, L, B> {
    player: Player<'a>,
    display: Display<I>,
    /// The lamp's output, its pattern, and the time when the pattern began.
    lamp: L,
    beacon: &'a [u8],
    began: Option<u32>,
    button: B,
    failed_at: Option<u16>,
    looked: u16,
    same: u8,
}

impl<'a, I: I2c, L: SetDutyCycle, B: InputPin> Model<'a, I, L, B> {
    /// A model that plays `reel` on the display of `bus` and the lamp pattern `beacon` on `lamp`.
    pub fn new((reel, beacon): (&'a [u8], &'a [u8]), bus: I, lamp: L, button: B) -> Self {
        let (player, display) = (Player::new(reel), Display::new(bus));
        Self { player, display, lamp, beacon, began: None, button, failed_at: None, looked: 0, same: 0 }
    }
    /// One pass of the main loop. `time` is a clock in milliseconds that may wrap. Returns the cue that is due, if there is one.
    pub fn turn(&mut self, time: u32) -> Option<u8> {
        let now = time as u16;
        self.shine(time);
        if let Some(failed_at) = self.failed_at {
            if now.wrapping_sub(failed_at) < RETRY_MILLISECONDS {
                return None;
            }
            self.failed_at = None;
            self.player.restart();
        }
        if self.pressed(now) {
            self.player.trigger(LEAK);
        }
        match self.player.tick(&mut self.display, now, ALLOWANCE) {
            Status::Cue(cue) => return Some(cue),
            Status::Fault => self.failed_at = Some(now),
            Status::Idle | Status::Busy => {}
        }
        None
    }
    /// The lamp follows its pattern while the alert plays. Otherwise it is dark.
    fn shine(&mut self, time: u32) {
        let alert = self.player.scene() == LEAK_SCENE;
        self.began = alert.then(|| self.began.unwrap_or(time));
        let level = self.began.map_or(0, |began| lamp_level(self.beacon, time.wrapping_sub(began)));
        self.lamp.set_duty_cycle_fraction(level.into(), u8::MAX.into()).ok();
    }
    /// Returns whether the button has just been pressed: enough readings in a row found it closed.
    fn pressed(&mut self, now: u16) -> bool {
        if now.wrapping_sub(self.looked) < LOOK_MILLISECONDS {
            return false;
        }
        self.looked = now;
        if !self.button.is_low().unwrap_or(false) {
            self.same = 0;
            return false;
        }
        self.same = self.same.saturating_add(1);
        self.same == LOOKS
    }
}

/// Number of the trigger "leak" in the demo; `helm::Trigger::Leak as u8` in firmware.
const LEAK: u8 = 0;
/// Number of the scene "leak"; `helm::Scene::Leak as u8` in firmware.
const LEAK_SCENE: u8 = 3;

/// Everything outside the model, for a run without hardware.
pub struct Outcome {
    /// The display.
    pub display: RefCell<Emulator>,
    /// The duty of the lamp's output, 0 to 255, each time it changed.
    pub lamp: RefCell<Vec<u8>>,
    /// The reported cues, by number.
    pub cues: RefCell<Vec<u8>>,
    pressed: Cell<bool>,
    transactions: Cell<u32>,
}

impl ErrorType for &Outcome {
    type Error = ErrorKind;
}

impl I2c for &Outcome {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
        let mut display = self.display.borrow_mut();
        self.transactions.set(self.transactions.get() + 1);
        let mut taken = display.start(address);
        for operation in operations {
            if let Operation::Write(bytes) = operation {
                taken = taken && bytes.iter().all(|byte| display.write(*byte));
            }
        }
        display.stop();
        if taken { Ok(()) } else { Err(ErrorKind::NoAcknowledge(NoAcknowledgeSource::Unknown)) }
    }
}

/// The lamp's output, and the button's pin.
struct Lamp<'a>(&'a Outcome);
struct Button<'a>(&'a Outcome);

impl LampErrorType for Lamp<'_> {
    type Error = Infallible;
}

impl SetDutyCycle for Lamp<'_> {
    fn max_duty_cycle(&self) -> u16 {
        u8::MAX.into()
    }
    fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Infallible> {
        let mut levels = self.0.lamp.borrow_mut();
        if levels.last() != Some(&(duty as u8)) {
            levels.push(duty as u8);
        }
        Ok(())
    }
}

impl PinErrorType for Button<'_> {
    type Error = Infallible;
}

impl InputPin for Button<'_> {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        Ok(!self.0.pressed.get())
    }
    fn is_low(&mut self) -> Result<bool, Infallible> {
        Ok(self.0.pressed.get())
    }
}

/// Plays a reel and a lamp's table for some milliseconds. The button is pressed from `pressed_at` on.
pub fn play(tables: (&[u8], &[u8]), milliseconds: u32, pressed_at: Option<u32>) -> Outcome {
    let panel = pageloom::panel::find("0.42in-72x40-ssd1306").expect("the demo's panel is in the table");
    let outcome = Outcome {
        display: RefCell::new(Emulator::new(panel)),
        lamp: RefCell::default(),
        cues: RefCell::new(Vec::new()),
        pressed: Cell::new(false),
        transactions: Cell::new(0),
    };
    let mut model = Model::new(tables, &outcome, Lamp(&outcome), Button(&outcome));
    for now in 0..=milliseconds {
        outcome.pressed.set(pressed_at.is_some_and(|at| now >= at));
        // A millisecond is long enough for several passes.
        for _ in 0..8 {
            let cue = model.turn(now);
            outcome.cues.borrow_mut().extend(cue);
        }
    }
    outcome
}

fn main() {
    let mut findings = pageloom::diag::Findings::default();
    let mut reader = pageloom::source::Reader::new(&pageloom::source::Disk);
    let script = std::path::Path::new("scenes/helm.ron");
    let show = pageloom::show::load(&mut reader, script, &mut findings).expect("run this in the project's folder");
    let frames = pageloom::render::render(&show);
    let reel = pageloom::budget::compile(&show, &frames, &mut findings).expect("the demo fits");
    for (milliseconds, pressed_at) in [(1_900, None), (14_000, None), (3_700, Some(2_000))] {
        let outcome = play((&reel.bytes, &reel.lamps[0].bytes), milliseconds, pressed_at);
        println!(
            "after {milliseconds} ms: {} transactions, cues {:?}, lamp at {:?} of 255",
            outcome.transactions.get(),
            outcome.cues.borrow(),
            outcome.lamp.borrow().last()
        );
        println!("{}", outcome.display.borrow().as_mounted(show.mounting()));
    }
}
