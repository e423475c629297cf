//! Budgets: each limit computed, with its formula and source, and findings where it is broken; one file a budget.

mod alphabet;
mod bus;
mod by_layer;
mod cpu;
mod fields;
mod figure;
mod flash;
mod flashes;
mod flashing;
mod lamps;
mod legibility;
mod light;
mod measure;
mod photo;
mod power;
mod ram;
mod refresh;
mod running;
mod shared;
mod study;
mod texts;
mod visible;
mod wear;

pub use by_layer::layers_by_flash;
pub use cpu::drawing_cycles;
pub use fields::{field_call_cycles, field_code_bytes, field_code_bytes_on, shared_fields_cost_on};
pub use figure::{Budget, Figure};
pub use flashing::preview_pitch;
pub use lamps::lamp_code_bytes;
pub use measure::{FrameLoad, SceneLoad, measure};
pub use power::{SceneCurrent, display_milliamperes, display_off_milliamperes, scene_currents};
pub use running::{Running, running};
pub use shared::{SceneShare, scene_shares};
pub use wear::{STANDS, WearMap, wear_map};

use crate::diag::Findings;
use crate::reel::Reel;
use crate::render::Bitmap;
use crate::show::Show;

/// Every budget of a compiled show, in the order in which a person asks for them; `frames` are one list a scene.
pub fn budgets(
    show: &Show,
    reel: &Reel,
    frames: &[Vec<Bitmap>],
    loads: &[SceneLoad],
    findings: &mut Findings,
) -> Vec<Budget> {
    let studies = study::studies(show);
    let mut unheard = Findings::default();
    // A provisional reel is not the one that has to keep within these.
    let judged = if reel.provisional { &mut unheard } else { &mut *findings };
    let flash = flash::flash(show, reel, &studies, judged);
    let (ram, bus) = (ram::ram(show, reel, judged), bus::bus(show, reel.parts, loads, judged));
    let budgets = vec![
        flash,
        ram,
        fields::fields(show, reel),
        bus,
        shared::shared(show, loads, findings),
        cpu::cpu(show, reel, loads),
        visible::visible(show, &studies, findings),
        legibility::legibility(show, findings),
        photo::photo(show, findings),
        flashing::flashing(show, frames, &studies, findings),
        lamps::lamps(show, reel, findings),
        wear::wear(show, frames, &studies, findings),
        power::power(show, frames, findings),
        refresh::refresh(show, findings),
    ];
    budgets.into_iter().filter(|budget| !budget.figures.is_empty()).collect()
}
