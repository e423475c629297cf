//! Tests over the bench corpus: the bus time of windows compared with the optimum, and the bus time that strips add.

use super::compile::{footage_of, header, planner};
use super::scene::Planned;
use super::scene::plan;
use super::{Planner, encode};
use crate::diag::Findings;
use crate::render::render;
use crate::show::load;
use crate::source::{Disk, Reader};
use std::path::{Path, PathBuf};

fn corpus() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = std::fs::read_dir(root.join("scenes/bench")).expect("the corpus is there");
    let files = folder.map(|entry| entry.expect("the folder can be read").path());
    let mut scripts: Vec<PathBuf> = files.filter(|path| path.extension().is_some_and(|kind| kind == "ron")).collect();
    scripts.sort();
    scripts.push(root.join("scenes/helm.ron"));
    scripts
}

/// The largest bus time of windows, in hundredths of the optimum.
const MOST_OF_OPTIMUM: u64 = 115;
/// The largest bus time of strips, in hundredths of that of windows only.
const MOST_OF_WINDOWS: u64 = 100;

/// Prints bus time and flash of each show with strips and without: `cargo test --lib weight -- --nocapture`.
#[test]
fn windows_are_near_the_optimum_and_strips_save_more_flash_than_their_bus_time_is_worth() {
    for script in corpus() {
        let (disk, mut findings) = (Disk, Findings::default());
        let show = load(&mut Reader::new(&disk), &script, &mut findings);
        let show = show.unwrap_or_else(|| panic!("{} has faults", script.display()));
        let frames = render(&show);
        let scene_frames: Vec<_> =
            show.scenes().iter().zip(&frames).map(|(scene, frames)| footage_of(&show, scene, frames)).collect();
        let both = Planner { changes: true, ..planner(show.panel(), show.mounting(), show.bus()) };
        let bus_alone = Planner { cost: both.cost.of_bus_alone(), ..both.clone() };
        let planned = |planner: &Planner, strips| -> Vec<Planned> {
            scene_frames.iter().map(|scene_frames| plan(scene_frames, planner, strips)).collect()
        };
        let (ours, windows) = (planned(&both, true), planned(&both, false));
        let (strict, optimum) = (planned(&bus_alone, true), planned(&bus_alone, false));
        let time = |scenes: &[Planned]| scenes.iter().map(Planned::bus_nanoseconds).sum::<u64>();
        let flash = |scenes: &[Planned]| encode(&header(&show), scenes).0.len();
        let printed = |scenes: &[Planned]| format!("{} µs {} B", time(scenes) / 1000, flash(scenes));
        let (name, least) = (show.name(), printed(&optimum));
        print!("{:.3} of windows: ", time(&ours) as f64 / time(&windows) as f64);
        println!(
            "{name:16} {:18} windows {:20} optimum {least:20} strips by bus {}",
            printed(&ours),
            printed(&windows),
            printed(&strict)
        );
        assert!(time(&windows) * 100 <= time(&optimum) * MOST_OF_OPTIMUM, "{name}: windows");
        assert!(time(&ours) * 100 <= time(&windows) * MOST_OF_WINDOWS, "{name}: strips");
        let saved = flash(&windows).saturating_sub(flash(&ours)) as u64;
        assert!(time(&ours) <= time(&windows) + both.cost.flash(saved), "{name}: {saved} bytes saved");
        assert!(time(&strict) <= time(&optimum), "{name}: strips where the bus alone counts");
    }
}
