//! What the emitted player does on real microcontroller code is what the preview showed.

mod areas;
mod atmega328p;
mod bad;
mod bringup;
mod broken;
mod cortex_m3;
mod dense;
mod examples;
mod folders;
mod host;
mod least_squares;
mod live;
mod measured;
mod measured_drawing;
mod modules;
mod players;
mod random_shows;
mod reels;
mod replayed;
mod rolling;
pub mod shows;
pub mod simulator;
mod timing;
pub mod tools;
mod turning;
mod two_displays;
mod watch;
