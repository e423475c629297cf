//! A show over SPI through embedded-hal 1.0: the emitted adapter drives the controller's model as the preview's bus does.

use embedded_hal::digital::{ErrorType as PinErrorType, OutputPin};
use embedded_hal::spi::{ErrorType, Operation, SpiDevice};
use pageloom::diag::Findings;
use pageloom::emulator::Emulator;
use pageloom::player::{Bus, Status, any_player};
use pageloom::reel::compile_lean;
use pageloom::render::{Bitmap, render};
use pageloom::show::{Show, load};
use pageloom::source::{Disk, Reader};
use std::cell::{Cell, RefCell};
use std::convert::Infallible;
use std::path::Path;
use std::rc::Rc;

/// In firmware this is the file of that name, which `pageloom build` writes.
mod pageloom_player {
    pub mod player {
        pub use pageloom::player::Bus;
    }
}

/// The very file that `pageloom build` writes as `pageloom_spi.rs`.
#[path = "../../src/player/spi.rs"]
#[rustfmt::skip]
mod pageloom_spi;

/// The very file that `pageloom build` writes as `pageloom_nine_bits.rs`.
#[path = "../../src/player/nine_bits.rs"]
#[rustfmt::skip]
mod pageloom_nine_bits;

/// A display's model on SPI, and the level of its D/C line.
#[derive(Clone)]
struct Wire {
    display: Rc<RefCell<Emulator>>,
    data: Rc<Cell<bool>>,
}

impl ErrorType for Wire {
    type Error = Infallible;
}

impl SpiDevice for Wire {
    fn transaction(&mut self, operations: &mut [Operation<'_, u8>]) -> Result<(), Infallible> {
        for operation in operations {
            let Operation::Write(bytes) = operation else { panic!("the display is only written to") };
            bytes.iter().for_each(|byte| self.display.borrow_mut().byte_on_spi(*byte, self.data.get()));
        }
        Ok(())
    }
}

/// Words of nine bits, D/C first.
impl SpiDevice<u16> for Wire {
    fn transaction(&mut self, operations: &mut [Operation<'_, u16>]) -> Result<(), Infallible> {
        for operation in operations {
            let Operation::Write(words) = operation else { panic!("the display is only written to") };
            words.iter().for_each(|word| self.display.borrow_mut().word_on_spi(*word));
        }
        Ok(())
    }
}

impl PinErrorType for Wire {
    type Error = Infallible;
}

impl OutputPin for Wire {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.data.set(false);
        Ok(())
    }
    fn set_high(&mut self) -> Result<(), Infallible> {
        self.data.set(true);
        Ok(())
    }
}

/// Three pins of a display's model: what each is, and the levels and bits of all.
#[derive(Clone)]
struct Pin {
    what: Role,
    wires: Rc<RefCell<ThreeWires>>,
}

#[derive(Clone, Copy)]
enum Role {
    Clock,
    Data,
    Select,
}

struct ThreeWires {
    display: Rc<RefCell<Emulator>>,
    levels: [bool; 3],
    word: u16,
    bits: u32,
    waits: u32,
}

impl PinErrorType for Pin {
    type Error = Infallible;
}

/// The display takes a bit as the clock rises while it is selected; the ninth makes a byte (SSD1306 data sheet Rev 1.5 §8.1.4).
impl OutputPin for Pin {
    fn set_low(&mut self) -> Result<(), Infallible> {
        let mut wires = self.wires.borrow_mut();
        wires.levels[self.what as usize] = false;
        if let Role::Select = self.what {
            (wires.word, wires.bits) = (0, 0);
        }
        Ok(())
    }
    fn set_high(&mut self) -> Result<(), Infallible> {
        let mut wires = self.wires.borrow_mut();
        let before = std::mem::replace(&mut wires.levels[self.what as usize], true);
        let [_, data, select] = wires.levels;
        match self.what {
            Role::Clock if !before && !select => {
                wires.word = wires.word << 1 | u16::from(data);
                wires.bits += 1;
                if wires.bits == 9 {
                    wires.display.borrow_mut().word_on_spi(wires.word & 0x1FF);
                    wires.bits = 0;
                }
            }
            Role::Select => assert_eq!(wires.bits, 0, "chip select rises within a byte"),
            _ => {}
        }
        Ok(())
    }
}

const BYTES_A_CALL: usize = 32;

/// The example's show, its first scene's frames and its reel.
fn lightship() -> (Show, Vec<Bitmap>, Vec<u8>) {
    let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
    let show = load(&mut reader, Path::new("examples/atmega328p-spi/lightship.ron"), &mut findings).expect("a show");
    let mut frames = render(&show);
    let reel = compile_lean(&show, &frames, &mut findings).expect("a reel").bytes;
    let frames = frames.swap_remove(show.start().0);
    (show, frames, reel)
}

/// Plays the first scene and holds each frame that the display has against the one drawn.
fn assert_shown<B: Bus>(bus: &mut B, display: &Rc<RefCell<Emulator>>) {
    let (show, frames, reel) = lightship();
    let mut player = any_player(&reel);
    for (number, frame) in frames.iter().enumerate() {
        while player.tick(bus, number as u16 * 40, BYTES_A_CALL as u8) == Status::Busy {}
        assert_eq!(display.borrow().as_mounted(show.mounting()), *frame, "frame {number}");
    }
    assert_eq!(display.borrow().faults(), []);
}

fn display() -> Rc<RefCell<Emulator>> {
    Rc::new(RefCell::new(Emulator::new(lightship().0.panel())))
}

#[test]
fn the_adapter_shows_every_frame_as_drawn() {
    let wire = Wire { display: display(), data: Rc::default() };
    let mut bus = pageloom_spi::SpiDisplay::<_, _, BYTES_A_CALL>::new(wire.clone(), wire.clone());
    assert_shown(&mut bus, &wire.display);
    // A buffer that is too small is an error, and nothing is sent.
    let (device, pin) = bus.into_inner();
    let mut small = pageloom_spi::SpiDisplay::<_, _, 1>::new(device, pin);
    assert_eq!(any_player(&lightship().2).tick(&mut small, 0, 32), Status::Fault);
}

#[test]
fn words_of_nine_bits_show_every_frame_as_drawn() {
    let wire = Wire { display: display(), data: Rc::default() };
    assert_shown(&mut pageloom_nine_bits::Words::<_, BYTES_A_CALL>::new(wire.clone()), &wire.display);
    let mut small = pageloom_nine_bits::Words::<_, 1>::new(wire);
    assert_eq!(any_player(&lightship().2).tick(&mut small, 0, 32), Status::Fault);
}

#[test]
fn three_pins_show_every_frame_as_drawn() {
    let display = display();
    let wires = ThreeWires { display: display.clone(), levels: [false, false, true], word: 0, bits: 0, waits: 0 };
    let wires = Rc::new(RefCell::new(wires));
    let pin = |what| Pin { what, wires: wires.clone() };
    let wait = || wires.borrow_mut().waits += 1;
    let mut bus = pageloom_nine_bits::Pins::new(pin(Role::Clock), pin(Role::Data), pin(Role::Select), wait);
    assert_shown(&mut bus, &display);
    assert_eq!(wires.borrow().waits % 18, 0, "two halves of each of nine bits");
}
