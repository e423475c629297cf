//! What the emitted player does on real microcontroller code is what the preview showed.

mod host;
mod players;
mod reels;
mod tools;
