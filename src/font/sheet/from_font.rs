//! A sheet made from a font, so that one that was imported can be redrawn: every glyph in its cell, advances marked where they differ.

use super::blank::{self, Blank, GlyphSheet};
use super::guides::CAPTIONS;
use super::{INK, MARK, text};
use crate::diag::Span;
use crate::font::{Advance, Font, Glyph, GlyphId, Symbol};
use crate::source::Placed;
use crate::whole::limited;

/// Up to this number of glyphs, a row has 16. With more glyphs, the sheet is a square.
const MOST_IN_SIXTEENS: usize = 512;

/// A sheet of a font's glyphs, or of those named in `only`, in cells of this size, or of the size that they need; `Err` says in
/// words what a sheet cannot hold.
pub fn sheet_of(
    font: &Font,
    sheet: &str,
    only: Option<&[Symbol]>,
    cell: Option<(u32, u32)>,
) -> Result<GlyphSheet, String> {
    let glyphs: Vec<(&Symbol, &Glyph)> = font
        .glyphs()
        .map(|(_, symbol, glyph)| (symbol, glyph))
        .filter(|(symbol, _)| **symbol != Symbol::Char(' ') && only.is_none_or(|only| only.contains(symbol)))
        .collect();
    let stance = stance(font, &glyphs);
    let needed = (stance.width, font.height());
    let cell = cell.unwrap_or(needed);
    if cell.0 < needed.0 || cell.1 < needed.1 {
        return Err(format!("the glyphs need cells of {}×{} pixels, not {}×{}", needed.0, needed.1, cell.0, cell.1));
    }
    let columns = if glyphs.len() <= MOST_IN_SIXTEENS { 16 } else { limited::<u32, usize>(glyphs.len().isqrt()) + 1 };
    let blank = Blank {
        name: font.name().to_owned(),
        sheet: sheet.to_owned(),
        cell,
        baseline: font.ascent(),
        cap_height: font.cap_height(),
        advance: stance.advance,
        symbols: glyphs.iter().map(|(symbol, _)| (*symbol).clone()).collect(),
        columns,
    };
    blank::check(&blank)?;
    let captions = Font::shipped(CAPTIONS);
    let mut description = blank::describe(&blank, blank::roomy_grid(&blank, &captions));
    description.pen = stance.pen;
    description.tracking = stance.tracking;
    description.space = space(font)?;
    description.fallback = font.fallback;
    describe_pairs(font, only, &mut description);
    let mut canvas = blank::guided(&description, &captions)?;
    for (index, (_, glyph)) in (0u32..).zip(&glyphs) {
        let (left, top) = description.grid.corner(index % columns, index / columns);
        let pen = i64::from(left) + i64::from(stance.pen);
        let shift = if stance.advance == Advance::Drawn { i64::from(glyph.left()) } else { 0 };
        for (x, row) in glyph.pixels() {
            canvas.set(pen + i64::from(x) - shift, i64::from(top + row), INK);
        }
        if matches!(stance.advance, Advance::Marked(_)) {
            let last = glyph.advance() - stance.tracking - 1;
            canvas.set(pen + i64::from(last), i64::from(top + cell.1), MARK);
        }
    }
    let comment =
        "Made from a font. Draw in white on the PNG, in the framed cells; pixels of the guide colour are ignored.";
    let png = canvas.to_png().ok_or("the sheet cannot be written as PNG")?;
    Ok(GlyphSheet { png, ron: text::description(comment, &description) })
}

/// How glyphs stand in their cells.
struct Stance {
    advance: Advance,
    /// Column of the pen in a cell.
    pen: u32,
    /// Width of a cell.
    width: u32,
    tracking: i32,
}

fn stance(font: &Font, glyphs: &[(&Symbol, &Glyph)]) -> Stance {
    let all = || glyphs.iter().map(|(_, glyph)| *glyph);
    let widest = limited(all().map(|glyph| glyph.columns().len()).max().unwrap_or(1).max(1));
    let none_blank = all().all(|glyph| !glyph.is_blank());
    let gap = all().next().map_or(1, |glyph| glyph.advance() - glyph.right());
    let even = all().all(|glyph| glyph.left() == 0 && glyph.advance() - glyph.right() == gap);
    if none_blank && even && gap == font.metrics().gap {
        return Stance { advance: Advance::Drawn, pen: 0, width: widest, tracking: gap };
    }
    let leftmost = all().map(|glyph| glyph.left()).min().unwrap_or(0);
    let right = all().map(Glyph::right).max().unwrap_or(1);
    let first = all().next().map_or(1, Glyph::advance);
    if none_blank && first > 0 && all().all(|glyph| glyph.advance() == first) {
        let pen = (-leftmost).max(0);
        let cell = font.metrics().mono.map_or(0, |_| font.metrics().cell.0.cast_signed());
        let width = (pen + right).max(cell).max(1).cast_unsigned();
        return Stance { advance: Advance::Mono(first.cast_unsigned()), pen: pen.cast_unsigned(), width, tracking: 1 };
    }
    // A mark stands in the last column before the next pen, so the pen needs a column before it where an advance is 0 or less.
    let shortest = all().map(Glyph::advance).min().unwrap_or(1);
    let longest = all().map(Glyph::advance).max().unwrap_or(1);
    let tracking = font.metrics().gap;
    let pen = (-leftmost).max(1 + tracking - shortest).max(0);
    let width = (pen + right.max(longest - tracking)).max(1).cast_unsigned();
    Stance { advance: Advance::Marked(MARK), pen: pen.cast_unsigned(), width, tracking }
}

fn space(font: &Font) -> Result<u32, String> {
    let advance = font.glyph(' ').map_or(limited(font.metrics().space), Glyph::advance);
    u32::try_from(advance)
        .map_err(|_| format!("the advance of the space is {advance} pixels; a sheet cannot store that"))
}

fn describe_pairs(font: &Font, only: Option<&[Symbol]>, description: &mut crate::font::Description) {
    let nowhere = description.span;
    let symbol = |id: GlyphId| font.glyphs.get(id.0).map(|(symbol, _)| symbol);
    let kept = |symbol: &Symbol| *symbol == Symbol::Char(' ') || only.is_none_or(|only| only.contains(symbol));
    for ((first, second), value) in font.kerning() {
        if let (Some(first), Some(second)) = (symbol(first), symbol(second))
            && kept(first)
            && kept(second)
        {
            description.kerning.push((placed(first.written() + &second.written(), nowhere), value));
        }
    }
    for (from, to) in &font.aliases {
        if *from != Symbol::Char('\u{a0}') && kept(to) {
            description.aliases.push((placed(entry(from), nowhere), placed(entry(to), nowhere)));
        }
    }
}

fn placed(value: String, span: Span) -> Placed<String> {
    Placed { value, span }
}

/// A symbol as an entry of a list.
fn entry(symbol: &Symbol) -> String {
    match symbol {
        Symbol::Char(letter) => letter.to_string(),
        Symbol::Name(name) => name.clone(),
    }
}
