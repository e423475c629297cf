//! The checked font: its glyphs by character or name, its metrics, kerning, aliases, and the replacement of missing glyphs.

use super::describe::Fallback;
use super::glyph::{Glyph, TALLEST};
use super::symbol::{Symbol, symbols};
use crate::whole::limited;
use std::collections::{BTreeMap, BTreeSet};

/// Names a glyph by its place in [`Font::glyphs`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct GlyphId(pub usize);

/// A font's figures that hold for all of its glyphs, in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Metrics {
    /// Width and height of a cell.
    pub cell: (u32, u32),
    /// Rows from the cell's top to the baseline; the ascent.
    pub baseline: u32,
    /// Rows of a capital above the baseline.
    pub cap_height: u32,
    /// Empty columns that follow each glyph and do not count at the end of a line.
    pub gap: i32,
    /// Pixels that a space moves the pen.
    pub space: u32,
    /// The advance that all glyphs share, if they do.
    pub mono: Option<u32>,
}

/// A checked font; glyphs are in the order of their symbols: characters by code, then icons by name.
#[derive(Clone, Debug)]
pub struct Font {
    pub(super) name: String,
    pub(super) metrics: Metrics,
    pub(super) glyphs: Vec<(Symbol, Glyph)>,
    pub(super) aliases: BTreeMap<Symbol, Symbol>,
    pub(super) kerning: BTreeMap<(GlyphId, GlyphId), i32>,
    pub(super) fallback: Fallback,
    /// What is shown for a missing glyph.
    pub(super) missing_box: Glyph,
}

impl Font {
    /// A font of these glyphs. If two have the same symbol, the first is used. A space is added if none is drawn.
    pub fn new(name: impl Into<String>, metrics: Metrics, fallback: Fallback, glyphs: Vec<(Symbol, Glyph)>) -> Self {
        let mut all: BTreeMap<Symbol, Glyph> = BTreeMap::new();
        for (symbol, glyph) in glyphs {
            all.entry(symbol).or_insert(glyph);
        }
        all.entry(Symbol::Char(' ')).or_insert_with(|| Glyph::new(&[], limited(metrics.space)));
        Self {
            name: name.into(),
            metrics,
            glyphs: all.into_iter().collect(),
            aliases: BTreeMap::from([(Symbol::Char('\u{a0}'), Symbol::Char(' '))]),
            kerning: BTreeMap::new(),
            fallback,
            missing_box: missing_box(metrics),
        }
    }

    /// Takes every glyph of another font for which this one has none, baseline on baseline; the line grows above or below
    /// when a borrowed glyph needs it. Rows beyond the tallest cell are cut off.
    pub fn borrow(&mut self, lender: &Font) {
        let taken: Vec<&(Symbol, Glyph)> =
            lender.glyphs.iter().filter(|(symbol, _)| self.own(symbol).is_none()).collect();
        let rows = taken.iter().filter_map(|(_, glyph)| glyph.rows());
        let above = rows.clone().map(|(top, _)| lender.metrics.baseline.saturating_sub(top)).max().unwrap_or(0);
        let below = rows.map(|(_, last)| (last + 1).saturating_sub(lender.metrics.baseline)).max().unwrap_or(0);
        let growth = above.saturating_sub(self.metrics.baseline);
        let down = i64::from(self.metrics.baseline + growth) - i64::from(lender.metrics.baseline);
        let moved: Vec<_> = taken.into_iter().map(|(symbol, glyph)| (symbol.clone(), glyph.moved_down(down))).collect();
        for (_, glyph) in &mut self.glyphs {
            *glyph = glyph.moved_down(i64::from(growth));
        }
        self.missing_box = self.missing_box.moved_down(i64::from(growth));
        self.glyphs.extend(moved);
        self.glyphs.sort_by(|one, other| one.0.cmp(&other.0));
        for (from, to) in &lender.aliases {
            if self.id(from).is_none() {
                self.aliases.insert(from.clone(), to.clone());
            }
        }
        let descent = self.descent().max(below);
        self.metrics.baseline = (self.metrics.baseline + growth).min(TALLEST);
        self.metrics.cell.1 = (self.metrics.baseline + descent).min(TALLEST);
        if self
            .glyphs
            .iter()
            .any(|(_, glyph)| self.metrics.mono.is_some_and(|mono| glyph.advance() != limited::<i32, u32>(mono)))
        {
            self.metrics.mono = None;
        }
    }

    /// The same font in which a character that is drawn and moves exactly as an earlier one is an alias of it.
    pub fn with_doubles_as_aliases(mut self) -> Self {
        let mut first: BTreeMap<(Vec<u64>, i32, i32), Symbol> = BTreeMap::new();
        for (symbol, glyph) in std::mem::take(&mut self.glyphs) {
            let look = (glyph.columns().to_vec(), glyph.left(), glyph.advance());
            match first.get(&look).filter(|_| symbol.char().is_some()) {
                Some(known) => {
                    self.aliases.insert(symbol, known.clone());
                }
                None => {
                    first.entry(look).or_insert_with(|| symbol.clone());
                    self.glyphs.push((symbol, glyph));
                }
            }
        }
        self.kerning.clear();
        self
    }

    /// The font's name.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// The figures that hold for all glyphs.
    pub fn metrics(&self) -> Metrics {
        self.metrics
    }
    /// Rows from a line's top to the baseline.
    pub fn ascent(&self) -> u32 {
        self.metrics.baseline
    }
    /// Rows below the baseline.
    pub fn descent(&self) -> u32 {
        self.height().saturating_sub(self.metrics.baseline)
    }
    /// Rows of a line: the cell's height.
    pub fn height(&self) -> u32 {
        self.metrics.cell.1
    }
    /// Rows of a capital above the baseline.
    pub fn cap_height(&self) -> u32 {
        self.metrics.cap_height
    }

    /// Every glyph with its symbol, by [`GlyphId`]: characters by code, then icons by name.
    pub fn glyphs(&self) -> impl ExactSizeIterator<Item = (GlyphId, &Symbol, &Glyph)> {
        self.glyphs.iter().enumerate().map(|(index, (symbol, glyph))| (GlyphId(index), symbol, glyph))
    }
    /// The glyph of a [`GlyphId`] of this font; the box for a missing glyph when the number is not of this font.
    pub fn by_id(&self, id: GlyphId) -> &Glyph {
        self.glyphs.get(id.0).map_or(&self.missing_box, |(_, glyph)| glyph)
    }
    /// What the glyph of a [`GlyphId`] is for; `None` when the number is not of this font.
    pub fn symbol(&self, id: GlyphId) -> Option<&Symbol> {
        self.glyphs.get(id.0).map(|(symbol, _)| symbol)
    }
    /// Every alias except the no-break space, and the symbol whose glyph it uses.
    pub fn aliases(&self) -> impl Iterator<Item = (&Symbol, &Symbol)> {
        self.aliases.iter().filter(|(from, _)| **from != Symbol::Char('\u{a0}'))
    }
    /// The glyph of a character, an alias's or a fallback's too; `None` when the font lacks it.
    pub fn glyph(&self, letter: char) -> Option<&Glyph> {
        self.id(&Symbol::Char(letter)).map(|id| self.by_id(id))
    }
    /// The icon of a name; `None` when the font lacks it.
    pub fn icon(&self, name: &str) -> Option<&Glyph> {
        self.id(&Symbol::Name(name.to_owned())).map(|id| self.by_id(id))
    }
    /// Which glyph shows a symbol: its own, else its alias's, else the capital's where the font says so.
    pub fn id(&self, symbol: &Symbol) -> Option<GlyphId> {
        self.own(symbol).or_else(|| self.own(self.aliases.get(symbol)?)).or_else(|| self.own(&self.stand_in(symbol)?))
    }
    /// The box shown for a missing glyph: a frame of the capitals' height.
    pub fn missing_box(&self) -> &Glyph {
        &self.missing_box
    }
    /// The pixels by which the second glyph moves to the right when it follows the first; usually 0 or less.
    pub fn kern(&self, first: GlyphId, second: GlyphId) -> i32 {
        self.kerning.get(&(first, second)).copied().unwrap_or(0)
    }
    /// Every kerned pair and its value.
    pub fn kerning(&self) -> impl ExactSizeIterator<Item = ((GlyphId, GlyphId), i32)> {
        self.kerning.iter().map(|(pair, value)| (*pair, *value))
    }
    /// The symbols of a text that the font lacks, each once, in order: characters by code, then names. Line breaks are not asked for.
    pub fn missing(&self, text: &str) -> Vec<Symbol> {
        let lacking: BTreeSet<Symbol> = symbols(text)
            .into_iter()
            .filter(|symbol| !matches!(symbol, Symbol::Char('\n' | '\r')) && self.id(symbol).is_none())
            .collect();
        lacking.into_iter().collect()
    }
    /// The names of its icons, in order.
    pub fn icon_names(&self) -> impl Iterator<Item = &str> {
        self.glyphs.iter().filter_map(|(symbol, _)| match symbol {
            Symbol::Name(name) => Some(name.as_str()),
            Symbol::Char(_) => None,
        })
    }

    fn own(&self, symbol: &Symbol) -> Option<GlyphId> {
        self.glyphs.binary_search_by(|(known, _)| known.cmp(symbol)).ok().map(GlyphId)
    }

    fn stand_in(&self, symbol: &Symbol) -> Option<Symbol> {
        let mut capitals = symbol.char().filter(|_| self.fallback == Fallback::Capitals)?.to_uppercase();
        let capital = capitals.next()?;
        capitals.next().is_none().then_some(Symbol::Char(capital))
    }
}

/// A frame of the capitals' height, three pixels wide or as wide as the cell if that is less.
fn missing_box(metrics: Metrics) -> Glyph {
    const WIDTH: u32 = 3;
    let width = WIDTH.min(metrics.cell.0);
    let top = metrics.baseline.saturating_sub(metrics.cap_height.max(1));
    let side: u64 = (top..metrics.baseline).fold(0, |rows, row| rows | 1 << row);
    let ends = 1 << top | 1 << metrics.baseline.saturating_sub(1);
    let columns: Vec<u64> = (0..width).map(|x| if x == 0 || x + 1 == width { side } else { ends }).collect();
    Glyph::new(&columns, metrics.mono.map_or(width.cast_signed() + metrics.gap, limited))
}
