//! Characters that hide or reorder text: control characters, and those that turn the direction of writing.

/// Whether a character is a control character other than a line break or tab, or one that turns the direction of writing or
/// breaks lines unseen (Unicode Standard Annex #9 §2, U+2028 and U+2029).
pub fn is_hidden(letter: char) -> bool {
    let control = letter.is_control() && !matches!(letter, '\n' | '\r' | '\t');
    let turns =
        matches!(letter, '\u{61C}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    control || turns || matches!(letter, '\u{2028}' | '\u{2029}')
}

/// Replaces each hidden character by a visible one with the same number of bytes, so that places stay correct.
pub fn visible(text: &str) -> String {
    let shown = |letter: char| match letter {
        _ if !is_hidden(letter) => letter,
        _ if letter.len_utf8() == 1 => '?',
        _ if letter.len_utf8() == 2 => '¿',
        _ => char::REPLACEMENT_CHARACTER,
    };
    text.chars().map(shown).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stand_ins_take_as_many_bytes_as_what_they_stand_for() {
        let hidden = "a\u{1b}[2J\u{202e}b\u{61c}\u{85}é\n";
        assert_eq!(visible(hidden), "a?[2J\u{fffd}b¿¿é\n");
        assert_eq!(visible(hidden).len(), hidden.len());
    }
}
