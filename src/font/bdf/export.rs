//! A font as a BDF 2.1 file: glyphs and aliases by code, icons by name without a code. Kerning has no place in the format.

use super::GAP;
use crate::font::{Font, Glyph, Symbol};
use crate::whole::limited;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Pixels to the inch that are stated: at 72 a pixel is a point, so sizes in points are those in pixels.
const RESOLUTION: u32 = 72;

/// The whole file.
pub fn to_bdf(font: &Font) -> String {
    let glyphs = all(font);
    let height = font.height().max(1);
    let mut text =
        format!("STARTFONT 2.1\nFONT {}\nSIZE {height} {RESOLUTION} {RESOLUTION}\n", long_name(font, &glyphs));
    let bounds = glyphs.values().map(|glyph| bounds(font, glyph)).reduce(united).unwrap_or_default();
    let [width, rows, x, y] = bounds;
    // Writing to a String cannot fail, here and below.
    let _ = writeln!(text, "FONTBOUNDINGBOX {width} {rows} {x} {y}");
    let properties = properties(font);
    let _ = writeln!(text, "STARTPROPERTIES {}", properties.len());
    for (name, value) in properties {
        let _ = writeln!(text, "{name} {value}");
    }
    let _ = writeln!(text, "ENDPROPERTIES\nCHARS {}", glyphs.len());
    for (symbol, glyph) in &glyphs {
        write_glyph(&mut text, font, symbol, glyph);
    }
    text.push_str("ENDFONT\n");
    text
}

/// Every glyph under its own symbol and its aliases.
fn all(font: &Font) -> BTreeMap<&Symbol, &Glyph> {
    let aliased = font.aliases().filter_map(|(from, to)| Some((from, font.by_id(font.id(to)?))));
    let own = font.glyphs().map(|(_, symbol, glyph)| (symbol, glyph));
    aliased.chain(own).filter(|(symbol, _)| symbol.char().is_none_or(|letter| !letter.is_control())).collect()
}

/// Width, height, and the lower left corner from the origin.
fn bounds(font: &Font, glyph: &Glyph) -> [i32; 4] {
    let Some((top, last)) = glyph.rows() else { return [0; 4] };
    [
        limited(glyph.columns().len()),
        (last - top + 1).cast_signed(),
        glyph.left(),
        font.ascent().cast_signed() - last.cast_signed() - 1,
    ]
}

/// The box around two boxes; one without pixels adds nothing.
fn united(one: [i32; 4], other: [i32; 4]) -> [i32; 4] {
    if one[0] == 0 {
        return other;
    } else if other[0] == 0 {
        return one;
    }
    let (x, y) = (one[2].min(other[2]), one[3].min(other[3]));
    let right = (one[2] + one[0]).max(other[2] + other[0]);
    let top = (one[3] + one[1]).max(other[3] + other[1]);
    [right - x, top - y, x, y]
}

/// The name in the fourteen fields of the X Logical Font Description (X Consortium, XLFD 1.5).
fn long_name(font: &Font, glyphs: &BTreeMap<&Symbol, &Glyph>) -> String {
    const TENTHS: i32 = 10;
    let total: i32 = glyphs.values().map(|glyph| glyph.advance().abs()).sum();
    let average = total * TENTHS / limited::<i32, usize>(glyphs.len().max(1));
    let spacing = if font.metrics().mono.is_some() { "M" } else { "P" };
    let name: String = font.name().chars().filter(|letter| !matches!(letter, '-' | '\n' | '\r')).collect();
    let height = font.height();
    format!(
        "-Misc-{name}-Medium-R-Normal--{height}-{}-{RESOLUTION}-{RESOLUTION}-{spacing}-{average}-ISO10646-1",
        height * 10
    )
}

fn properties(font: &Font) -> Vec<(&'static str, String)> {
    let quoted = |text: &str| format!("\"{}\"", text.replace(['\n', '\r'], " ").replace('"', "\"\""));
    vec![
        ("FAMILY_NAME", quoted(font.name())),
        ("FONT_ASCENT", font.ascent().to_string()),
        ("FONT_DESCENT", font.descent().to_string()),
        ("CAP_HEIGHT", font.cap_height().to_string()),
        ("SPACING", quoted(if font.metrics().mono.is_some() { "M" } else { "P" })),
        ("CHARSET_REGISTRY", quoted("ISO10646")),
        ("CHARSET_ENCODING", quoted("1")),
        (GAP, font.metrics().gap.to_string()),
    ]
}

fn write_glyph(text: &mut String, font: &Font, symbol: &Symbol, glyph: &Glyph) {
    let (name, code) = match symbol {
        // Names as the Adobe Glyph List Specification makes them from codes.
        Symbol::Char(letter) if u32::from(*letter) <= 0xffff => {
            (format!("uni{:04X}", u32::from(*letter)), i64::from(u32::from(*letter)))
        }
        Symbol::Char(letter) => (format!("u{:05X}", u32::from(*letter)), i64::from(u32::from(*letter))),
        Symbol::Name(name) => (name.clone(), -1),
    };
    let [width, height, x, y] = bounds(font, glyph);
    let advance = glyph.advance();
    // In thousandths of the size; at 72 pixels to the inch the size in points is the height in pixels.
    let scalable = advance * 1000 / font.height().max(1).cast_signed();
    let _ = writeln!(text, "STARTCHAR {name}\nENCODING {code}\nSWIDTH {scalable} 0\nDWIDTH {advance} 0");
    let _ = writeln!(text, "BBX {width} {height} {x} {y}\nBITMAP");
    for row in glyph.rows().map_or(0..0, |(top, last)| top..last + 1) {
        let lit = |column: usize| glyph.columns().get(column).is_some_and(|bits| bits >> row & 1 == 1);
        let byte = |first: usize| (0..8).fold(0u8, |byte, bit| byte << 1 | u8::from(lit(first + bit)));
        for first in (0..glyph.columns().len()).step_by(8) {
            let _ = write!(text, "{:02X}", byte(first));
        }
        text.push('\n');
    }
    text.push_str("ENDCHAR\n");
}
