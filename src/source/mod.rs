//! Reading: files from disk or memory, RON texts with places, PNG pictures; knows shapes, not meaning.

mod files;
mod picture;
mod read;
mod tree;

pub use files::{Disk, Files, LIMITS, Limits, Memory, ReadError, Reader, beside};
pub use picture::{Ink, Picture};
pub use read::{Fields, FromNode, Pair, Placed, Record};
pub use tree::{Node, Shape, parse};
