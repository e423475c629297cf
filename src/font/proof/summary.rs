//! The head of a proof: what the font is, in numbers.

use super::Proof;
use super::page::Page;
use crate::font::Font;
use crate::whole::limited;

/// A few lines on the font's measures.
pub fn description(font: &Font) -> Vec<String> {
    let metrics = font.metrics();
    let icons = font.icon_names().count();
    let mut lines = vec![format!(
        "cell {}×{}, ascent {}, descent {}, capitals {}, {}, space {}",
        metrics.cell.0,
        metrics.cell.1,
        font.ascent(),
        font.descent(),
        font.cap_height(),
        metrics.mono.map_or("proportional".into(), |advance| format!("advance {advance} columns")),
        font.glyph(' ').map_or(limited(metrics.space), |space| space.advance()),
    )];
    lines.push(format!(
        "{} characters, {icons} icons, {} kerned pairs, {} aliases",
        font.glyphs().len() - icons,
        font.kerning().len(),
        font.aliases().count()
    ));
    lines
}

/// Lines that show a font when there is no script: the lines of a console that it can set whole, else its glyphs in order.
pub fn alphabet(font: &Font) -> Vec<String> {
    const LINES: &[&str] = &[
        "ABCDEFGHIJKLMNOPQRSTUVWXYZ",
        "abcdefghijklmnopqrstuvwxyz",
        "0123456789 .,:;!?-+=/%°()[]",
        "DEPTH 128.5 M  TRIM -03°",
        "Battery 3.7 V, 82 % left",
    ];
    const IN_A_LINE: usize = 16;
    const MOST_LINES: usize = 12;
    let whole: Vec<String> =
        LINES.iter().filter(|line| font.missing(line).is_empty()).map(|line| line.to_string()).collect();
    if !whole.is_empty() {
        return whole;
    }
    let written: Vec<String> =
        font.glyphs().filter(|(_, _, glyph)| !glyph.is_blank()).map(|(_, symbol, _)| symbol.written()).collect();
    written.chunks(IN_A_LINE).take(MOST_LINES).map(|chunk| chunk.concat()).collect()
}

/// Draws the head.
pub fn draw(proof: &Proof<'_>, page: &mut Page) {
    page.heading(proof.font.name());
    for line in description(proof.font) {
        page.line(&line);
    }
}
