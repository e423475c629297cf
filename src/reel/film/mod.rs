//! Films: dense reels whose decisions tables of steps predict, so that an 8-bit part can follow where every frame changes much.

mod assemble;
mod sampler;
mod tables;

pub use assemble::compile_film;
