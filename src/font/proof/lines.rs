//! Lines set in the font: at real size, and enlarged next to it.

use super::page::{GAP, INK, MARGIN, Page, TILE};
use super::{Proof, real};
use crate::font::canvas::Dot;
use crate::whole::limited;

/// Picture pixels for one pixel of the display, if there is room.
const SCALE: i64 = 4;

/// Draws the lines; each that is wider than the page is cut at its edge.
pub fn draw(proof: &Proof<'_>, page: &mut Page) {
    let (font, panel) = (proof.font, &proof.panel);
    let widest = proof.lines.iter().map(|line| font.width(line)).max().unwrap_or(0);
    if widest == 0 {
        return;
    }
    let (across, down) = panel.pitch_millimetres;
    page.top += GAP;
    page.line(&format!(
        "Lines at real size for {:.0} pixels per inch, and enlarged. Panel: {}, pixel pitch {across:.3} × {down:.3} mm.",
        proof.screen.pixels_an_inch(),
        panel.name
    ));
    let (real_width, real_height) = real::size(font, widest, panel, proof.screen);
    let large_left = MARGIN + i64::from(real_width) + 4 * GAP;
    let room = (MARGIN + page.room() - large_left - 2 * GAP).max(1);
    let scale = (room / i64::from(widest)).clamp(1, SCALE);
    let scale: u32 = limited(scale);
    let large = font.height() * scale;
    let row = i64::from(real_height.max(large)) + GAP;
    let count: i64 = limited(proof.lines.len());
    let tile_height = limited(row * count + GAP);
    let gaps: u32 = limited(2 * GAP);
    page.canvas.fill((MARGIN, page.top), (real_width + gaps, tile_height), TILE);
    page.canvas.fill((large_left, page.top), (widest.cast_unsigned() * scale + gaps, tile_height), TILE);
    page.top += GAP;
    for line in &proof.lines {
        let middle = (i64::from(large) - i64::from(real_height)) / 2;
        let at = (MARGIN + GAP, page.top + middle.max(0));
        real::draw(&mut page.canvas, font, line, at, (panel, proof.screen), TILE);
        let at = (large_left + GAP, page.top + (-middle).max(0));
        page.canvas.text(font, line, at, Dot::with_gap(scale), INK);
        page.top += row;
    }
    page.top += GAP;
}
