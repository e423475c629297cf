//! pageloom compiles hand-drawn micro-fonts and a show script into animations for tiny monochrome displays.
//!
//! The stages, in the order in which a show passes through them:
//! [`source`] reads files, [`font`] and [`show`] check them, [`render`] draws the frames, [`reel`] plans what the bus
//! carries and encodes it, [`player`] plays it, [`emulator`] shows what the display would, [`budget`] checks every limit,
//! and [`emit`], [`preview`] and [`report`] write the results. [`replay`] compares captures of real wires with them. [`build`](fn@build) is the whole way in one call. [`units`], [`diag`] and [`panel`] lie under all of them.

pub mod budget;
pub mod build;
pub mod cli;
pub mod diag;
pub(crate) mod drawing;
pub mod emit;
pub mod emulator;
pub mod font;
pub mod panel;
pub mod player;
pub mod preview;
pub mod reel;
pub mod render;
pub mod replay;
pub mod report;
pub mod show;
pub mod source;
pub mod units;
pub(crate) mod whole;

pub use build::build;
