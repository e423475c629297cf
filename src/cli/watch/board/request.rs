//! What a page asks for, as JSON.

use crate::drawing::Action;
use serde::Deserialize;

/// The most bytes of a request: far more than a cell of pixels takes.
pub const LONGEST_BODY: usize = 1 << 20;

/// A request of one page.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Request {
    /// A number of the page's own, by which its steps are known.
    pub page: String,
    #[serde(flatten)]
    pub deed: Deed,
}

/// What is to be done.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Deed {
    /// Changes a sheet. Changes with the same number of a stroke are taken back together.
    Do { sheet: String, stroke: u64, action: Action },
    /// Takes the page's last step back.
    Undo,
    /// Does the step again that was taken back last.
    Redo,
}

impl Request {
    /// Reads a request; `None` when it is none.
    pub fn read(bytes: &[u8]) -> Option<Self> {
        serde_json::from_slice::<Self>(bytes).ok().filter(|request| request.page.len() <= 64)
    }
}
