// The player's bus over any SPI device of embedded-hal 1.0 with a pin for D/C. It collects the bytes of a transaction and sends them
// in one write.
//
//     mod helm; mod pageloom_config; mod pageloom_player; mod pageloom_spi;
//
//     let mut display = pageloom_spi::SpiDisplay::<_, _, 32>::new(spi, data_command); // 32: per_call of the show's script
//     let mut player = helm::show_player();
//     player.tick(&mut display, now, 32);

use super::pageloom_player::player::Bus;
use embedded_hal::digital::OutputPin;
use embedded_hal::spi::SpiDevice;

/// The control byte that the player sends first for display data. On SPI it sets the D/C pin.
const DATA: u8 = 0x40;

/// A display on SPI. `LIMIT` is the largest number of bytes in one call of the player.
pub struct SpiDisplay<S, P, const LIMIT: usize> {
    device: S,
    data_command: P,
    gathered: [u8; LIMIT],
    /// Bytes of the transaction so far. The first one sets the pin.
    count: usize,
}

/// Why a transaction failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpiDisplayError<S, P> {
    /// The SPI device reports an error.
    Device(S),
    /// The D/C pin reports an error.
    Pin(P),
    /// One call of the player sends more than `LIMIT` bytes.
    TooLong,
}

impl<S, P, const LIMIT: usize> SpiDisplay<S, P, LIMIT> {
    /// A display on a device, which drives chip select, and on the pin of the D/C line.
    pub const fn new(device: S, data_command: P) -> Self {
        Self {
            device,
            data_command,
            gathered: [0; LIMIT],
            count: 0,
        }
    }

    /// Returns the device and the pin.
    pub fn into_inner(self) -> (S, P) {
        (self.device, self.data_command)
    }
}

impl<S: SpiDevice, P: OutputPin, const LIMIT: usize> Bus for SpiDisplay<S, P, LIMIT> {
    type Error = SpiDisplayError<S::Error, P::Error>;

    fn start(&mut self, _address: u8) -> Result<(), Self::Error> {
        self.count = 0;
        Ok(())
    }

    fn write(&mut self, byte: u8) -> Result<(), Self::Error> {
        if self.count == 0 {
            let level = (byte == DATA).into();
            self.data_command
                .set_state(level)
                .map_err(SpiDisplayError::Pin)?;
        } else {
            let place = self.gathered.get_mut(self.count - 1);
            *place.ok_or(SpiDisplayError::TooLong)? = byte;
        }
        self.count += 1;
        Ok(())
    }

    fn stop(&mut self) -> Result<(), Self::Error> {
        let bytes = &self.gathered[..self.count.saturating_sub(1)];
        self.device.write(bytes).map_err(SpiDisplayError::Device)
    }
}
