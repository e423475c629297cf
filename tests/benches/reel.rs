//! How small the reels are, and how light on the bus: a table over the corpus, beside general compressors.
//! `cargo bench --bench reel -- NAME` measures only shows whose name contains NAME; `--ours` leaves the compressors out.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "its values fit"
)]

#[path = "common/mod.rs"]
mod common;
#[path = "reel/general.rs"]
mod general;
#[path = "reel/ours.rs"]
mod ours;
#[path = "reel/windowed.rs"]
mod windowed;

use std::path::{Path, PathBuf};
use std::time::Duration;

/// Shows of noise, which nothing compresses; the totals leave them out.
const NOISE: [&str; 2] = ["noise", "grains"];

/// The scripts of the corpus by name, the demo last.
fn scripts() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = std::fs::read_dir(root.join("scenes/bench")).expect("the corpus is there");
    let files = folder.map(|entry| entry.expect("the folder can be read").path());
    let mut scripts: Vec<PathBuf> = files.filter(|path| path.extension().is_some_and(|kind| kind == "ron")).collect();
    scripts.sort();
    scripts.push(root.join("scenes/helm.ron"));
    scripts
}

/// Leaves the compressors out.
const OURS_ONLY: &str = "--ours";

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let ours_only = words.iter().any(|word| word == OURS_ONLY);
    let wanted: Vec<&String> = words.iter().filter(|word| !word.starts_with('-')).collect();
    heading();
    let (mut lean, mut dense, mut best) = (0, 0, 0);
    let mut compiling = Duration::ZERO;
    for script in scripts() {
        let name = script.file_stem().unwrap_or_default().to_string_lossy();
        if !wanted.is_empty() && !wanted.iter().any(|word| name.contains(*word)) {
            continue;
        }
        let drawn = common::drawn(&script);
        let general = (!ours_only).then(|| general::best_general(&drawn.frames));
        let windowed = (!ours_only).then(|| general::best_windowed(&drawn.frames));
        let ours = ours::measured(&drawn);
        row(&drawn, general.as_ref(), windowed.as_ref(), &ours);
        let densely = ours::measured_densely(&drawn);
        if let Some(ours) = &densely {
            dense_row("dense", general.as_ref(), ours);
        }
        if let Some(ours) = ours::measured_as_film(&drawn).filter(|_| drawn.name.starts_with("film")) {
            dense_row("tables", general.as_ref(), &ours);
        }
        compiling += ours.compile_time + densely.as_ref().map_or(Duration::ZERO, |ours| ours.compile_time);
        if !NOISE.contains(&drawn.name.as_str()) {
            lean += ours.scenes + ours.tables;
            dense += densely.map_or(0, |ours| ours.scenes + ours.tables + ours.model);
            best += general.map_or(0, |general| general.bytes);
        }
    }
    println!("player and RAM: bytes on an {}, once a firmware; fonts: 0 B, no font is carried", ours::PART);
    println!("compiling all of it lean and dense, show after show: {:.2} s", compiling.as_secs_f64());
    println!("totals without noise: lean {lean} B, dense {dense} B, best general {best} B");
    let part = |ours: usize| ours as f64 / best as f64;
    println!("total ours/best general: lean {:.2} dense {:.2}", part(lean), part(dense));
}

fn heading() {
    let heads = ["raw", "best", "window", "lean", "reel", "tables", "player", "RAM"].map(|head| format!("{head:>7}"));
    let heads =
        format!("{} {:>6} {:>6} {:>7} {:>7} {:>8}", heads.join(" "), "ratio", "bus", "changed", "whole", "compile");
    println!("{:16} {heads}  best is", "show");
    println!("{:16} {:>63} {:>6} {:>22} {:>8}", "", "bytes", "", "bytes a frame", "ms");
}

fn row(
    drawn: &common::Drawn,
    general: Option<&general::Packed>,
    windowed: Option<&general::Packed>,
    ours: &ours::Ours,
) {
    let bytes = ours.scenes + ours.tables;
    let packed = |packed: Option<&general::Packed>| packed.map_or("-".into(), |packed| packed.bytes.to_string());
    let ratio = general.map_or("-".into(), |general| format!("{:.2}", bytes as f64 / general.bytes as f64));
    let a_frame = |bytes: usize| format!("{:.1}", bytes as f64 / ours.frames as f64);
    let (raw, milliseconds) = (general::raw_bytes(&drawn.frames), ours.compile_time.as_secs_f64() * 1000.0);
    let sizes = format!(
        "{raw:>7} {:>7} {:>7} {bytes:>7} {:>7} {:>7} {:>7} {:>7}",
        packed(general),
        packed(windowed),
        ours.scenes,
        ours.tables,
        ours.player,
        ours.ram
    );
    let bus = format!("{:>6} {:>7} {:>7}", a_frame(ours.bus), a_frame(ours.changed), a_frame(ours.everything));
    let best = general.map_or("", |general| general.name.as_str());
    println!("{:16} {sizes} {ratio:>6} {bus} {milliseconds:>8.0}  {best}", drawn.name);
}

/// A further row of a show: its dense reel, or that of a film.
fn dense_row(kind: &str, general: Option<&general::Packed>, ours: &ours::Ours) {
    let bytes = ours.scenes + ours.tables + ours.model;
    let ratio = general.map_or("-".into(), |general| format!("{:.2}", bytes as f64 / general.bytes as f64));
    let bus = ours.bus as f64 / ours.frames as f64;
    let milliseconds = ours.compile_time.as_secs_f64() * 1000.0;
    let parts = format!("{:>7} {:>7} {:>7} {:>7}", ours.scenes, ours.tables + ours.model, ours.player, ours.ram);
    println!("{:16} {:>31} {parts} {ratio:>6} {bus:>6.1} {:>16} {milliseconds:>8.0}", format!("  {kind}"), bytes, "");
}
