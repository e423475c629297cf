//! Budgets: each limit is computed with its formula and source. Findings report what exceeds it. Each budget has its own file.
mod alphabet;
mod by_layer;
mod choice;
mod fields;
mod figure;
mod flash;
mod flashes;
mod flashing;
mod lamps;
mod legibility;
mod light;
mod live;
mod measure;
mod photo;
mod power;
mod ram;
mod refresh;
mod running;
mod shared;
mod study;
mod texts;
mod time;
mod timing;
mod verdict;
mod visible;
mod wear;
mod wire;

pub(crate) use by_layer::layers_by_flash;
pub use choice::{Choice, Fitted, ProfileFit, choose, compile};
pub use fields::{field_call_cycles, field_code_bytes};
pub(crate) use fields::{field_code_bytes_on, shared_fields_cost_on};
pub use figure::{Budget, Figure};
pub(crate) use flashing::preview_pitch;
pub use lamps::lamp_code_bytes;
pub(crate) use live::LIVE_VALUES;
pub use measure::measure;
pub(crate) use measure::{FrameLoad, SceneLoad};
pub use power::{display_milliamperes, display_off_milliamperes, scene_currents};
pub(crate) use running::{Running, running};
pub(crate) use shared::{SceneShare, scene_shares};
pub(crate) use verdict::verdict;
pub(crate) use wear::{STANDS, WearMap, halvings_an_hour, light_left, wear_map};

use crate::diag::Findings;
use crate::render::Bitmap;
use crate::show::Show;
use crate::units::FrameRate;

/// Computes every budget of a compiled show, the most urgent questions first. `frames` has one list of pictures per scene. `slower`
/// is a frame rate at which a show that is too slow keeps time.
pub fn budgets(
    show: &Show,
    choice: &Choice,
    frames: &[Vec<Bitmap>],
    slower: Option<FrameRate>,
    findings: &mut Findings,
) -> Vec<Budget> {
    let (reel, loads) = (&choice.fitted.reel, &choice.fitted.loads);
    let studies = study::studies(show);
    let mut unheard = Findings::default();
    // A provisional reel is not the one that has to keep within these.
    let judged = if reel.provisional { &mut unheard } else { &mut *findings };
    let flash = flash::flash(show, choice, &studies, judged);
    let (ram, time) = (ram::ram(show, choice, judged), time::time(show, choice, slower, judged));
    let budgets = vec![
        flash,
        ram,
        fields::fields(show, reel),
        live::live(show, reel),
        time,
        shared::shared(show, loads, findings),
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
