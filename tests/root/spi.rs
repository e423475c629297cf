//! A show over SPI through embedded-hal 1.0: the emitted adapter drives the controller's model as the preview's bus does.

use embedded_hal::digital::{ErrorType as PinErrorType, OutputPin};
use embedded_hal::spi::{ErrorType, Operation, SpiDevice};
use pageloom::diag::Findings;
use pageloom::emulator::Emulator;
use pageloom::player::{Status, any_player};
use pageloom::reel::compile_lean;
use pageloom::render::render;
use pageloom::show::load;
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

#[test]
fn the_adapter_shows_every_frame_as_drawn() {
    const BYTES_A_CALL: usize = 32;
    let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
    let show = load(&mut reader, Path::new("examples/atmega328p-spi/lightship.ron"), &mut findings).expect("a show");
    let frames = render(&show);
    let reel = compile_lean(&show, &frames, &mut findings).expect("a reel").bytes;
    let wire = Wire { display: Rc::new(RefCell::new(Emulator::new(show.panel()))), data: Rc::default() };
    let mut bus = pageloom_spi::Display::<_, _, BYTES_A_CALL>::new(wire.clone(), wire.clone());
    let mut player = any_player(&reel);
    for (number, frame) in frames[show.start().0].iter().enumerate() {
        while player.tick(&mut bus, number as u16 * 40, BYTES_A_CALL as u8) == Status::Busy {}
        assert_eq!(wire.display.borrow().as_mounted(show.mounting()), *frame, "frame {number}");
    }
    assert_eq!(wire.display.borrow().faults(), []);
    // A buffer that is too small is an error, and nothing is sent.
    let (device, pin) = bus.into_inner();
    let mut small = pageloom_spi::Display::<_, _, 1>::new(device, pin);
    assert_eq!(any_player(&reel).tick(&mut small, 0, 32), Status::Fault);
}
