//! Edits of glyph sheets, pictures and font descriptions in place: whole files in, whole files out; only what changed differs.
mod action;
mod brush;
mod editable;
mod extend;
mod part;
mod ron;
mod sheet;
mod state;
#[cfg(test)]
mod tests;

pub(crate) use self::action::{Action, Papers};
pub(crate) use self::brush::is_ink;
pub(crate) use self::extend::with_cells;
pub(crate) use self::part::{Part, backwards, changed};
pub(crate) use self::sheet::{DrawingSheet, SheetFiles, sheet_path};
pub(crate) use self::state::state;
