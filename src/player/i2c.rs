// The player's bus over any I2C bus of embedded-hal 1.0. It collects the bytes of a transaction and sends them in one write.
//
//     mod helm; mod pageloom_config; mod pageloom_i2c; mod pageloom_player;
//
//     let mut display = pageloom_i2c::I2cDisplay::<_, 32>::new(i2c); // 32: the write limit of the show's script
//     let mut player = helm::show_player();
//     player.tick(&mut display, now, 16);

use super::pageloom_player::player::Bus;
use embedded_hal::i2c::I2c;

/// A display on an I2C bus. `LIMIT` is the largest number of bytes after the address in one transaction.
pub struct I2cDisplay<I, const LIMIT: usize> {
    bus: I,
    address: u8,
    gathered: [u8; LIMIT],
    count: usize,
}

/// Why a transaction failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum I2cDisplayError<E> {
    /// The bus reports an error.
    Bus(E),
    /// The script's write limit is larger than `LIMIT`.
    TooLong,
}

impl<I, const LIMIT: usize> I2cDisplay<I, LIMIT> {
    /// A display on a bus. If other devices are on the bus, pass a shared bus device.
    pub const fn new(bus: I) -> Self {
        Self {
            bus,
            address: 0,
            gathered: [0; LIMIT],
            count: 0,
        }
    }

    /// Returns the bus.
    pub fn into_inner(self) -> I {
        self.bus
    }
}

impl<I: I2c, const LIMIT: usize> Bus for I2cDisplay<I, LIMIT> {
    type Error = I2cDisplayError<I::Error>;

    fn start(&mut self, address: u8) -> Result<(), Self::Error> {
        self.address = address;
        self.count = 0;
        Ok(())
    }

    fn write(&mut self, byte: u8) -> Result<(), Self::Error> {
        let place = self.gathered.get_mut(self.count);
        *place.ok_or(I2cDisplayError::TooLong)? = byte;
        self.count += 1;
        Ok(())
    }

    fn stop(&mut self) -> Result<(), Self::Error> {
        let bytes = &self.gathered[..self.count];
        self.bus
            .write(self.address, bytes)
            .map_err(I2cDisplayError::Bus)
    }
}
