//! A bus that nothing listens to, for players whose state matters and not what they send.

use super::Bus;

/// A bus on which every byte is accepted and none is kept.
pub struct SilentBus;

impl Bus for SilentBus {
    type Error = std::convert::Infallible;
    fn start(&mut self, _: u8) -> Result<(), Self::Error> {
        Ok(())
    }
    fn write(&mut self, _: u8) -> Result<(), Self::Error> {
        Ok(())
    }
    fn stop(&mut self) -> Result<(), Self::Error> {
        Ok(())
    }
}
