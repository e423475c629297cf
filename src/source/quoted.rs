//! The place of each character of a quoted text, so that a finding can point to it.

/// The byte range in `literal` (a RON text with its quotes) of each character of its value.
pub fn quoted_ranges(literal: &str) -> Vec<(usize, usize)> {
    let hashes = literal.strip_prefix('r').map(|rest| rest.chars().take_while(|letter| *letter == '#').count());
    match hashes {
        Some(hashes) => plain(literal, 2 + hashes, literal.len().saturating_sub(1 + hashes)),
        None => escaped(literal, 1, literal.len().saturating_sub(1)),
    }
}

fn plain(literal: &str, start: usize, end: usize) -> Vec<(usize, usize)> {
    let inside = literal.get(start..end).unwrap_or("");
    inside.char_indices().map(|(at, letter)| (start + at, start + at + letter.len_utf8())).collect()
}

fn escaped(literal: &str, start: usize, end: usize) -> Vec<(usize, usize)> {
    let mut ranges = Vec::new();
    let mut at = start;
    while let Some(letter) = literal.get(at..end).and_then(|rest| rest.chars().next()) {
        let length = if letter == '\\' { escape_length(&literal[at..end]) } else { letter.len_utf8() };
        ranges.push((at, at + length));
        at += length;
    }
    ranges
}

/// The bytes of an escape such as `\n`, `\x41` or `\u{e9}`.
fn escape_length(rest: &str) -> usize {
    let kind = rest[1..].chars().next();
    let length = match kind {
        Some('x') => 4,
        Some('u') => rest.find('}').map_or(rest.len(), |close| close + 1),
        Some(other) => 1 + other.len_utf8(),
        None => 1,
    };
    length.min(rest.len())
}

#[cfg(test)]
mod tests {
    use super::quoted_ranges;

    fn pieces(literal: &str) -> Vec<&str> {
        quoted_ranges(literal).into_iter().map(|(start, end)| &literal[start..end]).collect()
    }

    #[test]
    fn each_character_has_its_stretch_of_the_literal() {
        assert_eq!(pieces(r#""aé\n\u{e9}\x41\"z""#), ["a", "é", r"\n", r"\u{e9}", r"\x41", "\\\"", "z"]);
        assert_eq!(pieces(r##"r#"a"\n"#"##), ["a", "\"", "\\", "n"]);
        assert_eq!(pieces(r#"r"x""#), ["x"]);
        assert!(pieces("\"\"").is_empty());
    }
}
