//! Where the flash of a reel goes, for `check --explain`: by scene, and beneath each by layer and by kind of instruction, the
//! largest first, with the line of the script that is to be changed.

use super::table::TerminalTable;
use crate::budget::layers_by_flash;
use crate::build::Production;
use crate::diag::{Sources, Span, number, number_of, percent, with_unit};
use crate::reel::{CheaperPlace, Share, TouchedPages, explain};
use crate::whole::rounded;

/// A scene, or what the show has once, with its kinds of bytes.
struct ExplainedPart {
    scene: Option<usize>,
    bytes: usize,
    kinds: Vec<Share>,
}

/// A table of all bytes of the reel, `columns` wide. Bytes of layers are estimates, because shared bytes are divided among layers.
pub fn explained(production: &Production, sources: &Sources, columns: usize) -> String {
    let mut table = TerminalTable::new(&["flash is used by", ">bytes", ">share", "script"], columns);
    let all = production.reel().bytes.len();
    let mut row = |name: String, amount: usize, rough: &str, place: String| {
        let share = percent(amount as f64 / all.max(1) as f64);
        table.row([name, format!("{rough}{}", number(amount as f64)), share, place]);
    };
    for part in parts(production) {
        let scene = part.scene.and_then(|number| production.show.scenes().get(number));
        match scene {
            Some(scene) => {
                row(format!("scene {}", scene.name), part.bytes, "", line_of(scene.span, sources));
                let planned = part.scene.and_then(|number| production.reel().scenes.get(number));
                for (layer, bytes) in layers_by_flash(scene, &production.budgets) {
                    let number = scene.layers.iter().position(|other| std::ptr::eq(other, layer));
                    let carried = planned.zip(number).map(|(planned, number)| planned.carriage.of_layer(number));
                    let name = carried.map_or(layer.name.clone(), |carried| format!("{}, {carried}", layer.name));
                    row(format!("  layer {name}"), rounded(bytes.floor()), "≈ ", line_of(layer.span, sources));
                }
            }
            None => row("whole show".to_owned(), part.bytes, "", String::new()),
        }
        for share in part.kinds {
            let times = if share.count > 1 { format!(", {} times", share.count) } else { String::new() };
            row(format!("  as {}{times}", share.kind), share.bytes, "", String::new());
        }
    }
    row("the reel".to_owned(), all, "", String::new());
    table.to_string()
}

/// A table of nearby places at which layers would take less flash, `columns` wide.
pub fn cheaper(production: &Production, places: &[CheaperPlace], sources: &Sources, columns: usize) -> String {
    if places.is_empty() {
        return "No layer would take less flash if you moved it by a few pixels.".into();
    }
    let mut table = TerminalTable::new(&["a layer to move to use less flash", ">spares", "script"], columns);
    for place in places {
        let scene = &production.show.scenes()[place.scene.0];
        let layer = &scene.layers[place.layer];
        let name = format!("{} of scene {}, {}: {}", layer.name, scene.name, step(place.moved), why(place.pages));
        table.row([name, with_unit(place.spared_bytes as f64, "B"), line_of(layer.span, sources)]);
    }
    table.to_string()
}

/// Why a place is cheaper.
fn why([before, after]: [TouchedPages; 2]) -> String {
    if after.own < before.own {
        return format!("{} of memory instead of {}", number_of(after.own as usize, "page"), before.own);
    }
    match after.shared {
        0 => "covers no page of memory in which something moves".into(),
        shared => format!(
            "covers {} of memory in which something moves, instead of {}",
            number_of(shared as usize, "page"),
            before.shared
        ),
    }
}

/// A step in words, such as `2 pixels up`.
fn step((right, down): (i32, i32)) -> String {
    let (pixels, way) = match (right, down) {
        (0, 1..) => (down, "down"),
        (0, _) => (-down, "up"),
        (1.., _) => (right, "right"),
        _ => (-right, "left"),
    };
    format!("{} {way}", number_of(pixels.unsigned_abs() as usize, "pixel"))
}

/// The parts of the reel, the largest first.
fn parts(production: &Production) -> Vec<ExplainedPart> {
    let mut parts: Vec<ExplainedPart> = Vec::new();
    for share in explain(&production.reel().bytes, &production.reel().layout) {
        match parts.iter_mut().find(|part| part.scene == share.scene) {
            Some(part) => {
                part.bytes += share.bytes;
                part.kinds.push(share);
            }
            None => parts.push(ExplainedPart { scene: share.scene, bytes: share.bytes, kinds: vec![share] }),
        }
    }
    parts.sort_by_key(|part| std::cmp::Reverse(part.bytes));
    parts
}

/// The file and line where something stands.
fn line_of(span: Span, sources: &Sources) -> String {
    let (line, _) = sources.line_and_column(span.file, span.start);
    format!("{}:{line}", sources.name(span.file))
}
