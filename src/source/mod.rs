//! Reading: files from disk or memory, RON texts and CSV tables with places, PNG and GIF pictures, BDF fonts; knows shapes, not meaning.

mod animation;
mod bdf;
mod csv;
mod files;
mod guard;
mod picture;
mod quoted;
mod read;
mod scan;
mod tree;

pub use bdf::{Bdf, BdfBox, BdfGlyph, LONGEST_SIDE, Property, parse_bdf};
pub use csv::csv_rows;
pub use files::{Disk, Files, LIMITS, Limits, Memory, ReadError, Reader, beside};
pub use picture::{Ink, Picture};
pub use quoted::quoted_ranges;
pub use read::{Fields, FromNode, Label, Pair, Placed, Record, out_of_range, report_wrong};
pub use tree::{Node, Shape, parse};
