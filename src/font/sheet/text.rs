//! Writes a font's RON file as a person would: one field a line, the rows of cells as rows of text.

use crate::font::{Advance, Description, Fallback, Polarity, Symbol};
use std::fmt::Write;

/// A text in quotes, with escapes where RON needs them.
pub fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => quoted.extend(['\\', letter]),
            _ if letter.is_control() || (letter.is_whitespace() && letter != ' ') => {
                quoted.extend(letter.escape_unicode())
            }
            _ => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

/// One row of cells: a text when all are characters, else a list.
pub fn row(cells: &[Option<&Symbol>]) -> String {
    let character = |cell: &Option<&Symbol>| cell.map_or(Some(' '), Symbol::char);
    if let Some(text) = cells.iter().map(character).collect::<Option<String>>() {
        return quoted(&text);
    }
    let entry = |cell: &Option<&Symbol>| match cell {
        None => quoted(""),
        Some(Symbol::Char(letter)) => quoted(&letter.to_string()),
        Some(Symbol::Name(name)) => quoted(name),
    };
    format!("[{}]", cells.iter().map(entry).collect::<Vec<_>>().join(", "))
}

/// A colour as `"#rrggbb"`.
pub fn colour([red, green, blue]: [u8; 3]) -> String {
    format!("\"#{red:02x}{green:02x}{blue:02x}\"")
}

/// The whole RON file of a description. It begins with `comment`, line by line.
pub fn description(comment: &str, font: &Description) -> String {
    let mut text = String::new();
    for line in comment.lines() {
        text.push_str(&format!("// {line}\n"));
    }
    text.push_str("Font(\n");
    for (field, value) in fields(font) {
        // Writing to a String cannot fail.
        let _ = writeln!(text, "    {field}: {value},");
    }
    text.push_str("    cells: [\n");
    for cells in &font.cells {
        let cells: Vec<Option<&Symbol>> = cells.cells.iter().map(|(symbol, _)| symbol.as_ref()).collect();
        let _ = writeln!(text, "        {},", row(&cells));
    }
    text.push_str("    ],\n)\n");
    text
}

fn fields(font: &Description) -> Vec<(&'static str, String)> {
    let pair = |(x, y): (u32, u32)| format!("({x}, {y})");
    let polarity = match font.ink.polarity {
        Polarity::Light => "Light",
        Polarity::Dark => "Dark",
        Polarity::Opaque => "Opaque",
    };
    let advance = match font.advance {
        Advance::Mono(advance) => format!("Mono({advance})"),
        Advance::Drawn => "Drawn".into(),
        Advance::Marked(mark) => format!("Marked({})", colour(mark)),
    };
    let mut fields = vec![
        ("name", quoted(&font.name)),
        ("sheet", quoted(&font.sheet.value)),
        ("cell", pair(font.grid.cell)),
        ("margin", pair(font.grid.margin)),
        ("spacing", pair(font.grid.spacing)),
        ("ink", polarity.into()),
        ("threshold", font.ink.threshold.to_string()),
    ];
    fields.extend(font.ink.guide.map(|guide| ("guide", colour(guide))));
    fields.push(("baseline", font.baseline.to_string()));
    fields.push(("cap_height", font.cap_height.to_string()));
    fields.push(("advance", advance));
    if !matches!(font.advance, Advance::Mono(_)) {
        fields.push(("tracking", font.tracking.to_string()));
    }
    fields.push(("space", font.space.to_string()));
    if font.pen != 0 {
        fields.push(("pen", font.pen.to_string()));
    }
    if font.fallback == Fallback::Capitals {
        fields.push(("fallback", "Capitals".into()));
    }
    let pairs: Vec<String> =
        font.kerning.iter().map(|(pair, value)| format!("{}: {value}", quoted(&pair.value))).collect();
    if !pairs.is_empty() {
        fields.push(("kerning", format!("{{{}}}", pairs.join(", "))));
    }
    let aliases: Vec<String> =
        font.aliases.iter().map(|(from, to)| format!("{}: {}", quoted(&from.value), quoted(&to.value))).collect();
    if !aliases.is_empty() {
        fields.push(("aliases", format!("{{{}}}", aliases.join(", "))));
    }
    fields
}
