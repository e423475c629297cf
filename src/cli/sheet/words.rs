//! A proof in the terminal: measures of the font, every glyph with its code and name, lines and how they fit, similar pairs.

use crate::cli::table::TerminalTable;
use crate::cli::terminal;
use crate::diag::number;
use crate::font::judge::{
    ACUITY, LEAST_READING, Suggestion, WELL_READ, fit, furthest_millimetres, legibility, roomiest, suggest_kerning,
    worst_pairs,
};
use crate::font::proof::{Proof, ProofPanel, description};
use crate::font::sheet::quoted;
use crate::font::{Font, Glyph, GlyphId, Symbol, code, name, wrapped};
use crate::preview::half_blocks;
use crate::render::Bitmap;
use std::collections::BTreeSet;

/// A display, and the columns that a line can take on it.
#[derive(Clone, Debug)]
pub struct LineRoom {
    pub panel: ProofPanel,
    /// Columns that can be seen.
    pub columns: u32,
    /// From the eye to the display, where a show says it.
    pub distance_millimetres: Option<f64>,
}

/// Columns of the terminal that are used.
const WIDTH: usize = 100;
/// Columns for a glyph's code and name, and rows of its name.
const NAME: usize = 22;
const NAME_ROWS: usize = 2;
/// Glyphs beyond this many are left to the picture.
const MOST_GLYPHS: usize = 256;
/// The number of similar pairs that are shown.
const PAIRS: usize = 6;

/// The whole proof in words and blocks.
pub fn words(proof: &Proof<'_>, room: &LineRoom) -> String {
    let mut lines = vec![proof.font.name().to_owned()];
    lines.extend(description(proof.font).into_iter().map(|line| format!("  {line}")));
    lines.push(String::new());
    lines.extend(glyphs(proof.font));
    lines.extend(set_lines(proof, room));
    lines.extend(pairs(proof));
    lines.extend(kerning(proof));
    lines.extend(size(proof.font, room));
    lines.join("\n")
}

/// A glyph as a picture from its pen, or from its first column when that is left of the pen, to its advance.
fn picture(font: &Font, glyph: &Glyph) -> Bitmap {
    let left = glyph.left().min(0);
    let width = (glyph.right().max(glyph.advance() - 1) - left).max(1);
    let mut picture = Bitmap::new(width.cast_unsigned(), font.height());
    glyph.pixels().for_each(|(x, row)| picture.set(x - left, row.cast_signed(), true));
    picture
}

/// Blocks of text side by side, each in its own width, in as many rows as the tallest has.
fn side_by_side(blocks: &[(Vec<String>, usize)]) -> Vec<String> {
    let rows = blocks.iter().map(|(block, _)| block.len()).max().unwrap_or(0);
    let row = |row: usize| {
        let entries = blocks.iter().map(|(block, width)| {
            let entry = block.get(row).map_or("", String::as_str);
            format!("{entry:<width$}")
        });
        format!("  {}", entries.collect::<String>()).trim_end().to_owned()
    };
    (0..rows).map(row).collect()
}

fn glyphs(font: &Font) -> Vec<String> {
    let shown: Vec<_> = font.glyphs().take(MOST_GLYPHS).collect();
    let pictures: Vec<Bitmap> = shown.iter().map(|(.., glyph)| picture(font, glyph)).collect();
    let widest = pictures.iter().map(Bitmap::width).max().unwrap_or(1) as usize + 2;
    let in_a_row = (WIDTH / (widest + NAME + 2)).max(1);
    let mut lines = Vec::new();
    for (row, pictures) in shown.chunks(in_a_row).zip(pictures.chunks(in_a_row)) {
        let mut blocks = Vec::new();
        for ((_, symbol, _), picture) in row.iter().zip(pictures) {
            blocks.push((half_blocks(picture), widest));
            let mut named = Vec::new();
            if let Some(letter) = symbol.char() {
                named.push(format!("{} {letter}", code(symbol)).trim_end().to_owned());
            }
            named.extend(wrapped(&name(symbol), NAME, NAME_ROWS));
            blocks.push((named, NAME + 2));
        }
        lines.extend(side_by_side(&blocks));
        lines.push(String::new());
    }
    if font.glyphs().len() > shown.len() {
        lines.push(format!("  the picture shows {} more glyphs.\n", font.glyphs().len() - shown.len()));
    }
    lines
}

/// Each line in blocks where it is narrow enough, and a table of how the lines fit the display.
fn set_lines(proof: &Proof<'_>, room: &LineRoom) -> Vec<String> {
    let (font, columns) = (proof.font, room.columns.cast_signed());
    let mut lines = Vec::new();
    let mut table = TerminalTable::new(&["line", ">pixels", "on the display"], terminal::columns());
    for line in &proof.lines {
        let set = font.layout(line);
        if set.width > 0 && set.width.unsigned_abs() as usize <= WIDTH {
            let mut picture = Bitmap::new(set.width.cast_unsigned(), font.height());
            set.pixels().for_each(|(x, y)| picture.set(x, y, true));
            lines.extend(half_blocks(&picture).into_iter().map(|row| format!("  {row}").trim_end().to_owned()));
            lines.push(String::new());
        }
        let fit = fit(font, line, columns);
        let verdict = match fit.excess {
            0 => format!("fits {columns}"),
            excess => format!("{excess} too wide; the first {} characters fit", fit.fitting),
        };
        table.row([format!("  {line}"), fit.width.to_string(), verdict]);
    }
    lines.push(table.to_string());
    if let Some(count) = roomiest(font, &proof.lines.concat(), columns) {
        lines.push(format!(
            "A line of {} ({columns} pixels) holds about {count} of these characters.\n",
            room.panel.name
        ));
    }
    lines
}

fn pairs(proof: &Proof<'_>) -> Vec<String> {
    let font = proof.font;
    let pairs = worst_pairs(font, proof.among.iter().copied(), PAIRS);
    if pairs.is_empty() {
        return Vec::new();
    }
    let mut lines = vec!["Most similar pairs, and the pixels in which they differ:".to_owned(), String::new()];
    for pair in &pairs {
        let (first, second) = (font.by_id(pair.first), font.by_id(pair.second));
        let left = first.left().min(second.left()).min(0);
        let width = (first.right().max(second.right()) - left).max(1).cast_unsigned();
        let mut pictures = vec![Bitmap::new(width, font.height()); 3];
        first.pixels().for_each(|(x, row)| pictures[0].set(x - left, row.cast_signed(), true));
        second.pixels().for_each(|(x, row)| pictures[1].set(x - left, row.cast_signed(), true));
        pair.deciding.iter().for_each(|(x, row)| pictures[2].set(x - left, row.cast_signed(), true));
        let named = |id| font.symbol(id).map_or(String::new(), ToString::to_string);
        let words = vec![
            format!("{} and {}", named(pair.first), named(pair.second)),
            format!("{} pixels, {} after a blur", pair.distance(), number(pair.blurred())),
        ];
        let gap = width as usize + 3;
        let mut blocks: Vec<_> = pictures.iter().map(|picture| (half_blocks(picture), gap)).collect();
        blocks.push((words, NAME));
        lines.extend(side_by_side(&blocks));
        lines.push(String::new());
    }
    lines
}

/// Kerning that would even out the gaps between letters that stand side by side in the lines, ready to be pasted.
fn kerning(proof: &Proof<'_>) -> Vec<String> {
    let font = proof.font;
    let mut neighbours: BTreeSet<(GlyphId, GlyphId)> = BTreeSet::new();
    for line in &proof.lines {
        let ids: Vec<Option<GlyphId>> = font.layout(line).sets.iter().map(|set| set.id).collect();
        neighbours.extend(ids.windows(2).filter_map(|pair| Option::zip(pair[0], pair[1])));
    }
    let used: BTreeSet<GlyphId> = neighbours.iter().flat_map(|(first, second)| [*first, *second]).collect();
    let used: Vec<GlyphId> = used.into_iter().collect();
    let mut suggested = suggest_kerning(font, &used);
    let letter = |id: GlyphId| font.symbol(id).is_some_and(|symbol| symbol.char().is_some());
    suggested
        .retain(|pair| neighbours.contains(&(pair.first, pair.second)) && letter(pair.first) && letter(pair.second));
    if suggested.is_empty() {
        return Vec::new();
    }
    let written = |id: GlyphId| font.symbol(id).map_or(String::new(), Symbol::written);
    let entry = |pair: &Suggestion| {
        let (first, second) = (written(pair.first), written(pair.second));
        format!("{}: {}", quoted(&(first + &second)), pair.kerning + font.kern(pair.first, pair.second))
    };
    let entries: Vec<String> = suggested.iter().map(entry).collect();
    vec![
        "This kerning would even out the gaps between letters in these lines:".to_owned(),
        format!("  kerning: {{{}}},", entries.join(", ")),
        String::new(),
    ]
}

/// The height of a capital for the eye.
fn size(font: &Font, room: &LineRoom) -> Vec<String> {
    let rows = font.cap_height();
    let height = f64::from(rows) * room.panel.pitch_millimetres.1;
    let mut lines = vec![format!("Capitals of {rows} rows are {} mm high on {}.", number(height), room.panel.name)];
    if let Some(distance) = room.distance_millimetres {
        let seen = legibility(rows, room.panel.pitch_millimetres.1, distance);
        lines.push(format!(
            "At {} mm, the show's viewing distance, they are {}′ (minutes of arc).",
            number(distance),
            number(seen.arcminutes)
        ));
    }
    for rule in [WELL_READ, LEAST_READING, ACUITY] {
        let furthest = furthest_millimetres(height, rule.arcminutes);
        lines.push(format!(
            "  {:>2}′ up to {:>5} mm: {} [{}]",
            number(rule.arcminutes),
            number(furthest.round()),
            rule.says,
            rule.source
        ));
    }
    lines
}
