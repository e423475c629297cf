//! Fonts from and to BDF: glyphs by Unicode code, icons by name without a code, metrics by the usual properties.

mod export;
mod import;
#[cfg(test)]
mod tests;

pub use export::to_bdf;
pub use import::from_bdf;

/// A property of our own (names that begin with `_` are private): empty columns behind a glyph that do not count at a line's end.
const GAP: &str = "_TRACKING";
