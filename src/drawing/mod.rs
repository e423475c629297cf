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

pub use self::action::{Action, Field, Papers};
pub use self::brush::{Brush, is_ink};
pub use self::editable::{Colour16, EditablePng};
pub use self::extend::with_cells;
pub use self::part::{Part, backwards, changed};
pub use self::ron::RonPlace;
pub use self::sheet::{DrawingSheet, FontSheet, SheetFiles, sheet_path};
pub use self::state::{SheetState, state};
