//! What the emitted player does on real microcontroller code is what the preview showed.

mod atmega328p;
mod host;
mod players;
mod reels;
mod shows;
mod simulator;
mod tools;
mod watch;
