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
mod tried;

pub use bdf::{Bdf, BdfGlyph, parse_bdf};
pub(crate) use csv::csv_rows;
pub use files::{Disk, Files, FilesInMemory, LIMITS, ReadError, Reader};
pub(crate) use files::{Limits, beside};
pub(crate) use picture::PixelInk;
pub use picture::SourcePicture;
pub(crate) use quoted::quoted_ranges;
pub(crate) use read::{Fields, FromNode, Label, Pair, Placed, ReadRecord, out_of_range, report_wrong};
pub use tree::{Node, Shape, parse};
