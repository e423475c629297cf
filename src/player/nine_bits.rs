// The player's bus over 3-wire SPI of embedded-hal 1.0. Each byte is sent as nine bits, D/C first: by a device with words of nine bits,
// or by three pins.
//
//     mod helm; mod pageloom_config; mod pageloom_nine_bits; mod pageloom_player;
//
//     let mut display = pageloom_nine_bits::Words::<_, 32>::new(spi); // 32: per_call of the show's script
//     let mut display = pageloom_nine_bits::Pins::new(clock, data, select, || ());
//     let mut player = helm::show_player();
//     player.tick(&mut display, now, 32);

use super::pageloom_player::player::Bus;
use embedded_hal::digital::OutputPin;
use embedded_hal::spi::SpiDevice;

/// The control byte that the player sends first for display data.
const DATA: u8 = 0x40;
/// D/C in a word of nine bits.
const DATA_BIT: u16 = 0x100;
/// The first bit of such a word.
const HIGHEST: u16 = 0x100;

/// A display on a device with words of nine bits. `LIMIT` is the largest number of bytes in one call of the player.
pub struct Words<S, const LIMIT: usize> {
    device: S,
    data_command: u16,
    gathered: [u16; LIMIT],
    /// Bytes of the transaction so far. The first one says whether commands or data follow.
    count: usize,
}

/// Why a transaction failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WordError<S> {
    /// The SPI device reports an error.
    Device(S),
    /// One call of the player sends more than `LIMIT` bytes.
    TooLong,
}

impl<S, const LIMIT: usize> Words<S, LIMIT> {
    /// A display on a device, which drives chip select.
    pub const fn new(device: S) -> Self {
        Self {
            device,
            data_command: 0,
            gathered: [0; LIMIT],
            count: 0,
        }
    }
}

impl<S: SpiDevice<u16>, const LIMIT: usize> Bus for Words<S, LIMIT> {
    type Error = WordError<S::Error>;

    fn start(&mut self, _address: u8) -> Result<(), Self::Error> {
        self.count = 0;
        Ok(())
    }

    fn write(&mut self, byte: u8) -> Result<(), Self::Error> {
        if self.count == 0 {
            self.data_command = if byte == DATA { DATA_BIT } else { 0 };
        } else {
            let place = self.gathered.get_mut(self.count - 1);
            *place.ok_or(WordError::TooLong)? = self.data_command | u16::from(byte);
        }
        self.count += 1;
        Ok(())
    }

    fn stop(&mut self) -> Result<(), Self::Error> {
        let words = &self.gathered[..self.count.saturating_sub(1)];
        self.device.write(words).map_err(WordError::Device)
    }
}

/// A display on three pins. They are set bit by bit.
pub struct Pins<C, D, S, W> {
    clock: C,
    data: D,
    select: S,
    wait: W,
    /// D/C of the transaction, after the first byte.
    data_command: Option<u16>,
}

impl<C, D, S, W> Pins<C, D, S, W> {
    /// A display on the pins for clock, data and chip select. `wait` is called for each half of a clock cycle. It must take as long as
    /// the display requires. If setting a pin takes long enough, `wait` can be empty.
    pub const fn new(clock: C, data: D, select: S, wait: W) -> Self {
        Self {
            clock,
            data,
            select,
            wait,
            data_command: None,
        }
    }
}

impl<C, D, S, W> Bus for Pins<C, D, S, W>
where
    C: OutputPin,
    D: OutputPin<Error = C::Error>,
    S: OutputPin<Error = C::Error>,
    W: FnMut(),
{
    type Error = C::Error;

    fn start(&mut self, _address: u8) -> Result<(), Self::Error> {
        self.data_command = None;
        self.clock.set_low()?;
        self.select.set_low()
    }

    fn write(&mut self, byte: u8) -> Result<(), Self::Error> {
        let Some(data_command) = self.data_command else {
            self.data_command = Some(if byte == DATA { DATA_BIT } else { 0 });
            return Ok(());
        };
        let word = data_command | u16::from(byte);
        let mut bit = HIGHEST;
        while bit > 0 {
            self.data.set_state((word & bit != 0).into())?;
            (self.wait)();
            self.clock.set_high()?;
            (self.wait)();
            self.clock.set_low()?;
            bit >>= 1;
        }
        Ok(())
    }

    fn stop(&mut self) -> Result<(), Self::Error> {
        self.select.set_high()
    }
}
