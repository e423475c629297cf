//! Budgets: each limit computed, with its formula and source, and findings where it is broken; one file a budget.

mod bus;
mod figure;
mod flash;
mod legibility;
mod measure;
mod ram;
mod texts;
mod visible;

pub use figure::{Budget, Figure};
pub use measure::{FrameLoad, SceneLoad, measure};

use crate::diag::Findings;
use crate::reel::Reel;
use crate::show::Show;

/// Every budget of a compiled show, in the order in which a person asks for them.
pub fn budgets(show: &Show, reel: &Reel, loads: &[SceneLoad], findings: &mut Findings) -> Vec<Budget> {
    vec![
        flash::flash(show, reel, findings),
        ram::ram(show, findings),
        bus::bus(show, loads, findings),
        visible::visible(show, findings),
        legibility::legibility(show, findings),
    ]
}
