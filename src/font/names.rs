//! What a glyph is called: the code and name that Unicode gives a character, the name that a sheet gives an icon.

use super::symbol::Symbol;

/// The code as `U+0041`; nothing for an icon.
pub fn code(symbol: &Symbol) -> String {
    symbol.char().map_or(String::new(), |letter| format!("U+{:04X}", u32::from(letter)))
}

/// The name of a symbol: that of the Unicode Character Database, or that of an icon as in a text. Empty for a character without a
/// Unicode name.
pub fn name(symbol: &Symbol) -> String {
    match symbol {
        Symbol::Char(letter) => unicode_names2::name(*letter).map_or(String::new(), |name| name.to_string()),
        Symbol::Name(name) => format!("{{{name}}}"),
    }
}

/// Breaks a name into lines of at most `width` characters, between words if possible. There are at most `most` lines; the last one
/// ends with `…` if something is left out.
pub fn wrapped(name: &str, width: usize, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in name.split(' ').filter(|word| !word.is_empty()) {
        let mut letters: Vec<char> = word.chars().collect();
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + letters.len() <= width => {
                line.push(' ');
                line.extend(letters);
                continue;
            }
            _ => {}
        }
        while letters.len() > width.max(1) {
            lines.push(letters.drain(..width.max(1)).collect());
        }
        lines.push(letters.into_iter().collect());
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(line) = lines.last_mut() {
            let kept: String = line.chars().take(width.saturating_sub(1)).collect();
            *line = kept + "…";
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Codes and names from the Unicode Character Database.
    #[test]
    fn characters_have_the_names_of_unicode_and_icons_their_own() {
        let named = |letter: char| (code(&letter.into()), name(&letter.into()));
        assert_eq!(named('A'), ("U+0041".into(), "LATIN CAPITAL LETTER A".into()));
        assert_eq!(named('ß'), ("U+00DF".into(), "LATIN SMALL LETTER SHARP S".into()));
        assert_eq!(named('\u{1F41F}'), ("U+1F41F".into(), "FISH".into()));
        assert_eq!(named('\u{E000}').1, "", "private use has no name");
        assert_eq!(name(&Symbol::Name("anchor".into())), "{anchor}");
    }

    #[test]
    fn a_long_name_is_broken_between_words_and_cut_with_a_mark() {
        assert_eq!(wrapped("LATIN CAPITAL LETTER A", 13, 3), ["LATIN CAPITAL", "LETTER A"]);
        assert_eq!(wrapped("LATIN CAPITAL LETTER A", 13, 1), ["LATIN CAPITA…"]);
        assert_eq!(wrapped("ABCDEFG H", 4, 9), ["ABCD", "EFG", "H"]);
        assert_eq!(wrapped("", 4, 2), [""; 0]);
    }
}
