//! Films: dense reels that use tables of steps instead of trees. An 8-bit microcontroller can then decode frames with many changes.

mod assemble;
mod sampler;
mod tables;

pub use assemble::compile_film;
