//! The controller model driven by independent display drivers (the `ssd1306` and `sh1106` crates) that draw through embedded-graphics.

use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::{Circle, Line, PrimitiveStyle};
use embedded_hal::i2c::{ErrorKind, ErrorType, I2c, Operation};
use pageloom::emulator::{Emulator, FaultKind};
use pageloom::panel::{Mounting, MountingTurn, Panel, find, panels};
use pageloom::render::Bitmap;
use proptest::prelude::*;
use ssd1306::mode::DisplayConfig;
use ssd1306::prelude::*;
use ssd1306::{I2CDisplayInterface, Ssd1306};
use std::cell::RefCell;
use std::convert::Infallible;
use std::rc::Rc;

/// The emulator as an embedded-hal bus.
#[derive(Clone)]
struct Wire(Rc<RefCell<Emulator>>);

impl ErrorType for Wire {
    type Error = ErrorKind;
}

impl I2c for Wire {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
        let mut display = self.0.borrow_mut();
        let mut acknowledged = display.start(address);
        for operation in operations {
            match operation {
                Operation::Write(bytes) => acknowledged &= bytes.iter().all(|byte| display.write(*byte)),
                Operation::Read(_) => return Err(ErrorKind::Other),
            }
        }
        display.stop();
        if acknowledged { Ok(()) } else { Err(ErrorKind::Other) }
    }
}

/// The same bus in the older form that the `sh1106` crate wants.
impl embedded_hal_02::blocking::i2c::Write for Wire {
    type Error = ErrorKind;
    fn write(&mut self, address: u8, bytes: &[u8]) -> Result<(), ErrorKind> {
        I2c::write(self, address, bytes)
    }
}

/// A bitmap to draw on through embedded-graphics.
struct Canvas(Bitmap);

impl OriginDimensions for Canvas {
    fn size(&self) -> Size {
        Size::new(self.0.width(), self.0.height())
    }
}

impl DrawTarget for Canvas {
    type Color = BinaryColor;
    type Error = Infallible;
    fn draw_iter<I: IntoIterator<Item = Pixel<BinaryColor>>>(&mut self, pixels: I) -> Result<(), Infallible> {
        for Pixel(at, colour) in pixels {
            self.0.set(at.x, at.y, colour.is_on());
        }
        Ok(())
    }
}

/// A lopsided picture: no turn or mirror of it looks like itself.
fn draw<Target: DrawTarget<Color = BinaryColor>>(target: &mut Target) -> Result<(), Target::Error> {
    let lit = PrimitiveStyle::with_stroke(BinaryColor::On, 1);
    let size = target.bounding_box().size;
    let (right, bottom) = (size.width as i32 - 1, size.height as i32 - 1);
    Circle::new(Point::new(1, 2), size.width.min(size.height) * 2 / 3).into_styled(lit).draw(target)?;
    Line::new(Point::new(0, bottom), Point::new(right, 3)).into_styled(lit).draw(target)?;
    target.draw_iter(
        [Point::zero(), Point::new(right, bottom), Point::new(right, 0)].map(|at| Pixel(at, BinaryColor::On)),
    )
}

/// Draws through the driver crate and compares what the viewer of the turned display sees.
fn the_driver_shows_what_it_drew<SIZE: DisplaySize>(
    panel: &Panel,
    size: SIZE,
    rotation: DisplayRotation,
    turn: MountingTurn,
) {
    let wire = Wire(Rc::new(RefCell::new(Emulator::new(panel))));
    let interface = I2CDisplayInterface::new(wire.clone());
    let mut driver = Ssd1306::new(interface, size, rotation).into_buffered_graphics_mode();
    driver.init().expect("acknowledged");
    draw(&mut driver).expect("drawn");
    driver.flush().expect("acknowledged");
    let mounting = Mounting { turn, ..Mounting::default() };
    let (width, height) = mounting.view_size(panel);
    let mut expected = Canvas(Bitmap::new(width, height));
    draw(&mut expected).expect("cannot fail");
    let display = wire.0.borrow();
    let seen = display.as_mounted(&mounting);
    assert!(seen == expected.0, "{} {rotation:?}\n{seen}\n{}", panel.name, expected.0);
    // The driver sends DB 40, which the SSD1306 data sheet Rev 1.5 does not list.
    let unlisted = FaultKind::OutOfRange { command: 0xDB, parameter: 0x40 };
    assert_eq!(display.faults().iter().map(|fault| fault.kind).collect::<Vec<_>>(), [unlisted], "{}", panel.name);
}

fn in_every_rotation<SIZE: DisplaySize + Copy>(name: &str, size: SIZE) {
    let panel = find(name).expect("a row of the table").clone();
    // The driver's upright is A1, C8; the 0.42 inch specification's is A0, C0, half a turn away.
    let turned = !panel.wiring.segments_reversed;
    let turns = [
        (DisplayRotation::Rotate0, MountingTurn::Upright, MountingTurn::Half),
        (DisplayRotation::Rotate90, MountingTurn::Left, MountingTurn::Right),
        (DisplayRotation::Rotate180, MountingTurn::Half, MountingTurn::Upright),
        (DisplayRotation::Rotate270, MountingTurn::Right, MountingTurn::Left),
    ];
    for (rotation, turn, opposite) in turns {
        the_driver_shows_what_it_drew(&panel, size, rotation, if turned { opposite } else { turn });
    }
}

#[test]
fn an_independent_driver_shows_its_picture_on_every_size_and_turn() {
    in_every_rotation("0.42in-72x40-ssd1306", DisplaySize72x40);
    in_every_rotation("0.42in-72x40-ssd1315", DisplaySize72x40);
    in_every_rotation("0.49in-64x32-ssd1306", DisplaySize64x32);
    in_every_rotation("0.66in-64x48-ssd1306", DisplaySize64x48);
    in_every_rotation("0.69in-96x16-ssd1306", DisplaySize96x16);
    in_every_rotation("0.91in-128x32-ssd1306", DisplaySize128x32);
    in_every_rotation("0.96in-128x64-ssd1306", DisplaySize128x64);
}

#[test]
fn an_independent_driver_shows_its_picture_on_the_page_only_controller() {
    use sh1106::displayrotation::DisplayRotation;
    let panel = find("1.3in-128x64-sh1106").expect("a row of the table");
    let turns = [
        (DisplayRotation::Rotate0, MountingTurn::Upright),
        (DisplayRotation::Rotate90, MountingTurn::Left),
        (DisplayRotation::Rotate180, MountingTurn::Half),
        (DisplayRotation::Rotate270, MountingTurn::Right),
    ];
    for (rotation, turn) in turns {
        let wire = Wire(Rc::new(RefCell::new(Emulator::new(panel))));
        let mut driver: sh1106::mode::GraphicsMode<_> =
            sh1106::Builder::new().with_rotation(rotation).connect_i2c(wire.clone()).into();
        driver.init().expect("acknowledged");
        draw(&mut driver).expect("drawn");
        driver.flush().expect("acknowledged");
        let mounting = Mounting { turn, ..Mounting::default() };
        let (width, height) = mounting.view_size(panel);
        let mut expected = Canvas(Bitmap::new(width, height));
        draw(&mut expected).expect("cannot fail");
        let display = wire.0.borrow();
        let seen = display.as_mounted(&mounting);
        assert!(seen == expected.0, "{turn:?}\n{seen}\n{}", expected.0);
        assert_eq!(display.faults(), []);
    }
}

/// A 64×32 display needs DA 12 while 128×32 needs DA 02 (the `ssd1306` crate's sizes); other settings show its rows elsewhere or not at all.
#[test]
fn wrong_settings_give_the_wrong_picture() {
    let panel = find("0.49in-64x32-ssd1306").expect("a row of the table");
    let wire = Wire(Rc::new(RefCell::new(Emulator::new(panel))));
    let mut driver = Ssd1306::new(I2CDisplayInterface::new(wire.clone()), DisplaySize64x32, DisplayRotation::Rotate0)
        .into_buffered_graphics_mode();
    driver.init().expect("acknowledged");
    draw(&mut driver).expect("drawn");
    driver.flush().expect("acknowledged");
    let right = wire.0.borrow().visible();
    for wrong in [[0xDA, 0x02], [0xA8, 0x3F], [0xD3, 0x01], [0xE3, 0x41], [0xE3, 0xC0]] {
        let mut display = wire.0.borrow().clone();
        assert!(display.start(0x3C) && [0x00, wrong[0], wrong[1]].iter().all(|byte| display.write(*byte)));
        display.stop();
        assert_ne!(display.visible(), right, "{wrong:02X?}");
    }
}

#[derive(Clone, Debug)]
enum Event {
    Start(u8),
    Byte(u8),
    Stop,
}

fn event() -> impl Strategy<Value = Event> {
    prop_oneof![
        1 => (0x3B_u8..=0x3D).prop_map(Event::Start),
        1 => Just(Event::Stop),
        4 => any::<u8>().prop_map(Event::Byte),
        4 => prop::sample::select(vec![0x00, 0x40, 0x80, 0x20, 0x21, 0x22, 0xA8, 0xD3, 0xB7, 0x1F, 0x0F, 0x02, 0xAF, 0x2F])
            .prop_map(Event::Byte),
    ]
}

proptest! {
    #[test]
    fn no_byte_sequence_upsets_the_controller(chosen in 0..panels().len(), events in prop::collection::vec(event(), 0..400)) {
        let panel = &panels()[chosen];
        let mut display = Emulator::new(panel);
        for event in &events {
            match *event {
                Event::Start(address) => prop_assert_eq!(display.start(address), address == 0x3C),
                Event::Byte(byte) => { display.write(byte); }
                Event::Stop => display.stop(),
            }
            let (page, column) = display.position();
            // LCDs have a page of icons beyond.
            let pages = panel.controller.pages() + u8::from(panel.controller.is_lcd());
            prop_assert!(page < pages && column <= panel.controller.memory_columns);
        }
        let glass = display.visible();
        prop_assert_eq!((glass.width(), glass.height()), (panel.width, panel.height));
    }

    /// In a window, n bytes leave the pointer where the data sheet's rule puts it, and only the window has changed.
    #[test]
    fn a_window_takes_bytes_in_order(first in 0_u8..128, width in 1_u8..20, top in 0_u8..8, pages in 1_u8..8, count in 0_usize..200) {
        let (last, bottom) = (first.saturating_add(width - 1).min(127), (top + pages - 1).min(7));
        let mut display = Emulator::new(find("0.96in-128x64-ssd1306").expect("a row of the table"));
        let before = display.clone();
        let write = |display: &mut Emulator, bytes: &[u8]| {
            assert!(display.start(0x3C) && bytes.iter().all(|byte| display.write(*byte)));
            display.stop();
        };
        write(&mut display, &[0x00, 0x20, 0, 0x21, first, last, 0x22, top, bottom]);
        let data: Vec<u8> = (0..count).map(|n| n as u8).collect();
        write(&mut display, &[&[0x40][..], &data].concat());
        let (across, down) = (usize::from(last - first) + 1, usize::from(bottom - top) + 1);
        let place = |n: usize| (top + (n / across % down) as u8, first + (n % across) as u8);
        prop_assert_eq!(display.position(), place(count));
        let mut expected: Vec<Vec<u8>> = (0..8).map(|page| (0..128).map(|c| before.memory(page, c)).collect()).collect();
        for (n, byte) in data.iter().enumerate() {
            let (page, column) = place(n);
            expected[usize::from(page)][usize::from(column)] = *byte;
        }
        for page in 0..8 {
            for column in 0..128 {
                prop_assert_eq!(display.memory(page, column), expected[usize::from(page)][usize::from(column)]);
            }
        }
        prop_assert!(display.faults().is_empty());
    }
}
