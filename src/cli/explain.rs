//! Where the flash of a reel goes, for `check --explain`: by scene, and beneath each by layer and by kind of instruction, the
//! largest first, with the line of the script that is to be changed.

use super::table::Table;
use crate::budget::layers_by_flash;
use crate::build::Production;
use crate::diag::{Sources, Span, number, percent};
use crate::reel::{Share, explain};

/// A scene, or what the show has once, with its kinds of bytes.
struct ExplainedPart {
    scene: Option<usize>,
    bytes: usize,
    kinds: Vec<Share>,
}

/// A table of all bytes of the reel. Layers are marked as rough: what they share is divided among them. For a terminal with so many columns.
pub fn explained(production: &Production, sources: &Sources, columns: usize) -> String {
    let mut table = Table::new(&["flash is used by", ">bytes", ">share", "script"], columns);
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
                    row(format!("  layer {name}"), bytes as usize, "≈ ", line_of(layer.span, sources));
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
