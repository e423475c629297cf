//! Checks whether a live field can be where the script puts it: panel, bus, the picture behind it, and other fields.

use super::fields::{PAGE_ROWS, PIECE_BYTES};
use crate::diag::{Finding, Findings};
use crate::render::{Bitmap, Cells, Ink, layer_ink};
use crate::show::{Layer, LiveField, Scene, Show};
use crate::whole::limited;
use std::ops::RangeInclusive;

/// Returns whether a field of a scene can be where it is. Findings say why not, or which layer it covers.
pub(super) fn can_be(show: &Show, scene: &Scene, number: usize, frames: &[Bitmap], findings: &mut Findings) -> bool {
    let field = &scene.fields[number];
    let cells = Cells::of(show, field);
    let ((left, right), (top, bottom)) = (cells.pixel_columns(), cells.pixel_rows());
    let (width, height) = show.view_size();
    let name = &field.name;
    let mut refuse = |message: String, hint: String| {
        findings.push(Finding::error(field.span, message).hint(hint));
        false
    };
    if left < 0 || top < 0 || right >= width.cast_signed() || bottom >= height.cast_signed() {
        let message = format!(
            "the field `{name}` reaches outside the display: it covers columns {left} to {right} and rows {top} to {bottom}"
        );
        return refuse(message, "move it, or make it narrower".into());
    }
    if !follows_memory(show, &cells) {
        let message = format!(
            "the field `{name}` runs across the display pages, because the panel is mounted with a quarter turn"
        );
        return refuse(message, "use `turn: Upright` or `turn: Half`, or use texts instead of fields".into());
    }
    let bus = show.bus();
    let columns: u32 = limited(cells.columns);
    let (piece, data) = (PIECE_BYTES + columns, columns + 1);
    if u32::from(bus.per_call) < piece || u32::from(bus.write_limit) < data {
        let message =
            format!("one piece of the field `{name}` needs {piece} bytes per call and {data} bytes in one transaction");
        return refuse(
            message,
            format!("increase `per_call` to {piece} and `write_limit` to {data}, or use a narrower font"),
        );
    }
    if let Some(frame) = first_change(&cells, frames) {
        let moves = scene.layers.iter().find(|layer| changes(show, layer, &cells, frame));
        let which = moves.map_or(String::new(), |layer| format!(": `{}` moves there", layer.name));
        let message =
            format!("the picture behind the field `{name}` of scene `{}` changes at frame {frame}{which}", scene.name);
        let rows = page_rows(&cells);
        let hint = format!(
            "keep the picture still in columns {left} to {right} of rows {} to {} in this scene, or use the layer `LiveText`, which may lie over layers that move",
            rows.start(),
            rows.end()
        );
        return refuse(message, hint);
    }
    if let Some(other) = scene.fields[..number].iter().find(|other| overlap(&cells, &Cells::of(show, other))) {
        let message = format!(
            "the field `{name}` overlaps the field `{}`: it covers columns {left} to {right} and rows {top} to {bottom}",
            other.name
        );
        let finding = Finding::error(field.span, message).hint("move one of them, or make it narrower");
        findings.push(finding.also(other.span, "the other field"));
        return false;
    }
    report_covered(show, scene, field, &cells, findings);
    true
}

/// Warns of ink behind the characters of a field. It stays lit around them.
fn report_covered(show: &Show, scene: &Scene, field: &LiveField, cells: &Cells, findings: &mut Findings) {
    let covers = |layer: &&Layer| is_lit(show, layer, 0, cells.pixel_columns(), cells.pixel_rows());
    for layer in scene.layers.iter().filter(covers) {
        let message = format!("the characters of the field `{}` cover `{}`", field.name, layer.name);
        let finding = Finding::warning(field.span, message).hint("move one of them");
        findings.push(finding.also(layer.span, "the covered layer"));
    }
}

/// Whether a layer has ink in a part of the view at a frame.
fn is_lit(show: &Show, layer: &Layer, frame: u32, columns: (i32, i32), rows: (i32, i32)) -> bool {
    let Some(ink) = layer_ink(show, layer, frame) else { return false };
    let mut pixels = (rows.0..=rows.1).flat_map(|y| (columns.0..=columns.1).map(move |x| (x, y)));
    pixels.any(|(x, y)| ink.inside.get(x, y))
}

/// Returns whether the ink of a layer in the bytes of a field differs from that of the previous frame.
fn changes(show: &Show, layer: &Layer, cells: &Cells, frame: usize) -> bool {
    let ink = |frame: usize| layer_ink(show, layer, limited(frame));
    let (before, now) = (ink(frame.saturating_sub(1)), ink(frame));
    let lit = |ink: &Option<Ink>, x, y| ink.as_ref().is_some_and(|ink| ink.inside.get(x, y));
    let (left, right) = cells.pixel_columns();
    let mut pixels = page_rows(cells).flat_map(|y| (left..=right).map(move |x| (x, y)));
    pixels.any(|(x, y)| lit(&before, x, y) != lit(&now, x, y))
}

/// Whether two fields share a pixel.
fn overlap(one: &Cells, other: &Cells) -> bool {
    let meet = |one: (i32, i32), other: (i32, i32)| one.0 <= other.1 && other.0 <= one.1;
    meet(one.pixel_columns(), other.pixel_columns()) && meet(one.pixel_rows(), other.pixel_rows())
}

/// Whether two fields of a scene share a byte of the display.
pub(super) fn share(show: &Show, one: &LiveField, other: &LiveField) -> bool {
    let (one, other) = (Cells::of(show, one), Cells::of(show, other));
    let meet = |one: (i32, i32), other: (i32, i32)| one.0 <= other.1 && other.0 <= one.1;
    let pages = |cells: &Cells| (cells.pixel_rows().0 / PAGE_ROWS, cells.pixel_rows().1 / PAGE_ROWS);
    meet(one.pixel_columns(), other.pixel_columns()) && meet(pages(&one), pages(&other))
}

/// The rows of all display pages that a field touches.
fn page_rows(cells: &Cells) -> RangeInclusive<i32> {
    let (top, bottom) = cells.pixel_rows();
    top / PAGE_ROWS * PAGE_ROWS..=bottom / PAGE_ROWS * PAGE_ROWS + PAGE_ROWS - 1
}

/// Whether the next pixel to the right is the next column of memory in the same row.
fn follows_memory(show: &Show, cells: &Cells) -> bool {
    let ((left, _), (top, _)) = (cells.pixel_columns(), cells.pixel_rows());
    let at = |x: i32| show.mounting().memory_pixel(show.panel(), limited(x), limited(top));
    let (here, next) = (at(left), at(left + 1));
    next == (here.0 + 1, here.1) && i64::from(here.1) == i64::from(top)
}

/// The first frame in which a memory cell of the field differs from the first frame's.
fn first_change(cells: &Cells, frames: &[Bitmap]) -> Option<usize> {
    let (left, right) = cells.pixel_columns();
    let first = frames.first()?;
    let same = |frame: &Bitmap| {
        let mut pixels = page_rows(cells).flat_map(|y| (left..=right).map(move |x| (x, y)));
        pixels.all(|(x, y)| frame.get(x, y) == first.get(x, y))
    };
    frames.iter().position(|frame| !same(frame))
}
